//! What nobody examined: said part by part, and the tests that nobody made. Never empty.

use crate::assess::assessment::Case;
use crate::assess::assessment::Finding;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::MissingView;
use crate::assess::assessment::PartReport;
use crate::assess::assessment::PartState;
use crate::assess::assessment::Unexamined;
use crate::assess::order::Timeline;
use crate::assess::parts;
use crate::model::photo::Stage;
use crate::trade::TradeBook;

/// What was not examined: parts in their order, then findings, tests, views.
pub(crate) fn unexamined(
    case: &Case,
    book: &TradeBook,
    time: &Timeline<'_>,
    parts: &[PartReport],
    findings: &[Finding],
    views: &[MissingView],
) -> Vec<Unexamined> {
    let mut lines: Vec<Unexamined> = parts.iter().filter_map(of_part).collect();
    lines.extend(findings.iter().filter_map(of_finding));
    lines.extend(tests(case, book, time));
    lines.extend(of_views(views));
    lines
}

fn line(what: &str, why: &str) -> Unexamined {
    Unexamined {
        what: what.to_owned(),
        why: why.to_owned(),
    }
}

fn of_part(part: &PartReport) -> Option<Unexamined> {
    match &part.state {
        PartState::NotExamined { why } => {
            let why = why
                .as_deref()
                .unwrap_or("Not examined; no reason was written down.");
            Some(line(&part.label, why))
        }
        PartState::Silent if part.required => Some(line(
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
    Some(line(&what, why))
}

/// Tests that only count when somebody recorded them.
fn tests(case: &Case, book: &TradeBook, time: &Timeline<'_>) -> Vec<Unexamined> {
    let marked = |tag: &str| time.marks().any(|it| parts::is(it.mark, tag));
    let mut lines = Vec::new();
    if !marked("lead_paint") {
        let why = "Not tested. Old paint and old coats may hold lead; a test through all layers settles it.";
        lines.push(line("Lead in paint or finish", why));
    }
    let why = "Not tested; where a wood is named, it was named by eye and is an opinion.";
    lines.push(line("Species of the wood", why));
    let why = "Joints were not opened; what holds them was judged from outside.";
    lines.push(line("Inside of the joints", why));
    let may_tip = book.form(&case.piece.form).is_some_and(|it| it.tip_over);
    if may_tip && !marked("tip_risk") {
        let why = "No test with open drawers or doors is recorded; fix it to the wall in any case.";
        lines.push(line("Tipping forward", why));
    }
    lines
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
        line(what, &format!("{}.", labels.join("; ")))
    };
    stages.map(of_stage).collect()
}
