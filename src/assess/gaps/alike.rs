//! Marks of one kind in one picture that are told as one fault, though nobody said that they are one.

use std::collections::BTreeMap;

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::findings::from_marks::numbers::Numbers;
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
