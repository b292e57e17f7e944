//! Which findings and views a dossier is about.

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Origin;
use crate::assess::material::remarks::Remark;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::Lost;
use crate::assess::statements::statement::Missed;
use crate::model::photo::Stage;
use crate::report::dossier::cover_order::CoverRequest;
use crate::trade;
use crate::trade::entry::claim_kind::ClaimKind;
use crate::trade::entry::claim_kind::Concerned;

/// The findings that a dossier is about, by number, and those that came after the piece had left first: those of the claim, and among them those marked in the pictures that were
/// named, if any is.
pub(in crate::report) fn concerned<'a>(
    assessment: &'a Assessment,
    cover: &CoverRequest,
) -> Vec<&'a Finding> {
    let kind = cover.claim.map_or(Concerned::All, |it| it.findings);
    let of_claim = |it: &&Finding| match kind {
        Concerned::All => true,
        Concerned::None => false,
        Concerned::AfterSale => {
            let at_van = it.history.first().map(|it| it.stage) == Some(Stage::Handover);
            let later = it.history.iter().any(|it| it.stage.after_sale());
            at_van || later || it.origin == Origin::AfterSale
        }
        Concerned::Joints => trade::book()
            .tag(&it.tag)
            .is_some_and(|it| it.group == "structure"),
        Concerned::Missing => trade::book().tag(&it.tag).is_some_and(|it| it.absence),
        Concerned::Repaired => !it.repairs.is_empty(),
    };
    let shown = |it: &&Finding| it.state != FindingState::Withdrawn;
    let mut all: Vec<&Finding> = assessment
        .findings
        .iter()
        .filter(shown)
        .filter(of_claim)
        .collect();
    // What came after the piece had left is what such a claim is about; what was at the van, or is more since, comes after.
    if kind == Concerned::AfterSale {
        let is_new = |it: &&Finding| it.history.first().is_some_and(|it| it.stage.after_sale());
        all.sort_by_key(|it| !is_new(it));
    }
    if cover.photos.is_empty() {
        return all;
    }
    let named = |it: &&Finding| {
        let mut marks = it.history.iter().flat_map(|it| &it.marks);
        marks.any(|at| cover.photos.contains(&at.photo))
    };
    all.into_iter().filter(named).collect()
}

/// Parts that were found sound once and are absent since, where the claim asks for them or there is none; in the form's order.
pub(in crate::report) fn lost<'a>(
    assessment: &'a Assessment,
    cover: &CoverRequest,
) -> Vec<(&'a PartReport, &'a Lost)> {
    let asked = cover.claim.is_none_or(|it| it.lost);
    let parts = assessment.parts.iter().filter(|_| asked);
    let lost = parts.filter_map(|it| match &it.state {
        PartState::Absent(missed) => Some((it, missed.lost()?)),
        _ => None,
    });
    lost.filter(|(_, it)| {
        let named = |no: u32| cover.photos.contains(&no);
        cover.photos.is_empty() || named(it.photo) || named(it.was.photo())
    })
    .collect()
}

/// Parts that are absent and that nobody wrote to have been found sound before, where the claim asks for lost parts; those that were
/// told so of the piece, beside no picture, where it asks what is missing. In the form's order.
pub(in crate::report) fn absent<'a>(
    assessment: &'a Assessment,
    cover: &CoverRequest,
) -> Vec<(&'a PartReport, &'a Missed)> {
    let asked = cover.claim.is_some_and(|it| it.lost);
    let of_piece = cover
        .claim
        .is_some_and(|it| it.findings == Concerned::Missing);
    let parts = assessment.parts.iter().filter(|_| asked);
    let absent = parts.filter_map(|it| {
        let missed = it.missed_itself().filter(|it| it.lost().is_none())?;
        Some((it, missed))
    });
    let named = |it: u32| cover.photos.is_empty() || cover.photos.contains(&it);
    absent
        .filter(|it| it.1.photo().map_or(of_piece, named))
        .collect()
}

/// What was seen that is no fault and answers a claim: of a group that it asks for, or what one of its views would show.
pub(in crate::report) fn answering<'a>(
    assessment: &'a Assessment,
    claim: &'a ClaimKind,
) -> impl Iterator<Item = &'a Remark> {
    let answers = |it: &&Remark| {
        let cue = trade::book().cue(&it.tag);
        cue.is_some_and(|cue| {
            let view = cue.view.as_ref();
            claim.seen.contains(&cue.group) || view.is_some_and(|it| claim.views.contains(it))
        })
    };
    assessment.remarks.iter().filter(answers)
}

/// Whether a view shows whatever fault there is, so that the exhibits of the findings hold it already.
pub(in crate::report) fn shows_a_fault(view: &str) -> bool {
    view.starts_with("defect_") || view == "part_whole"
}
