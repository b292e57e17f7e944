//! Labels to tie to pieces.

use std::path::Path;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::evidence::seal::statement::Statement;
use crate::model::ids::StockNo;
use crate::model::piece_state::PieceState;
use crate::report::labels_page;
use crate::report::unborne_title;
use crate::tongue::Language;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::book::stock::StockRequest;
use crate::work::book::stock::stock;
use crate::work::out;
use crate::work::piece::recorded::assessment;
use crate::work::proof::handover::seal_code;

/// Labels that were written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LabelsDone {
    /// The page.
    pub path: String,
    /// The pieces, in their order.
    pub pieces: Vec<StockNo>,
    /// The fingerprint of the key that made the newest seal; `None` where there is none.
    pub fingerprint: Option<String>,
    /// What titles claim and the record does not show, a sentence each: for the command line.
    #[serde(skip)]
    pub unborne: Vec<String>,
    /// The page itself, where it was not to be written.
    #[serde(skip)]
    pub page: Option<String>,
}

/// Writes labels for these pieces; with none named, for all that are not sold. To `to`, else `labels.html` in the book; nowhere where
/// `to` is `-`: the answer holds it. `language` is that of the page; `None` for the book's.
///
/// # Errors
/// When there is no such piece, or the page cannot be written.
pub fn labels(
    book: &OpenBook,
    numbers: &[StockNo],
    to: Option<&Path>,
    language: Option<Language>,
) -> Result<LabelsDone, WorkError> {
    let mut numbers = numbers.to_vec();
    if numbers.is_empty() {
        let lines = stock(book, &StockRequest::default())?.into_iter();
        let here = lines.filter(|it| it.state != PieceState::Sold);
        numbers = here.map(|it| it.stock_no).collect();
    }
    if numbers.is_empty() {
        return Err(WorkError::asked("there is no piece that wants a label"));
    }
    let mut pieces = Vec::new();
    for no in &numbers {
        pieces.push(assessment(book, no)?);
    }
    let newest = book.record.seals()?.pop();
    let fingerprint = newest.map(|it| {
        let statement = Statement::read(&it.statement)
            .map_err(|why| WorkError::asked(format!("seal {} cannot be read: {why}", it.no)))?;
        Ok::<_, WorkError>(seal_code(it.no, &statement)?.fingerprint)
    });
    let fingerprint = fingerprint.transpose()?;
    let settings = book.settings()?;
    let page = labels_page(
        &pieces,
        &settings.trading_name,
        fingerprint.as_deref().unwrap_or_default(),
        settings.tongue(language),
    )?;
    let (path, page) = match to.filter(|it| it.as_os_str() == "-") {
        Some(to) => (to.to_owned(), Some(page)),
        None => {
            let path = out::place(to, &book.root, "labels.html")?;
            out::write(&path, page.as_bytes())?;
            (path, None)
        }
    };
    Ok(LabelsDone {
        path: path.display().to_string(),
        pieces: numbers,
        fingerprint,
        unborne: pieces.iter().flat_map(unborne).collect(),
        page,
    })
}

/// What the title of a piece claims and the record does not show, by its number.
fn unborne(it: &Assessment) -> Vec<String> {
    let no = &it.piece.stock_no;
    let told = unborne_title(it).into_iter();
    told.map(|it| format!("{no}: {it}")).collect()
}
