//! What the record had once and has no more: findings that no mark names, and pictures that were taken out.

use crate::assess::assessment::Assessment;
use crate::assess::findings::taken_out::TakenOutPhoto;
use crate::tongue::Saying;
use crate::tongue::say;

/// Findings that are counted nowhere any more, in a sentence; `None` without one.
pub(in crate::report) fn findings(assessment: &Assessment) -> Option<Saying> {
    let gone = assessment.withdrawn();
    let gone: Vec<Saying> = gone
        .map(|it| {
            let at = say::finding_at(Saying::fault(&it.term), it.placed());
            Saying::Beside(vec![Saying::Plain(it.no.to_string()), at])
        })
        .collect();
    let number = gone.len();
    (number > 0).then(|| say::findings_withdrawn(number, Saying::Parted(gone)).sentence())
}

/// The pictures that were taken out, a sentence each; the reason is the owner's own.
pub(in crate::report) fn pictures(assessment: &Assessment, for_owner: bool) -> Vec<Saying> {
    let one = |it: &TakenOutPhoto| {
        let out = say::picture_out(it.photo, it.stage.saying(), it.day, it.out);
        let why = for_owner.then(|| say::reason_given(Saying::Own(it.why.clone())));
        let all = std::iter::once(out).chain(it.told()).chain(why);
        Saying::Parted(all.collect()).sentence()
    };
    assessment.taken_out.iter().map(one).collect()
}
