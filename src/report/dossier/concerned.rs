//! Which findings and views a dossier is about.

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Origin;
use crate::report::dossier::cover_order::CoverOrder;
use crate::trade;
use crate::trade::entry::claim_kind::Concerned;

/// The findings that a dossier is about, by number: those of the claim, and among them those marked in the pictures that were
/// named, if any is.
pub(in crate::report) fn concerned<'a>(
    assessment: &'a Assessment,
    cover: &CoverOrder,
) -> Vec<&'a Finding> {
    let kind = cover.claim.map_or(Concerned::All, |it| it.findings);
    let of_claim = |it: &&Finding| match kind {
        Concerned::All => true,
        Concerned::None => false,
        Concerned::AfterSale => {
            it.origin == Origin::AfterSale || it.history.iter().any(|it| it.stage.after_sale())
        }
        Concerned::Joints => trade::book()
            .tag(&it.tag)
            .is_some_and(|it| it.group == "structure"),
        Concerned::Repaired => !it.repairs.is_empty(),
    };
    let shown = |it: &&Finding| it.state != FindingState::Withdrawn;
    let all: Vec<&Finding> = assessment
        .findings
        .iter()
        .filter(shown)
        .filter(of_claim)
        .collect();
    if cover.photos.is_empty() {
        return all;
    }
    let named = |it: &&Finding| {
        let mut marks = it.history.iter().flat_map(|it| &it.marks);
        marks.any(|at| cover.photos.contains(&at.photo))
    };
    all.into_iter().filter(named).collect()
}

/// Whether a view shows whatever fault there is, so that the exhibits of the findings hold it already.
pub(in crate::report) fn shows_a_fault(view: &str) -> bool {
    view.starts_with("defect_") || view == "part_whole"
}
