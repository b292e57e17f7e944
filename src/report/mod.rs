//! Assessment -> HTML.
//!
//! In: an assessment, what the drawing needs, and small pictures. Out: one page. May not know: SQL, where photos lie.

mod doorstep;
mod dossier;
mod drawing;
mod edition;
#[cfg(test)]
mod fixture;
mod images;
mod label;
mod page;
mod sections;
mod shotlist;

use crate::report::page::became;
use crate::report::page::claimed;
use crate::report::page::links;
use crate::report::page::templates;
use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::model::picture::SmallPicture;
use crate::report::images::album::Album;
use crate::report::page::context::PageContext;
use crate::report::page::view::PageView;
use crate::report::page::words;
use crate::report::sections::section::Sections;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade;

pub use crate::report::doorstep::door_page::DoorHead;
pub use crate::report::doorstep::door_page::door_page;
pub use crate::report::dossier::cover::cover_page;
pub use crate::report::dossier::cover::cover_shots;
pub use crate::report::dossier::cover::statement_page;
pub use crate::report::dossier::cover_order::Confirmed;
pub use crate::report::dossier::cover_order::CoverRequest;
pub use crate::report::dossier::cover_order::EditionLine;
pub use crate::report::dossier::cover_order::PhotoFiles;
pub use crate::report::dossier::cover_order::PhotoProof;
pub use crate::report::dossier::cover_order::Retold;
pub use crate::report::dossier::cover_order::SealLine;
pub use crate::report::dossier::cover_order::TakenOut;
pub use crate::report::dossier::handover::handover_page;
pub use crate::report::dossier::lines::left::CameIn;
pub use crate::report::dossier::lines::left::SinceLeft;
pub use crate::report::dossier::lines::line_told::FactEntered;
pub use crate::report::dossier::lines::line_told::InBook;
pub use crate::report::dossier::lines::line_told::LackEntered;
pub use crate::report::dossier::lines::line_told::PaperKept;
pub use crate::report::dossier::lines::line_told::PhotosMoved;
pub use crate::report::dossier::lines::line_told::SaleTold;
pub use crate::report::dossier::lines::line_told::ShootChanged;
pub use crate::report::dossier::lines::line_told::TakenBack;
pub use crate::report::dossier::lines::line_told::Withdrawal;
pub use crate::report::dossier::lines::line_told::WordsInBook;
pub use crate::report::dossier::missing::missing_for_claim;
pub use crate::report::dossier::place_page::place_page;
pub use crate::report::dossier::place_page::place_shots;
pub use crate::report::drawing::map::PieceMap;
pub use crate::report::drawing::map::piece_map;
pub use crate::report::drawing::scene::DrawingInput;
pub use crate::report::edition::edition_diff::EditionDiff;
pub use crate::report::edition::edition_summary::EditionSummary;
pub use crate::report::edition::edition_summary::SealNamed;
pub use crate::report::edition::since_left::AfterSale;
pub use crate::report::edition::since_left::LateMark;
pub use crate::report::edition::since_left::LateRepair;
pub use crate::report::edition::since_left::LateWords;
pub use crate::report::images::crop::Crop;
pub use crate::report::images::crop::ShotKind;
pub use crate::report::images::crop::detail_area;
pub use crate::report::label::labels_page;
pub use crate::report::page::request::Packing;
pub use crate::report::page::request::Reader;
pub use crate::report::page::request::ReportError;
pub use crate::report::page::request::ReportRequest;
pub use crate::report::page::request::SealCode;
pub use crate::report::page::templates::TEMPLATES;
pub use crate::report::shotlist::shot_page::ShotHead;
pub use crate::report::shotlist::shot_page::shot_page;

/// The page that checks a dossier in a browser: always the same, needs nothing but a folder.
#[must_use]
pub fn check_page() -> &'static str {
    templates::text_of("check.html")
}

/// Where a finding came from, in words.
#[must_use]
pub fn came(finding: &Finding) -> String {
    let told = words::came(finding).into_iter().map(|it| it.to_string());
    told.collect::<Vec<String>>().join(" ")
}

/// What became of a finding, in words.
#[must_use]
pub fn state_words(finding: &Finding) -> String {
    became::state(finding, &[]).to_string()
}

/// What lacks for the words of the title that nothing bears, a sentence each: told to the seller, who writes the paper.
#[must_use]
pub fn unborne_title(assessment: &Assessment) -> Vec<String> {
    claimed::unborne_title(assessment)
}

/// What a paper calls a piece that does not say what is borne out: its title; where that claims what the record does not show, its form.
#[must_use]
pub fn name_of(assessment: &Assessment) -> Saying {
    let piece = &assessment.piece;
    if unborne_title(assessment).is_empty() {
        return Saying::Own(piece.title.clone());
    }
    let form = trade::book().form(&piece.form);
    let form = form.map(|it| say::within(Saying::form(&it.label)));
    form.unwrap_or_else(|| Saying::Own(piece.form.clone()))
}

/// The assessment with a mark behind every word of the user that claims what the record does not show.
#[must_use]
pub fn with_claims_marked(assessment: &Assessment) -> Assessment {
    claimed::marked(assessment)
}

/// Tells which pictures the page needs: sorted, each once.
///
/// The page is laid out without pictures and what it asks for is written down, so that the two cannot differ.
#[must_use]
pub fn shots(assessment: &Assessment, order: &ReportRequest) -> Vec<Crop> {
    let (scene, pictures) = (DrawingInput::default(), BTreeMap::new());
    let album = Album::new(&pictures, order.packing);
    let sources = PageContext::new(assessment, &scene, order, &album);
    // Laid out for what it asks of the album.
    let _ = PageView::new(Sections {
        own: &sources,
        english: &sources,
    });
    album.asked()
}

/// Makes the page; a picture that is not in `pictures` is told as not available.
///
/// # Errors
/// When a final page is asked for while the assessment has gaps, or when a template fails.
pub fn page(
    assessment: &Assessment,
    scene: &DrawingInput,
    order: &ReportRequest,
    pictures: &BTreeMap<Crop, SmallPicture>,
) -> Result<String, ReportError> {
    if !order.draft && !assessment.gaps.is_empty() {
        return Err(ReportError::NotFinal(assessment.gaps.len()));
    }
    let marked = order.draft.then(|| claimed::marked(assessment));
    let assessment = marked.as_ref().unwrap_or(assessment);
    let album = Album::new(pictures, order.packing);
    let sources = PageContext::new(assessment, scene, order, &album);
    let in_english = DrawingInput {
        tongue: scene.tongue.in_english(),
        ..scene.clone()
    };
    let english = PageContext::new(assessment, &in_english, order, &album);
    let pages = Sections {
        own: &sources,
        english: &english,
    };
    let html = templates::fill("page.html", &PageView::new(pages))?;
    Ok(links::linked(&html, scene.tongue.language))
}

#[cfg(test)]
mod tests;
