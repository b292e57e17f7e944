//! Assessment -> HTML.
//!
//! In: an assessment, what the drawing needs, and small pictures. Out: one page. May not know: SQL, where photos lie.

mod album;
mod beside;
mod claimed;
mod cover;
mod cover_claim;
mod cover_concerned;
mod cover_dates;
mod cover_exhibits;
mod cover_order;
mod drawing;
mod escape;
mod fact_view;
#[cfg(test)]
mod fixture;
mod names;
mod policy;
mod request;
mod shot;
mod shot_page;
mod since;
mod sources;
mod stated;
mod templates;
mod view_changed;
mod view_figure;
mod view_glance;
mod view_head;
mod view_living;
mod view_made;
mod view_page;
mod view_pictures;
mod view_private;
mod view_sale;
mod view_sealed;
mod view_state;
mod words;

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::FindingState;
use crate::model::picture::SmallPicture;
use crate::report::album::Album;
use crate::report::sources::Sources;
use crate::report::view_page::PageView;

pub use crate::report::cover::cover_page;
pub use crate::report::cover::cover_shots;
pub use crate::report::cover::statement_page;
pub use crate::report::cover_claim::missing_for_claim;
pub use crate::report::cover_order::CoverOrder;
pub use crate::report::cover_order::EditionLine;
pub use crate::report::cover_order::PhotoProof;
pub use crate::report::cover_order::SealLine;
pub use crate::report::drawing::map::PieceMap;
pub use crate::report::drawing::map::piece_map;
pub use crate::report::drawing::scene::PartShape;
pub use crate::report::drawing::scene::Scene;
pub use crate::report::request::Order;
pub use crate::report::request::Packing;
pub use crate::report::request::Reader;
pub use crate::report::request::ReportError;
pub use crate::report::shot::Shot;
pub use crate::report::shot::ShotKind;
pub use crate::report::shot::detail_area;
pub use crate::report::shot_page::ShotHead;
pub use crate::report::shot_page::shot_page;
pub use crate::report::since::Since;
pub use crate::report::stated::SealNamed;
pub use crate::report::stated::Stated;
pub use crate::report::templates::TEMPLATES;

/// The page that checks a dossier in a browser: always the same, needs nothing but a folder.
#[must_use]
pub fn check_page() -> &'static str {
    templates::text_of("check.html")
}

/// What became of a finding, in words.
#[must_use]
pub fn state_words(state: FindingState) -> &'static str {
    words::state(state)
}

/// Tells which pictures the page needs: sorted, each once.
///
/// The page is laid out without pictures and what it asks for is written down, so that the two cannot differ.
#[must_use]
pub fn shots(assessment: &Assessment, order: &Order) -> Vec<Shot> {
    let (scene, pictures) = (Scene::default(), BTreeMap::new());
    let album = Album::new(&pictures, order.packing);
    let sources = Sources::new(assessment, &scene, order, &album);
    // Laid out for what it asks of the album.
    let _ = PageView::new(&sources);
    album.asked()
}

/// Makes the page; a picture that is not in `pictures` is told as not available.
///
/// # Errors
/// When a final page is asked for while the assessment has gaps, or when a template fails.
pub fn page(
    assessment: &Assessment,
    scene: &Scene,
    order: &Order,
    pictures: &BTreeMap<Shot, SmallPicture>,
) -> Result<String, ReportError> {
    if !order.draft && !assessment.gaps.is_empty() {
        return Err(ReportError::NotFinal(assessment.gaps.len()));
    }
    let marked = order.draft.then(|| claimed::marked(assessment));
    let assessment = marked.as_ref().unwrap_or(assessment);
    let album = Album::new(pictures, order.packing);
    let sources = Sources::new(assessment, scene, order, &album);
    Ok(templates::fill("page.html", &PageView::new(&sources))?)
}

#[cfg(test)]
mod tests;
