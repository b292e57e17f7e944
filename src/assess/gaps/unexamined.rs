//! What nobody examined: said part by part, and the tests that nobody made. Never empty.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::last_seen::Unseen;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::not_tested;
use crate::assess::gaps::not_tested::NotTested;
use crate::assess::gaps::silence;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::looking::Looking;
use crate::model::mark::MarkState;
use crate::tongue::Saying;
use crate::tongue::say;

/// What was not examined: parts in their order, then findings, tests, views.
pub(crate) fn unexamined(
    case: &PieceRecord,
    looking: &Looking<'_>,
    parts: &[PartReport],
    findings: &[Finding],
    views: &[MissingView],
) -> Vec<Unexamined> {
    let noted = |no: u32| {
        let mut photos = case.photos.iter();
        photos.any(|it| it.no == no && it.sidecar.note.is_some())
    };
    let of_parts = parts
        .iter()
        .filter_map(|it| of_part(it, is_unseen(it, findings), noted));
    let mut lines: Vec<Unexamined> = of_parts.collect();
    lines.extend(findings.iter().filter_map(of_finding));
    lines.extend(tests(case, looking, parts, findings));
    lines.extend(of_views(views));
    lines
}

fn line(silence: Silence, what: &str, why: Saying) -> Unexamined {
    Unexamined {
        silence,
        what: what.to_owned(),
        why,
        tested: None,
        beyond: false,
        stage: None,
        finding: None,
    }
}

/// Whether nobody examined, at their newest look, any of the findings on a part either.
fn is_unseen(part: &PartReport, findings: &[Finding]) -> bool {
    let on = findings.iter().filter(|it| part.findings.contains(&it.no));
    let mut on = on.peekable();
    on.peek().is_some() && on.all(|it| it.unseen() == Some(Unseen::NotExamined))
}

/// A line of a part; `unseen` tells whether none of its findings was examined either, `noted` whether a note on the whole picture stands
/// beside a photo.
fn of_part(part: &PartReport, unseen: bool, noted: impl Fn(u32) -> bool) -> Option<Unexamined> {
    match (&part.state, &part.otherwise) {
        (PartState::NotExamined(it), _) | (PartState::Faults, Some(it)) => {
            let why = match it.why() {
                Some(why) => Saying::Own(why.to_owned()),
                None if noted(it.photo()) => say::why_in_note(it.photo()),
                None => say::why_not_told(),
            };
            let beyond = part.state == PartState::Faults && !unseen;
            let what = match beyond {
                true => silence::beyond(&part.label),
                false => part.label.clone(),
            };
            Some(Unexamined {
                beyond,
                ..line(Silence::NotExamined, &what, why)
            })
        }
        (PartState::Silent, _) if part.is_tested_clean() => Some(line(
            Silence::NotJudged,
            &part.label,
            say::why_only_tests(Saying::numbers(&part.findings)),
        )),
        (PartState::Silent, _) if part.remarked => {
            Some(line(Silence::NotJudged, &part.label, say::why_told_there()))
        }
        (PartState::Silent, _) if !part.findings.is_empty() => Some(line(
            Silence::Nothing,
            &part.label,
            say::why_only(Saying::numbers(&part.findings)),
        )),
        (PartState::Silent, _) => Some(line(Silence::Nothing, &part.label, say::why_nothing())),
        _ => None,
    }
}

fn of_finding(finding: &Finding) -> Option<Unexamined> {
    let what = format!("{} {}, {}", finding.no, finding.term, finding.placed());
    let line = |silence: Silence, why: Saying| Unexamined {
        finding: Some(finding.no),
        ..line(silence, &what, why)
    };
    let settled = |why: Saying| Some(line(Silence::NotSettled, why));
    // Who looked for it examined it, whether or not that is a proof; and what was not found does not pass.
    let looked = finding.unseen() >= Some(Unseen::LookedFor) && finding.quiet_look().is_none();
    if looked || finding.outcome.is_some_and(|it| !it.is_fault()) {
        return None;
    }
    let since = finding.not_told_since().map(|since| {
        let looks = finding.looks_since().iter();
        let notes = looks.flat_map(|it| &it.notes);
        let notes: Vec<Saying> = notes.map(|it| Saying::Own(it.text.clone())).collect();
        match notes.is_empty() {
            true => since,
            false => say::since_noted(since, Saying::Parted(notes)),
        }
    });
    match (finding.state, finding.last_seen(), since) {
        (FindingState::Withdrawn, ..) => None,
        (FindingState::RepairUnseen, ..) if finding.seen_cured().is_some() => {
            settled(say::why_repaired_then_repair())
        }
        (FindingState::RepairUnseen, ..) => settled(say::why_repair_then_nothing()),
        (_, None, Some(since)) => settled(since.sentence()),
        (_, Some(told), Some(_)) if !told.state.is_there() && finding.looks_since().is_empty() => {
            // Which picture is of it stands with the finding; so those of one day are told together.
            let why = say::why_no_mark_on(finding.quiet_look()?.day);
            Some(line(Silence::NotSeenSince, why))
        }
        (_, Some(told), Some(since)) => {
            let why = match told.state {
                MarkState::Gone => say::why_gone_since(told.day, since),
                MarkState::Repaired => say::why_repaired_since(told.day, since),
                _ => say::why_there_since(told.day, since),
            };
            Some(line(Silence::NotSeenSince, why))
        }
        (_, _, None) => None,
    }
}

/// Tests that only count when somebody recorded them.
fn tests(
    case: &PieceRecord,
    looking: &Looking<'_>,
    parts: &[PartReport],
    findings: &[Finding],
) -> Vec<Unexamined> {
    let (book, list) = (looking.book, looking.list);
    let tested = |tag: &str| {
        let of_it = findings.iter().filter(|it| it.tag == tag);
        let mut seen = of_it.flat_map(|it| &it.history);
        let tag = book.tag(tag);
        seen.any(|it| it.state.is_there() && tag.is_some_and(|tag| tag.is_test(it.level)))
    };
    let there = |part: &&PartReport| !matches!(part.state, PartState::Absent(_));
    let kind = |part: &PartReport, kind: &str| {
        let known = list.get(&part.part);
        known.is_some_and(|it| it.kind == kind)
    };
    let mut there = parts.iter().filter(there);
    let tipping = not_tested::tipping(there.clone().filter_map(|it| list.get(&it.part)));
    let coat = not_tested::coat(looking, parts);
    let joints = not_tested::joints(case, looking, findings);
    let lead = not_tested::lead(case, looking, parts, findings);
    // A seat of a settled material is a board, and a woven one a web: there is nothing in it.
    let filled =
        |it: &&PartReport| it.material.settled.is_none() && !it.material.woven && kind(it, "seat");
    let seats: Vec<&PartReport> = there.clone().filter(filled).collect();
    let filling = not_tested::filling(case, looking, &seats, findings);
    let tests = [
        ("Lead in paint or finish", lead),
        (
            "Species of the wood",
            Some(NotTested::Wholly(say::test_species())),
        ),
        ("Kind of the finish", coat),
        ("Inside of the joints", Some(joints)),
        (
            "Tipping forward",
            (list.may_tip && !tested("tip_risk")).then_some(NotTested::Wholly(tipping)),
        ),
        (
            "Electrical parts",
            there
                .any(|it| kind(it, "wiring"))
                .then(|| NotTested::Wholly(say::test_wiring())),
        ),
        ("Filling of the seat", filling),
    ];
    let tests = tests.into_iter().filter_map(|(what, it)| Some((what, it?)));
    tests
        .map(|(what, it)| match it {
            NotTested::Wholly(why) => line(Silence::NotTested, what, why),
            NotTested::Partly(told) => Unexamined {
                tested: Some(told.clone()),
                ..line(Silence::TestedInPart, what, told)
            },
            NotTested::Opened(why) => line(Silence::TestedInPart, what, why),
        })
        .collect()
}

/// One line a stage for the views that were not taken, and one for those of which every picture was taken out.
fn of_views(views: &[MissingView]) -> Vec<Unexamined> {
    let stages = views.chunk_by(|a, b| a.stage == b.stage);
    stages
        .flat_map(|it| not_taken(it).into_iter().chain(views_out(it)))
        .collect()
}

/// Of the views of one stage: those that were not taken.
fn not_taken(views: &[MissingView]) -> Option<Unexamined> {
    let views = views.iter().filter(|it| it.taken_out.is_empty());
    let views: Vec<&MissingView> = views.collect();
    let labels: Vec<Saying> = views.iter().map(|it| Saying::view(&it.label)).collect();
    let stage = views.first()?.stage;
    let what = say::views_not_taken(stage.at()).english();
    let labels = say::stated(Saying::Parted(labels));
    Some(Unexamined {
        stage: Some(stage),
        ..line(Silence::NotPictured, &what, labels)
    })
}

/// Of the views of one stage: those that were taken, and whose pictures were taken out.
fn views_out(views: &[MissingView]) -> Option<Unexamined> {
    let out = views.iter().filter(|it| !it.taken_out.is_empty());
    let of = |it: &MissingView| say::view_with(Saying::view(&it.label), it.pictures_out());
    let labels: Vec<Saying> = out.map(of).collect();
    let stage = views.first()?.stage;
    let what = say::views_taken_out(stage.saying()).english();
    let labels = (!labels.is_empty()).then(|| say::stated(Saying::Parted(labels)))?;
    Some(Unexamined {
        stage: Some(stage),
        ..line(Silence::TakenOut, &what, labels)
    })
}
