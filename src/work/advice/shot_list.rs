//! Which pictures to take now: of a piece at a stage, or of a form before anything is in the book.

use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::advise::shots::shot_list;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::model::piece::Piece;
use crate::report;
use crate::report::ShotHead;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::say;
use crate::trade;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::out;
use crate::work::piece::recorded::assessment;
use crate::work::sidecars::sync_sidecars::sync_piece;
use crate::work::sidecars::vocabulary;

pub use crate::advise::shots::area_shot::AreaShot;
pub use crate::advise::shots::to_take::FaultShot;
pub use crate::advise::shots::to_take::ShotLine;
pub use crate::advise::shots::to_take::ShotList;

/// A shot list and what it is for.
#[derive(Clone, Debug, Serialize)]
pub struct ShotSheet {
    /// The piece; `None` for a form alone.
    pub stock_no: Option<StockNo>,
    /// Its title; the form's name for a form alone.
    pub title: String,
    /// Its form.
    pub form: String,
    /// The occasion.
    pub stage: Stage,
    /// What to take.
    #[serde(flatten)]
    pub list: ShotList,
    /// What the scale card is.
    pub card: Saying,
    /// Photos of the stage that name no view yet, so that they are not counted.
    pub photos_without_view: usize,
    /// What the page calls it.
    #[serde(skip)]
    pub named: Saying,
    /// The page, once it is written.
    pub page: Option<String>,
    /// Where the page is written when no other place is told.
    #[serde(skip)]
    pub folder: PathBuf,
}

/// The list of a piece at a stage, minus what the book holds.
///
/// # Errors
/// When there is no such piece, or the book cannot be read or written.
pub fn of_piece(
    book: &mut OpenBook,
    stock_no: &StockNo,
    stage: Stage,
) -> Result<ShotSheet, WorkError> {
    sync_piece(book, stock_no)?;
    let it = assessment(book, stock_no)?;
    let shoots = it.shoots.iter().filter(|it| it.stage == stage);
    let shoots: Vec<u32> = shoots.map(|it| it.no).collect();
    let bare = it.photos.iter().filter(|it| it.sidecar.view.is_none());
    Ok(ShotSheet {
        stock_no: Some(stock_no.clone()),
        title: it.piece.title.clone(),
        form: it.piece.form.clone(),
        stage,
        list: shot_list::of_piece(&it, stage, &book.trade),
        card: say::shot_card_is(),
        photos_without_view: bare.filter(|it| shoots.contains(&it.shoot)).count(),
        named: Saying::Own(it.piece.title.clone()),
        page: None,
        folder: book.piece_folder(&it.piece),
    })
}

/// The list of a form with its usual parts: with the words of a stock book, or of the program alone.
///
/// # Errors
/// When there is no such form, or the user's own words have mistakes.
pub fn of_form(of: Option<&OpenBook>, word: &str, stage: Stage) -> Result<ShotSheet, WorkError> {
    let book = match of {
        Some(open) => open.trade()?,
        None => trade::book(),
    };
    let form = book
        .form(word)
        .ok_or_else(|| vocabulary::no_form(book, word))?;
    Ok(ShotSheet {
        stock_no: None,
        title: form.label.clone(),
        form: form.id.clone(),
        stage,
        list: shot_list::of_form(form, &PartChoice::default(), stage, book),
        card: say::shot_card_is(),
        photos_without_view: 0,
        named: Saying::form(&form.label),
        page: None,
        folder: PathBuf::new(),
    })
}

/// Writes the page: to `place`, into it when it is a folder, or beside the piece's shoots. `tongue` is that of the page.
///
/// # Errors
/// When the page cannot be written.
pub fn write_page(
    sheet: &mut ShotSheet,
    place: Option<&Path>,
    tongue: Tongue,
) -> Result<(), WorkError> {
    // A page in another language than the book's lies beside the one in that.
    let other = match tongue.language == tongue.writer {
        true => String::new(),
        false => format!(", {}", tongue.language),
    };
    let name = format!("shot list {}{other}.html", sheet.stage);
    let path = out::place(place, &sheet.folder, &name)?;
    let head = ShotHead {
        stock_no: sheet.stock_no.as_ref(),
        piece: sheet.named.clone(),
        stage: sheet.stage,
        without_view: sheet.photos_without_view,
        tongue,
    };
    let page = report::shot_page(&head, &sheet.list)?;
    out::write(&path, page.as_bytes())?;
    sheet.page = Some(path.display().to_string());
    Ok(())
}

/// The views of a stage for a piece of which there is no photo yet, in walking order.
pub(in crate::work) fn at_intake(book: &TradeBook, piece: &Piece, stage: Stage) -> Vec<ShotLine> {
    let choice = piece.choice();
    let form = book.form(&piece.form);
    form.map(|it| shot_list::of_form(it, &choice, stage, book).views)
        .unwrap_or_default()
}
