//! Assessment -> HTML.
//!
//! In: an assessment, what the drawing needs, and small pictures. Out: one page. May not know: SQL, where photos lie.

mod album;
mod beside;
mod claimed;
mod cover;
mod cover_claim;
mod cover_dates;
mod cover_exhibits;
mod drawing;
mod escape;
#[cfg(test)]
mod fixture;
mod names;
mod policy;
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
use crate::assess::assessment::Finding;
use crate::kit::clock::Day;
use crate::model::sale::Sale;
use crate::report::album::Album;
use crate::report::sources::Sources;
use crate::report::view_page::PageView;

pub use crate::report::cover::CoverOrder;
pub use crate::report::cover::EditionLine;
pub use crate::report::cover::PhotoProof;
pub use crate::report::cover::SealLine;
pub use crate::report::cover::cover_page;
pub use crate::report::cover::cover_shots;
pub use crate::report::cover::statement_page;
pub use crate::report::cover_claim::missing_for_claim;
pub use crate::report::drawing::map::PieceMap;
pub use crate::report::drawing::map::piece_map;
pub use crate::report::drawing::scene::PartShape;
pub use crate::report::drawing::scene::Scene;
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
    /// Beside it, under the names of [`Shot::file_name`]; each opens full size.
    Folder,
}

/// What page is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
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
    pub since: Option<Since>,
    /// The newest seal when it was made, if it covers something of the piece.
    pub seal: Option<SealNamed>,
    /// The sale, if the piece was sold; price and buyer are in the owner's copy alone.
    pub sale: Option<Sale>,
}

/// A picture as taken for the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
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
    pictures: &BTreeMap<Shot, Taken>,
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
