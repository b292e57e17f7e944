//! What was tapped and typed at the door: read, told at intake, and written beside a photo of the shoot.

use std::path::Path;

use serde::Serialize;

use crate::advise::doorstep::rows::Answers;
use crate::advise::doorstep::rows::Row;
use crate::advise::doorstep::rows::rows;
use crate::advise::doorstep::rows::said;
use crate::kit::files;
use crate::kit::files::write_whole;
use crate::mark;
use crate::mark::AtDoor;
use crate::model::ids::StockNo;
use crate::model::mark::Mark;
use crate::model::mark::Sidecar;
use crate::model::market::Sold;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::model::piece::PieceInput;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::sync_sidecars::sync_piece;

/// Reads the file of the page.
///
/// # Errors
/// With every mistake and its place, when it is damaged or not of this program.
pub fn read(book: &OpenBook, path: &Path) -> Result<AtDoor, WorkError> {
    let trade = book.trade()?;
    let bytes = files::read(path)?;
    let shown = path.display().to_string();
    let Ok(text) = String::from_utf8(bytes) else {
        return Err(WorkError::asked(format!("`{shown}` is no text in UTF-8")));
    };
    let known = |it: &AtDoor| {
        let found = of_file(trade, it)?;
        let row = |it: &Row<'_>| {
            let answers = it.tap.choices.iter().map(|it| it.id.clone());
            (it.id.clone(), answers.collect::<Vec<String>>())
        };
        Some(found.iter().map(row).collect())
    };
    mark::at_door(&shown, &text, &known).map_err(WorkError::Settings)
}

/// The rows of the piece that a file is about.
fn of_file<'a>(book: &'a TradeBook, it: &AtDoor) -> Option<Vec<Row<'a>>> {
    let choice = PartChoice {
        drawer_rows: it.drawers.clone(),
        with: it.with.clone(),
        never_had: Vec::new(),
    };
    let form = book.form(&it.form)?;
    Some(rows(&book.parts(form, &choice), book))
}

/// The comment of a sidecar that holds what was tapped.
const COMMENT: &str = "as tapped at the door";

/// Adds to what is told at intake what was told at the door; what is told now counts. An amount that is none is kept with the note.
///
/// # Errors
/// When the settings have mistakes, or a word of the file is none that the program knows.
pub fn told(book: &OpenBook, it: AtDoor, mut now: PieceInput) -> Result<PieceInput, WorkError> {
    let currency = book.settings()?.currency;
    let mut notes: Vec<String> = now.private_note.take().into_iter().chain(it.note).collect();
    now.title = now.title.or(it.title);
    now.form = now.form.or(Some(it.form));
    if now.drawer_rows.is_empty() {
        now.drawer_rows = it.drawers;
    }
    if now.with.is_empty() {
        now.with = it.with;
    }
    let market = &mut now.market.told;
    let word = |why: String| WorkError::asked(why);
    let worth = it.worth.map(|it| it.parse()).transpose().map_err(word)?;
    let meant_for = it
        .meant_for
        .map(|it| it.parse())
        .transpose()
        .map_err(word)?;
    market.worth = market.worth.or(worth);
    market.meant_for = market.meant_for.or(meant_for);
    if let Some(asks) = it.seller_asks {
        match currency.amount(asks.trim()) {
            Ok(asks) if market.seller_asks.is_none() => market.seller_asks = Some(asks),
            _ => notes.push(format!("asked at the door: {asks}")),
        }
    }
    for (path, text) in it.sold {
        match currency.amount(text.trim()) {
            Ok(price) => market.sold.push(Sold { path, price }),
            Err(_) => notes.push(format!("{path} brings, as typed at the door: {text}")),
        }
    }
    now.private_note = (!notes.is_empty()).then(|| notes.join("\n"));
    Ok(now)
}

/// Where the marks were written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Beside {
    /// The photo, by number; `None` where they lie beside a photo already, or nothing was tapped.
    pub photo: Option<u32>,
    /// How many marks there are.
    pub marks: usize,
}

/// Checks that a file is about a piece, and gives its marks.
///
/// # Errors
/// When the piece is of another form, or has other drawers or parts.
pub fn marks(book: &OpenBook, stock_no: &StockNo, it: &AtDoor) -> Result<Vec<Mark>, WorkError> {
    let trade = book.trade()?;
    let piece = book.record.piece(stock_no)?;
    let own = trade.parts_of(&piece.form, &piece.choice());
    let rows = rows(&own, trade);
    let mut answers: Answers = vec![None; rows.len()];
    for (id, answer) in &it.taps {
        let Some(at) = rows.iter().position(|row| row.id == *id) else {
            return Err(WorkError::asked_with(
                format!("the file tells of `{id}`, and {stock_no} has no such part"),
                format!(
                    "it is of another piece, or `asfound amend {stock_no}` tells its form, drawers and parts first"
                ),
            ));
        };
        answers[at] = Some(*answer);
    }
    Ok(said(&rows, &answers))
}

/// Writes marks beside the first photo of the newest shoot of a stage of which nothing is said yet.
///
/// # Errors
/// When there is no such photo, what was tapped stands beside one of that shoot already, or the book cannot be read or written.
pub fn beside(
    book: &mut OpenBook,
    stock_no: &StockNo,
    stage: Stage,
    marks: Vec<Mark>,
) -> Result<Beside, WorkError> {
    sync_piece(book, stock_no)?;
    let number = marks.len();
    let piece = book.record.piece(stock_no)?;
    let shoots = book.record.shoots(stock_no)?;
    let photos = book.record.photos(stock_no)?;
    let there = photos.iter().any(|it| it.sidecar.marks == marks);
    if there || marks.is_empty() {
        return Ok(Beside {
            photo: None,
            marks: number,
        });
    }
    let shoot = shoots.iter().rfind(|it| it.stage == stage);
    let own = photos
        .iter()
        .filter(|it| Some(it.shoot) == shoot.map(|it| it.no));
    let sidecar = |photo: &Photo| {
        let original = book.original(&piece, photo);
        original.with_file_name(photo.sidecar_name())
    };
    let text_of = |photo: &Photo| -> Result<String, WorkError> {
        Ok(String::from_utf8(files::read(&sidecar(photo))?).unwrap_or_default())
    };
    let tapped = |photo: &&Photo| text_of(photo).is_ok_and(|it| it.contains(COMMENT));
    if let Some(other) = own.clone().find(tapped) {
        return Err(WorkError::asked_with(
            format!(
                "what was tapped at the door stands beside photo {} of this shoot of {stock_no} already",
                other.no
            ),
            "two files of it may contradict each other: change that sidecar, or say it on the marking page",
        ));
    }
    let mut silent = own.filter(|it| it.sidecar == Sidecar::default());
    let Some(photo) = silent.next() else {
        return Err(WorkError::asked_with(
            format!(
                "no photo of the {stage} shoot of {stock_no} is left of which nothing is said yet"
            ),
            "what was tapped is written beside one: import a photo with it",
        ));
    };
    let path = sidecar(photo);
    let said = Sidecar {
        marks,
        ..Sidecar::default()
    };
    let mut text = mark::written(&photo.name, &said);
    // Comments that stand in the sidecar already stay.
    let old = text_of(photo)?;
    let comments = mark::own_comments(&photo.name, &old);
    for comment in std::iter::once(COMMENT.to_owned()).chain(comments) {
        text.push_str(&format!("# {comment}\n"));
    }
    write_whole(&path, text.as_bytes())?;
    let no = photo.no;
    sync_piece(book, stock_no)?;
    Ok(Beside {
        photo: Some(no),
        marks: number,
    })
}
