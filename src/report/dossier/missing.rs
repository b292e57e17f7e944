//! What an answer to a claim still needs: what the book could hold, and does not.

use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::Sighting;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::SaidWord;
use crate::kit::clock::Day;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::dossier::concerned::absent;
use crate::report::dossier::concerned::answering;
use crate::report::dossier::concerned::concerned;
use crate::report::dossier::concerned::lost;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::page::claimed;
use crate::report::page::words;
use crate::trade;
use crate::trade::entry::claim_kind::ClaimKind;
use crate::trade::entry::claim_kind::Concerned;
use crate::trade::entry::view::View;

/// What an answer to the claim still needs; empty without a claim.
#[must_use]
pub fn missing_for_claim(assessment: &Assessment, cover: &CoverRequest) -> Vec<String> {
    let Some(claim) = cover.claim else {
        return Vec::new();
    };
    let findings = concerned(assessment, cover);
    let mut missing = Vec::new();
    if claim.findings != Concerned::None
        && findings.is_empty()
        && lost(assessment, cover).is_empty()
        && absent(assessment, cover).is_empty()
    {
        missing.push(
            "No finding that it could be about is marked in a picture: import the pictures of the complaint and mark the place."
                .to_owned(),
        );
    }
    let has_stage = |stage: Stage| {
        let of = |no: u32| assessment.photos.iter().any(|it| it.shoot == no);
        let mut shoots = assessment.shoots.iter();
        shoots.any(|it| it.stage == stage && of(it.no))
    };
    for stage in claim.stages.iter().filter(|it| !has_stage(**it)) {
        missing.push(format!("No pictures of the {stage} are in the book."));
    }
    missing.extend(views(assessment, claim));
    missing.extend(not_taken(assessment, claim));
    missing.extend(alone(assessment, claim));
    missing.extend(findings.iter().flat_map(|it| unseen(assessment, it)));
    missing.extend(beside(assessment, cover, &findings));
    missing.extend(went_out(assessment));
    let journey = claim.stages.contains(&Stage::Handover);
    missing.extend(
        findings
            .iter()
            .filter(|_| journey)
            .filter_map(|it| not_at_van(assessment, it)),
    );
    if journey && cover.confirmed.iter().all(|it| it.seal.is_none()) {
        missing.push("No paper on which the other side confirms a seal is enclosed.".to_owned());
    }
    if claim.measured {
        missing.extend(findings.iter().flat_map(|it| unmeasured(assessment, it)));
    }
    if claim.described {
        missing.extend(claimed::unborne(assessment));
    }
    if claim.report {
        missing.extend(report(assessment, cover));
    }
    if cover.seals.iter().all(|it| it.stamped.is_none()) {
        missing.push(
            "No seal has a time stamp: without one, only the owner says when the record was made."
                .to_owned(),
        );
    }
    missing
}

fn views(assessment: &Assessment, claim: &ClaimKind) -> Vec<String> {
    let book = trade::book();
    // Pictures of a hand-over need not name that as their view: the shoot says it.
    let is_stage = |view: &str| claim.stages.iter().any(|it| it.word() == view);
    let wanted = suitable(assessment, claim);
    let wanted = wanted.filter(|it| !is_taken(assessment, &it.id) && !is_stage(&it.id));
    let line = |view: &View| {
        let (label, id) = (&view.label, &view.id);
        let said = answering(assessment, claim).filter(|it| {
            let cue = book.cue(&it.tag);
            cue.and_then(|it| it.view.as_ref()) == Some(id)
        });
        let said = said.flat_map(|it| it.photos());
        let mut photos: Vec<u32> = said.collect();
        photos.sort_unstable();
        photos.dedup();
        let told = match photos.len() {
            0 => String::new(),
            1 => format!("; what it would show is told beside picture {}", photos[0]),
            _ => format!(
                "; what it would show is told beside pictures {}",
                words::runs(&photos)
            ),
        };
        format!("No picture has the view “{label}” ({id}){told}.")
    };
    wanted.map(line).collect()
}

/// The views of a claim that a piece with these parts can have.
fn suitable<'a>(
    assessment: &'a Assessment,
    claim: &'a ClaimKind,
) -> impl Iterator<Item = &'static View> + 'a {
    let book = trade::book();
    let form = book.form(&assessment.piece.form);
    let parts = form.map(|it| book.parts(it, &assessment.piece.choice()));
    let views = claim.views.iter().filter_map(|it| book.view(it));
    views.filter(move |view| parts.as_ref().is_none_or(|it| view.suits(it)))
}

fn is_taken(assessment: &Assessment, view: &str) -> bool {
    let mut photos = assessment.photos.iter();
    photos.any(|it| it.sidecar.view.as_deref() == Some(view))
}

/// The views of the stages of the claim that were not taken, a line each stage, without those that another line tells: views that
/// nobody ever took, fixed ones of one side of the journey, and all of a stage without any picture.
fn not_taken(assessment: &Assessment, claim: &ClaimKind) -> Vec<String> {
    let book = trade::book();
    let told = |view: &String| {
        let fixed = book.view(view).is_some_and(|it| it.fixed);
        claim.views.contains(view) && (fixed || !is_taken(assessment, view))
    };
    let of = |stage: &Stage| {
        let views = assessment.missing_views.iter();
        let views = views.filter(|it| it.stage == *stage && it.taken_out.is_empty());
        let views = views.filter(|it| !told(&it.view));
        let labels: Vec<&str> = views.map(|it| it.label.as_str()).collect();
        let mut shoots = assessment.shoots.iter().filter(|it| it.stage == *stage);
        let any = shoots.any(|shoot| assessment.photos.iter().any(|it| it.shoot == shoot.no));
        (any && !labels.is_empty())
            .then(|| format!("Views not taken ({stage}): {}.", labels.join("; ")))
    };
    claim.stages.iter().filter_map(of).collect()
}

/// The days on which a finding or its part was not examined or could not be told, as somebody wrote, and the newest pictures of
/// its part that say nothing of it.
fn unseen(assessment: &Assessment, finding: &Finding) -> Vec<String> {
    let name = format!("{}, {}", finding.no, finding.term);
    let earlier = finding.history.len() - finding.looks_since().len();
    let looks = &finding.history[..earlier];
    // A look that tells, later and on the same side of the journey, closes the gap.
    let told_later = |at: usize| {
        let side = looks[at].stage.after_sale();
        let mut later = looks[at + 1..].iter();
        later.any(|it| it.state.tells() && it.stage.after_sale() == side)
    };
    let open = looks.iter().enumerate().filter(|it| !told_later(it.0));
    let looks = open.filter_map(|(_, it)| {
        let on = it.day.spoken();
        let said = match it.state {
            MarkState::NotExamined => format!("{name}, was not examined on {on}."),
            MarkState::NotVisible => format!("{name}, cannot be told from the pictures of {on}."),
            _ => return None,
        };
        Some((it.day, said))
    });
    let (mut days, mut lines): (Vec<Day>, Vec<String>) = looks.unzip();
    days.extend(finding.looks_since().iter().map(|it| it.day));
    lines.extend(since(finding));
    let belongs =
        |part: &&PartReport| part.part == finding.part || part.part == finding.part.whole();
    let parts = assessment.parts.iter().filter(belongs);
    for part in parts {
        let said = part.said.iter();
        let said = said.filter(|it| it.word == SaidWord::NotExamined);
        for day in said.filter_map(|it| it.day) {
            if !days.contains(&day) {
                days.push(day);
                let on = day.spoken();
                lines.push(format!(
                    "{name}: {} was not examined on {on}.",
                    small(&part.label)
                ));
            }
        }
    }
    lines
}

/// `F5, Split: last told on 1 June 2026, in the sale pictures (there); not examined on 1 July 2026.`; `None` where the newest look tells.
fn since(finding: &Finding) -> Option<String> {
    let name = format!("{}, {}", finding.no, finding.term);
    let since = finding.not_told_since()?;
    let told = finding.last_seen();
    let told = told.map(|it| {
        let state = it.state.said();
        let (day, stage) = (it.day.spoken(), it.stage);
        format!("last told on {day}, in the {stage} pictures ({state}); ")
    });
    Some(format!("{name}: {}{since}.", told.unwrap_or_default()))
}

/// Of a claim on what came on the way: the other findings on record of which nobody says what became of them on the way.
fn beside(assessment: &Assessment, cover: &CoverRequest, about: &[&Finding]) -> Vec<String> {
    let asks = cover
        .claim
        .is_some_and(|it| it.findings == Concerned::AfterSale);
    let all = assessment.findings.iter();
    let rest = all.filter(|it| asks && cover.photos.is_empty() && it.outcome.is_some());
    let rest = rest.filter(|it| !about.iter().any(|of| of.no == it.no));
    rest.filter_map(since).collect()
}

/// Views of the claim that were taken on one side of the journey alone, where the claim asks for both: nothing can be held against
/// nothing.
fn alone(assessment: &Assessment, claim: &ClaimKind) -> Vec<String> {
    let on_side = |photo: &Photo, after: bool| {
        let mut shoots = assessment.shoots.iter();
        shoots.any(|it| it.no == photo.shoot && it.stage.after_sale() == after)
    };
    let taken = |view: &str, after: bool| {
        let mut photos = assessment.photos.iter();
        photos.any(|it| it.sidecar.view.as_deref() == Some(view) && on_side(it, after))
    };
    // That a side has no pictures at all is said once.
    let both = [false, true].iter().all(|after| {
        let mut photos = assessment.photos.iter();
        photos.any(|it| on_side(it, *after))
    });
    let asks = both && claim.stages.iter().any(|it| it.after_sale());
    let sides = [("after", [true, false]), ("before", [false, true])];
    let line = |(when, sides): (&str, [bool; 2])| {
        let views = suitable(assessment, claim).filter(|it| {
            asks && it.fixed && [false, true].map(|after| taken(&it.id, after)) == sides
        });
        let views: Vec<String> = views
            .map(|it| format!("“{}” ({})", it.label, it.id))
            .collect();
        let word = if views.len() == 1 { "view" } else { "views" };
        (!views.is_empty()).then(|| {
            let views = views.join("; ");
            format!("The record has no picture from {when} the piece left with the {word} {views}.")
        })
    };
    sides.into_iter().filter_map(line).collect()
}

/// The pictures that told of a fault and were taken out of the record.
fn went_out(assessment: &Assessment) -> Vec<String> {
    let out = assessment.taken_out.iter();
    let line = out.filter_map(|it| {
        let told = it.told()?;
        let (stage, out) = (it.stage, it.out.spoken());
        Some(format!(
            "Picture {} ({stage}) was taken out of the record on {out}; {told}.",
            it.photo
        ))
    });
    line.collect()
}

/// A number on both ends of the journey, or what is lacking of it.
fn unmeasured(assessment: &Assessment, finding: &Finding) -> Vec<String> {
    let measured = |after: bool| {
        let mut history = finding.history.iter();
        history.any(|it| it.stage.after_sale() == after && it.size.is_some())
    };
    let lacks = [(false, "before the piece left"), (true, "after it arrived")];
    let lacks = lacks.into_iter().filter(|it| !measured(it.0));
    let lacks = lacks.map(|it| it.1.to_owned());
    let all = lacks.chain(unmeasured_since_repair(assessment, finding));
    all.map(|when| format!("{}, {}, was not measured {when}.", finding.no, finding.term))
        .collect()
}

/// `after repair 1 of 12 September 2026, before the piece left`, of the last repair for a finding before that, where a measure is older.
fn unmeasured_since_repair(assessment: &Assessment, finding: &Finding) -> Option<String> {
    let before = |it: &&Sighting| !it.stage.after_sale();
    let left = finding.history.iter().find(|it| !before(it));
    let left = left.map(|it| it.day);
    let repairs = assessment.repairs.iter();
    let repairs = repairs.filter(|it| finding.repairs.contains(&it.no));
    let repairs = repairs.filter(|it| left.is_none_or(|left| it.day <= left));
    let last = repairs.max_by_key(|it| (it.day, it.no))?;
    let measured = finding.history.iter().filter(before);
    let mut measured = measured.filter(|it| it.size.is_some()).peekable();
    // That it was never measured then is told already.
    measured.peek()?;
    // Of work of the same day, that it came first is only known where the look shows it done.
    let is_since =
        |it: &Sighting| it.day > last.day || (it.day == last.day && !it.state.is_there());
    (!measured.any(is_since)).then(|| {
        format!(
            "after repair {} of {}, before the piece left",
            last.no,
            last.day.spoken()
        )
    })
}

/// Of faults that were first seen after the piece had left: that none of the pictures of the hand-over shows their part, where there are
/// such pictures.
fn not_at_van(assessment: &Assessment, finding: &Finding) -> Option<String> {
    let first = finding.history.iter().find(|it| it.state.is_there())?;
    if !first.stage.after_sale() {
        return None;
    }
    let vans = assessment.shoots.iter();
    let vans = vans.filter(|it| it.stage == Stage::Handover && it.day <= first.day);
    let van = vans.max_by_key(|it| (it.day, it.no))?;
    let photos = || { assessment.photos.iter() }.filter(|it| it.shoot == van.no);
    let own = assessment.parts.iter();
    let own = own.filter(|it| it.part == finding.part || it.part == finding.part.whole());
    let said = own.clone().flat_map(|it| &it.said);
    let mut said = said.filter_map(|it| it.photo);
    // That nobody looked at it then is told already.
    if photos().next().is_none() || said.any(|no| photos().any(|it| it.no == no)) {
        return None;
    }
    let shown: BTreeSet<u32> = own.flat_map(|it| it.photos.iter().copied()).collect();
    let seen = |it: &Photo| shown.contains(&it.no) || shows_by_view(assessment, it, &finding.part);
    (!photos().any(seen)).then(|| {
        format!(
            "{}, {}: no picture of the hand-over of {} is known to show its part ({}).",
            finding.no,
            finding.term,
            van.day.spoken(),
            small(&assessment.label(&finding.part))
        )
    })
}

/// Whether the view of a picture is one that has all of a part.
fn shows_by_view(assessment: &Assessment, photo: &Photo, part: &PartId) -> bool {
    let book = trade::book();
    let view = photo.sidecar.view.as_deref().and_then(|it| book.view(it));
    let form = book.form(&assessment.piece.form);
    let parts = form.map(|it| book.parts(it, &assessment.piece.choice()));
    let parts = parts.into_iter().flatten();
    let mut own = parts.filter(|it| it.id == *part || it.id == part.whole());
    view.is_some_and(|view| own.any(|it| view.shows_whole(&it)))
}

/// An edition for the buyer that is not younger than the sale, as it was told last, or the hand-over.
fn report(assessment: &Assessment, cover: &CoverRequest) -> Option<String> {
    let mut editions = cover.editions.iter().filter(|it| it.reader == "buyer");
    let left = assessment.shoots.iter();
    let left = left
        .filter(|it| it.stage >= Stage::Handover)
        .map(|it| it.day);
    let sold = cover.sales.last().filter(|it| it.taken_back.is_none());
    let limit: Option<Day> = left.chain(sold.map(|it| it.day)).min();
    let Some(limit) = limit else {
        return editions
            .next()
            .is_none()
            .then(|| "No edition of the report for the buyer is on record.".to_owned());
    };
    let early = editions.any(|it| it.made <= limit);
    (!early).then(|| {
        format!(
            "No edition of the report for the buyer is as old as the day the piece left or was sold, {}.",
            limit.spoken()
        )
    })
}
