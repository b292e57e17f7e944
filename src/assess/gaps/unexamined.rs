//! What nobody examined: said part by part, and the tests that nobody made. Never empty.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_list;
use crate::assess::part_list::PartList;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::piece_record::PieceRecord;
use crate::assess::timeline::Timeline;
use crate::model::photo::Stage;
use crate::trade::TradeBook;

/// What was not examined: parts in their order, then findings, tests, views.
pub(crate) fn unexamined(
    case: &PieceRecord,
    book: &TradeBook,
    time: &Timeline<'_>,
    list: &PartList,
    parts: &[PartReport],
    findings: &[Finding],
    views: &[MissingView],
) -> Vec<Unexamined> {
    let mut lines: Vec<Unexamined> = parts.iter().filter_map(of_part).collect();
    lines.extend(findings.iter().filter_map(of_finding));
    lines.extend(tests(case, book, time, list));
    lines.extend(of_views(views));
    lines
}

fn line(silence: Silence, what: &str, why: &str) -> Unexamined {
    Unexamined {
        silence,
        what: what.to_owned(),
        why: why.to_owned(),
    }
}

fn of_part(part: &PartReport) -> Option<Unexamined> {
    match (&part.state, &part.otherwise) {
        (PartState::NotExamined(it), _) | (PartState::Faults, Some(it)) => {
            let why = it
                .why()
                .unwrap_or("Not examined; no reason was written down.");
            Some(line(Silence::NotExamined, &part.label, why))
        }
        (PartState::Silent, _) => Some(line(
            Silence::Nothing,
            &part.label,
            "Nothing is recorded of it; that is no statement that it is sound.",
        )),
        _ => None,
    }
}

fn of_finding(finding: &Finding) -> Option<Unexamined> {
    let what = format!("{} {}, {}", finding.no, finding.term, finding.part_label);
    let why = match finding.state {
        FindingState::NotVisible => "Looked for only in pictures that cannot show it.",
        FindingState::RepairUnseen => "A repair is recorded; no picture was taken after it.",
        _ => return None,
    };
    Some(line(Silence::NotSettled, &what, why))
}

/// Tests that only count when somebody recorded them.
fn tests(
    case: &PieceRecord,
    book: &TradeBook,
    time: &Timeline<'_>,
    list: &PartList,
) -> Vec<Unexamined> {
    let marked = |tag: &str| time.marks().any(|it| part_list::is(it.mark, tag));
    let of_group = |group: &str| {
        let mut cues = time
            .marks()
            .filter_map(|it| book.cue(it.mark.tag.as_deref()?));
        cues.any(|it| it.group == group)
    };
    let kind = |kind: &str| list.parts.iter().any(|it| it.kind == kind);
    let may_tip = book.form(&case.piece.form).is_some_and(|it| it.tip_over);
    let tests = [
        (
            !marked("lead_paint"),
            "Lead in paint or finish",
            "Not tested. Old paint and old coats may hold lead; a test through all layers settles it.",
        ),
        (
            true,
            "Species of the wood",
            "Not tested; where a wood is named, it was named by eye and is an opinion.",
        ),
        (
            !of_group("finish"),
            "Kind of the finish",
            "Not tested; a drop of solvent in a hidden place tells it.",
        ),
        (
            true,
            "Inside of the joints",
            "Joints were not opened; what holds them was judged from outside.",
        ),
        (
            may_tip && !marked("tip_risk"),
            "Tipping forward",
            "No test with open drawers or doors is recorded; fix it to the wall in any case.",
        ),
        (
            kind("wiring"),
            "Electrical parts",
            "Not tested by us; that is for somebody qualified, who gives a dated note.",
        ),
        (
            kind("seat"),
            "Filling of the seat",
            "Not opened; what is in it, and how it burns, is not known.",
        ),
    ];
    let tests = tests.into_iter().filter(|it| it.0);
    tests
        .map(|(_, what, why)| line(Silence::NotTested, what, why))
        .collect()
}

/// One line a stage for the views that were not taken.
fn of_views(views: &[MissingView]) -> Vec<Unexamined> {
    let stages = views.chunk_by(|a, b| a.stage == b.stage);
    let of_stage = |views: &[MissingView]| {
        let labels: Vec<&str> = views.iter().map(|it| it.label.as_str()).collect();
        let what = match views[0].stage {
            Stage::Doorstep => "Views not taken on the doorstep",
            Stage::Purchase => "Views not taken at purchase",
            Stage::Work => "Views not taken during the work",
            Stage::Sale => "Views not taken at the sale",
            Stage::Handover => "Views not taken at handover",
            Stage::Delivery => "Views not taken at delivery",
            Stage::Return => "Views not taken at the return",
        };
        line(
            Silence::NotPictured,
            what,
            &format!("{}.", labels.join("; ")),
        )
    };
    stages.map(of_stage).collect()
}
