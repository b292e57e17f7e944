//! The sheet that the other side signs when a piece is handed over.

use std::path::PathBuf;

use serde::Serialize;

use crate::evidence::key::pair::PublicKey;
use crate::evidence::seal::letter::Letter;
use crate::evidence::seal::statement::Statement;
use crate::model::ids::StockNo;
use crate::report;
use crate::report::DrawingInput;
use crate::report::SealCode;
use crate::tongue::Language;
use crate::tongue::say;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::seals::sealed;
use crate::work::out;
use crate::work::piece::recorded::assessment;
use crate::work::piece::withdraw::in_stock;
use crate::work::report::drawing_input::scene;
use crate::work::sidecars::sync_sidecars::sync_piece;

/// A sheet that was written.
#[derive(Clone, Debug, Serialize)]
pub struct HandoverSheet {
    /// The page.
    pub path: String,
    /// Number of the seal on it.
    pub seal: u32,
    /// How many lines it covers.
    pub size: u64,
    /// The key's fingerprint.
    pub fingerprint: String,
    /// What the title claims and the record does not show, a sentence each: for the command line.
    #[serde(skip)]
    pub unborne: Vec<String>,
    /// The page itself, where it was not to be written.
    #[serde(skip)]
    pub page: Option<String>,
}

/// Writes the sheet with the newest seal, which must cover all of the piece: to `to`, into it when it is a folder, or into the
/// piece's folder; nowhere where `to` is `-`: the answer holds it. `language` is that of the sheet; `None` for the book's.
///
/// # Errors
/// When no seal covers the piece as it stands, or the page cannot be written.
pub fn handover(
    book: &mut OpenBook,
    stock_no: &StockNo,
    to: Option<PathBuf>,
    language: Option<Language>,
) -> Result<HandoverSheet, WorkError> {
    in_stock(book, stock_no)?;
    sync_piece(book, stock_no)?;
    let it = assessment(book, stock_no)?;
    let sealed = sealed(book, stock_no, None)?;
    let newest = sealed.seals.last();
    let code = newest.map(|(_, it)| seal_code(sealed.no, it)).transpose()?;
    let code = code.ok_or_else(|| WorkError::asked("there is no seal yet"))?;
    let settings = book.settings()?;
    let scene = DrawingInput {
        tongue: settings.tongue(language),
        ..scene(book, &it.piece, &settings)
    };
    let page = report::handover_page(&it, &scene, book.now.local_day(), &code)?;
    // A sheet in another language than the book's lies beside the one in that.
    let other = match language.filter(|it| *it != settings.language) {
        Some(it) => format!(", {it}"),
        None => String::new(),
    };
    let name = format!("{stock_no} handover, seal {}{other}.html", sealed.no);
    let unborne = report::unborne_title(&it);
    let (path, page) = match to.clone().filter(|it| it.as_os_str() == "-") {
        Some(place) => (place, Some(page)),
        None => {
            let path = out::place(to.as_deref(), &book.piece_folder(&it.piece), &name)?;
            out::write(&path, page.as_bytes())?;
            (path, None)
        }
    };
    Ok(HandoverSheet {
        path: path.display().to_string(),
        seal: sealed.no,
        size: sealed.size,
        fingerprint: code.fingerprint,
        unborne,
        page,
    })
}

/// A seal as a page prints it for people and for a scanner.
pub(in crate::work) fn seal_code(no: u32, it: &Statement) -> Result<SealCode, WorkError> {
    let key = PublicKey::from_bytes(&it.key.0)
        .map_err(|why| WorkError::asked(format!("seal {no} cannot be read: {why}")))?;
    Ok(SealCode {
        fingerprint: key.fingerprint(),
        line: Letter::of(no, it, &key).line(),
        named: say::seal_named(no, it.at.day()),
    })
}
