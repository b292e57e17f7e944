//! Assessment -> HTML.
//!
//! In: an assessment, what the drawing needs, and small pictures. Out: one page. May not know: SQL, where photos lie.

mod dossier;
mod drawing;
mod edition;
#[cfg(test)]
mod fixture;
mod images;
mod page;
mod sections;
mod shotlist;

use crate::report::page::claimed;
use crate::report::page::templates;
use crate::report::page::words;
use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::Finding;
use crate::kit::clock::Day;
use crate::model::sale::Sale;
use crate::report::images::album::Album;
use crate::report::page::context::PageContext;
use crate::report::page::view::PageView;

pub use crate::report::dossier::claim::missing_for_claim;
pub use crate::report::dossier::cover::CoverOrder;
pub use crate::report::dossier::cover::EditionLine;
pub use crate::report::dossier::cover::PhotoProof;
pub use crate::report::dossier::cover::SealLine;
pub use crate::report::dossier::cover::cover_page;
pub use crate::report::dossier::cover::cover_shots;
pub use crate::report::dossier::cover::statement_page;
pub use crate::report::drawing::map::PieceMap;
pub use crate::report::drawing::map::piece_map;
pub use crate::report::drawing::scene::PartShape;
pub use crate::report::drawing::scene::Scene;
pub use crate::report::edition::edition_diff::EditionDiff;
pub use crate::report::edition::edition_summary::EditionSummary;
pub use crate::report::edition::edition_summary::SealNamed;
pub use crate::report::images::crop::Crop;
pub use crate::report::images::crop::ShotKind;
pub use crate::report::images::crop::detail_area;
pub use crate::report::page::templates::TEMPLATES;
pub use crate::report::shotlist::shot_page::ShotHead;
pub use crate::report::shotlist::shot_page::shot_page;

/// The page that checks a dossier in a browser: always the same, needs nothing but a folder.
#[must_use]
pub fn check_page() -> &'static str {
    templates::text_of("check.html")
}

/// What became of a finding, in words.
#[must_use]
pub fn state_words(finding: &Finding) -> &'static str {
    words::state(finding)
}

/// For whom the page is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// Everything the buyer should know, nothing that is private.
    Buyer,
    /// The same, with prices, hours, private notes, places and serial numbers at the end.
    Owner,
}

/// How the pictures come with the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Packing {
    /// Inside it, as data.
    OneFile,
    /// Beside it, under the names of [`Crop::file_name`]; each opens full size.
    Folder,
}

/// What page is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReportRequest {
    /// For whom.
    pub reader: Reader,
    /// Whether gaps may stay; they are then listed, and the page says that it is not final.
    pub draft: bool,
    /// Number of the edition, from 1.
    pub edition: u32,
    /// The day printed as the day it was made.
    pub made_on: Day,
    /// How the pictures come with it.
    pub packing: Packing,
    /// What changed since the edition before; `None` for a first one.
    pub since: Option<EditionDiff>,
    /// The newest seal when it was made, if it covers something of the piece.
    pub seal: Option<SealNamed>,
    /// The sale, if the piece was sold; price and buyer are in the owner's copy alone.
    pub sale: Option<Sale>,
}

/// A picture as taken for the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Image {
    /// A JPEG, upright, without any metadata.
    pub jpeg: Vec<u8>,
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// A final page was asked for, but statements are missing.
    #[error("the report cannot be final while required statements are missing ({0})")]
    NotFinal(usize),
    /// A template does not fit its view.
    #[error("could not fill the page")]
    Template(#[from] minijinja::Error),
}

/// Tells which pictures the page needs: sorted, each once.
///
/// The page is laid out without pictures and what it asks for is written down, so that the two cannot differ.
#[must_use]
pub fn shots(assessment: &Assessment, order: &ReportRequest) -> Vec<Crop> {
    let (scene, pictures) = (Scene::default(), BTreeMap::new());
    let album = Album::new(&pictures, order.packing);
    let sources = PageContext::new(assessment, &scene, order, &album);
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
    order: &ReportRequest,
    pictures: &BTreeMap<Crop, Image>,
) -> Result<String, ReportError> {
    if !order.draft && !assessment.gaps.is_empty() {
        return Err(ReportError::NotFinal(assessment.gaps.len()));
    }
    let marked = order.draft.then(|| claimed::marked(assessment));
    let assessment = marked.as_ref().unwrap_or(assessment);
    let album = Album::new(pictures, order.packing);
    let sources = PageContext::new(assessment, scene, order, &album);
    Ok(templates::fill("page.html", &PageView::new(&sources))?)
}

#[cfg(test)]
mod tests;
