//! Marks that are told as one fault, or as one look at it, though nobody said that they are one.

use std::collections::BTreeMap;

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::findings::sighting::Sighting;
use crate::assess::gaps::lacks::Gap;
use crate::model::ids::FindingNo;

/// One gap for each finding that stands twice in a picture. A sidecar says today which is which; those that were read before it
/// had to are in force as they are.
pub(crate) fn alike(ground: &ClaimContext<'_>) -> Vec<Gap> {
    let numbers = Numbers::of(&ground.case.findings);
    let mut gaps = Vec::new();
    for photo in &ground.time.photos {
        let mut marks: BTreeMap<FindingNo, Vec<bool>> = BTreeMap::new();
        for mark in &photo.sidecar.marks {
            if let Some(no) = numbers.of_mark(mark, ground.book) {
                let named = mark.finding.is_some() || mark.which.is_some();
                marks.entry(no).or_default().push(named);
            }
        }
        let unclear = |it: &&(FindingNo, Vec<bool>)| it.1.len() > 1 && it.1.contains(&false);
        let all: Vec<_> = marks.into_iter().collect();
        for (no, marks) in all.iter().filter(unclear) {
            let Some(finding) = ground.findings.iter().find(|it| it.no == *no) else {
                continue;
            };
            gaps.push(Gap {
                code: "told_as_one".to_owned(),
                message: format!(
                    "{no} ({}, {}): picture {} has {} marks of it, told as one fault, though nobody said that they are one",
                    finding.term,
                    finding.part_label,
                    photo.no,
                    marks.len()
                ),
                remedy: format!(
                    "for two faults say in one of the marks which it is, such as `which = \"right\"`; for one fault write `finding = \"{no}\"` in both"
                ),
            });
        }
    }
    gaps
}

/// One gap for each shoot of which one picture says that a fault is there, and another that it is repaired or gone: the shoot tells
/// that it is there, and what the other picture says is lost.
pub(crate) fn at_odds(ground: &ClaimContext<'_>) -> Vec<Gap> {
    let of = |finding: &Finding| -> Vec<Gap> {
        let gap = |look: &Sighting| {
            let said = look.marks.iter();
            let said = said.filter_map(|at| Some((at.photo, ground.time.mark(*at)?.state)));
            let (there, not): (Vec<_>, Vec<_>) = said
                .filter(|it| it.1.tells())
                .partition(|it| it.1.is_there());
            let ((there, is), (other, was)) = (*there.first()?, *not.first()?);
            let (no, stage, day) = (finding.no, look.stage, look.day);
            let stock_no = &ground.case.piece.stock_no;
            Some(Gap::new(
                "looks_at_odds",
                format!(
                    "{no} ({}, {}): of one shoot, {stage} of {day}, picture {there} says that it is {}, and picture {other} that it is {}",
                    finding.term,
                    finding.part_label,
                    is.said(),
                    was.said()
                ),
                format!(
                    "where they are of two occasions, put one where it belongs: `asfound amend {stock_no} --photo {there} --stage STAGE --day DAY`; else mend the mark that is wrong"
                ),
            ))
        };
        finding.history.iter().filter_map(gap).collect()
    };
    ground.findings.iter().flat_map(of).collect()
}
