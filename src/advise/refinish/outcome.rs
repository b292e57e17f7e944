//! What becomes of the open faults of a part on each path.

use crate::advise::part::gather;
use crate::assess::findings::finding::Finding;
use crate::assess::part_list::belongs;
use crate::assess::part_list::is_face;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::path::Path;

/// From this level on a buyer is told of every fault.
const TOLD_FROM: u8 = 2;

/// What a path does with the open faults of a part.
#[derive(Debug, Default)]
pub(crate) struct Outcome {
    pub(crate) removes: Vec<FindingNo>,
    pub(crate) hides: Vec<FindingNo>,
    pub(crate) leaves: Vec<FindingNo>,
    pub(crate) tell: Vec<FindingNo>,
}

impl Outcome {
    /// Of a path on a part. A way of refinishing does nothing to what is not on the face, such as a drawer's bottom.
    pub(crate) fn of(path: &Path, part: &PartId, findings: &[Finding], book: &TradeBook) -> Self {
        let mut outcome = Self::default();
        let held = |it: &&Finding| it.is_to_do() && belongs(&it.part, part);
        for finding in findings.iter().filter(held) {
            let on_face = is_face(&finding.part, part);
            if on_face && path.removes.contains(&finding.tag) {
                outcome.removes.push(finding.no);
                continue;
            }
            match on_face && path.hides.contains(&finding.tag) {
                true => outcome.hides.push(finding.no),
                false => outcome.leaves.push(finding.no),
            }
            let from = book.tag(&finding.tag).map_or(1, |it| it.disclose_from);
            if gather::level(finding) >= from.min(TOLD_FROM) {
                outcome.tell.push(finding.no);
            }
        }
        outcome
    }
}
