//! Cleaning and waxing that are on record already.

use crate::advise::labour::plan_input::PlanInput;
use crate::assess::findings::finding::Finding;
use crate::assess::part_list::belongs;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;

/// Whether a step that only cleans or waxes was done on a part, and nothing that it is for was seen there since.
pub(in crate::advise::labour) fn is_done(
    method: &Method,
    part: &PartId,
    need: &PlanInput<'_>,
) -> bool {
    if !matches!(method.phase, Phase::CleanDry | Phase::Rub) {
        return false;
    }
    let (repairs, findings) = (&need.it.repairs, &need.it.findings);
    let same = repairs.iter().filter(|it| it.method == method.id);
    let on_it = same.filter(|it| Worked::by(it, findings).reaches(part));
    let done = on_it.map(|it| it.day).max();
    done.is_some_and(|done| {
        !findings
            .iter()
            .any(|it| is_new(it, method, part, done, need))
    })
}

/// Whether a fault for which the step is a repair was seen on the part after that day.
fn is_new(it: &Finding, method: &Method, part: &PartId, done: Day, need: &PlanInput<'_>) -> bool {
    let tag = need.book.tag(&it.tag);
    let answers = tag.is_some_and(|tag| tag.fixes().any(|it| *it == method.id));
    let there = it.history.iter().rev().find(|it| it.state.is_there());
    answers && it.is_to_do() && belongs(&it.part, part) && there.is_some_and(|it| it.day > done)
}
