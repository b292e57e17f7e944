//! The page for the door: taps, what they mean, and the estimate that they make.

use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::advise::doorstep::door::Door;
use crate::advise::doorstep::rows::rows;
use crate::advise::doorstep::tabulate::AtTheDoor;
use crate::advise::shots::shot_list;
use crate::kit::clock::Moment;
use crate::kit::files::write_whole;
use crate::mark;
use crate::model::ids::StockNo;
use crate::model::market::Market;
use crate::model::market::MeantFor;
use crate::model::market::Worth;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::piece::Size;
use crate::report;
use crate::report::DoorHead;
use crate::trade;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::out;
use crate::work::sidecars::vocabulary;

/// What is told before anybody stands at the door.
#[derive(Clone, Debug, Default)]
pub struct DoorRequest {
    /// The form.
    pub form: String,
    /// The size, where it is known.
    pub size: Option<Size>,
    /// Drawers in each row from the top.
    pub drawer_rows: Vec<u8>,
    /// Optional parts.
    pub with: Vec<String>,
    /// What it is taken for.
    pub worth: Option<Worth>,
    /// For whom it is meant.
    pub meant_for: Option<MeantFor>,
    /// Where the page is written.
    pub place: Option<PathBuf>,
}

/// The page as it was written.
#[derive(Clone, Debug, Serialize)]
pub struct DoorSheet {
    /// The form.
    pub form: String,
    /// What can be tapped, by id.
    pub rows: Vec<String>,
    /// Answers and sets of them of which the page knows what they add.
    pub terms: usize,
    /// The page.
    pub page: String,
}

/// Writes the page: with the words and terms of a stock book, or of the program alone.
///
/// # Errors
/// When there is no such form, the user's own words or settings have mistakes, or the page cannot be written.
pub fn doorstep(of: Option<&OpenBook>, order: DoorRequest) -> Result<DoorSheet, WorkError> {
    let book = match of {
        Some(open) => open.trade()?,
        None => trade::book(),
    };
    let settings = match of {
        Some(open) => open.settings()?,
        None => {
            mark::settings("", "", &vocabulary::of_settings(book)).map_err(WorkError::Settings)?
        }
    };
    let form = book
        .form(&order.form)
        .ok_or_else(|| vocabulary::no_form(book, &order.form))?;
    // Before the rules are asked, which takes long.
    let path = out::place(order.place.as_deref(), Path::new("."), "doorstep.html")?;
    let now = of.map_or_else(Moment::now, |it| it.now);
    let market = Market {
        worth: order.worth,
        meant_for: order.meant_for,
        ..Market::default()
    };
    let piece = Piece {
        form: form.id.clone(),
        size: order.size,
        drawer_rows: order.drawer_rows,
        with: order.with,
        market,
        ..Piece::blank(StockNo::new(now.local_day().year(), 1), now)
    };
    let parts = vocabulary::parts(book, &piece);
    let at = AtTheDoor {
        rows: rows(&parts, book),
        settings: &settings,
        book,
        day: now.local_day(),
        piece,
    };
    let door = Door::of(&at).map_err(|why| WorkError::asked(why.to_string()))?;
    let market = &at.piece.market;
    let choice = at.piece.choice();
    let head = DoorHead {
        form_label: form.label.clone(),
        size: order.size.map_or_else(String::new, size_words),
        drawer_rows: at.piece.drawer_rows.clone(),
        with: at.piece.with.clone(),
        worth: market.worth.map_or_else(String::new, |it| it.to_string()),
        meant_for: market
            .meant_for
            .map_or_else(String::new, |it| it.to_string()),
        mind: { shot_list::of_form(form, &choice, Stage::Doorstep, book).mind }
            .iter()
            .map(ToString::to_string)
            .collect(),
    };
    let page = report::door_page(&head, &at.rows, &door, book)?;
    write_whole(&path, page.as_bytes())?;
    Ok(DoorSheet {
        form: form.id.clone(),
        rows: at.rows.iter().map(|it| it.id.clone()).collect(),
        terms: door.table.terms.len(),
        page: path.display().to_string(),
    })
}

/// A size as it is typed: `900x1050x480mm`.
fn size_words(it: Size) -> String {
    format!("{}x{}x{}mm", it.height_mm, it.width_mm, it.depth_mm)
}
