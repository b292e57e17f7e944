//! Work that may have to do with how a finding came.

use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::part_list::belongs;
use crate::assess::piece_record::PieceRecord;
use crate::assess::worked::Worked;
use crate::model::finding::FindingKey;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;

/// A repair that may have to do with how a finding came.
#[derive(Clone, Copy, Debug)]
pub(super) struct Work<'a> {
    /// The repair.
    pub(super) repair: &'a Repair,
    /// Whether it is told as one for the finding itself.
    pub(super) is_its: bool,
    /// Whether it was done on the part of the finding, or on the whole that this belongs to.
    pub(super) reaches: bool,
}

impl Work<'_> {
    /// `repair 3 on the top`, `repair 3 for it`.
    pub(super) fn on(&self, part: &Saying) -> Saying {
        match self.is_its {
            true => say::work_for_it(self.repair.no),
            false => say::work_on(self.repair.no, part.clone()),
        }
    }
}

/// The repairs for a finding itself, and those on its part, on a part of it, or on the whole that it belongs to, by day.
pub(super) fn of<'a>(case: &'a PieceRecord, key: &FindingKey) -> Vec<Work<'a>> {
    let numbers = Numbers::of(&case.findings);
    let mut repairs: Vec<&Repair> = case.repairs.iter().collect();
    repairs.sort_by_key(|it| (it.day, it.no));
    let works = repairs.into_iter().filter_map(|repair| {
        let mut keys = repair.findings.iter().filter_map(|no| numbers.key(*no));
        let is_its = keys.any(|it| it == key);
        let done = Worked::of(repair, |no| numbers.key(no).map(|it| it.part.clone()));
        let reaches = done.reaches(&key.part);
        let touches = reaches || done.any(|it| belongs(it, &key.part));
        (is_its || touches).then_some(Work {
            repair,
            is_its,
            reaches,
        })
    });
    works.collect()
}
