//! The page for the doorstep, and the file that comes home from it.

use std::path::Path;

use serde::Serialize;

use crate::advise::door::answer::Judge;
use crate::advise::door::record::Walk;
use crate::advise::door::sheet::sheet;
use crate::advise::price::terms::Terms;
use crate::advise::shots::shot_list;
use crate::kit::clock::Moment;
use crate::kit::files;
use crate::kit::files::make_folder;
use crate::kit::files::write_whole;
use crate::kit::money::Currency;
use crate::mark;
use crate::mark::DoorTold;
use crate::model::mark::Sidecar;
use crate::model::market::Market;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::report;
use crate::report::DoorHead;
use crate::trade;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::vocabulary;

/// A page for the doorstep.
#[derive(Clone, Debug, Serialize)]
pub struct DoorAnswer {
    /// The form.
    pub form: String,
    /// Where the page lies.
    pub page: String,
    /// How many walks were judged for it.
    pub judged: usize,
}

/// Writes the page of a form: with the terms and words of a stock book, or the program's own in the currency told.
///
/// # Errors
/// When there is no such form, the user's words have mistakes, terms are missing, or the page cannot be written.
pub fn write_page(
    of: Option<&OpenBook>,
    word: &str,
    place: Option<&Path>,
    now: Moment,
) -> Result<DoorAnswer, WorkError> {
    let (book, settings) = match of {
        Some(open) => (open.trade()?, open.settings()?),
        None => (trade::book(), Settings::usual(euro()?)),
    };
    let form = book
        .form(word)
        .ok_or_else(|| vocabulary::no_form(book, word))?;
    let terms = Terms::of(&settings, &Market::default(), book).map_err(|missing| {
        WorkError::asked_with(
            "a bid needs terms that book.toml does not tell yet",
            format!("in book.toml: {}", missing.join(", ")),
        )
    })?;
    let judge = Judge::new(&settings, book, now);
    let sheet = sheet(&judge, form).ok_or_else(|| {
        WorkError::asked("the answers for this form act together in too many ways to fit a page")
    })?;
    let mind = shot_list::of_form(form, &PartChoice::default(), Stage::Doorstep, book).mind;
    let page = report::door_page(&DoorHead {
        sheet: &sheet,
        terms: &terms,
        currency: settings.currency,
        mind: &mind,
        book,
    })?;
    let name = format!("doorstep {}.html", form.id);
    let path = match place {
        Some(place) if place.is_dir() => place.join(name),
        Some(place) => place.to_owned(),
        None => Path::new(&name).to_owned(),
    };
    if let Some(folder) = path.parent().filter(|it| !it.as_os_str().is_empty()) {
        make_folder(folder)?;
    }
    write_whole(&path, page.as_bytes())?;
    Ok(DoorAnswer {
        form: form.id.clone(),
        page: path.display().to_string(),
        judged: sheet.table.judged,
    })
}

fn euro() -> Result<Currency, WorkError> {
    let euro = "EUR".parse();
    euro.map_err(|_| WorkError::asked("the program's own currency is not known"))
}

/// Reads the file that the page gave, against the words of a book.
///
/// # Errors
/// When it cannot be read, is no such file, or says what the book does not know.
pub fn read_file(book: &TradeBook, path: &Path) -> Result<DoorTold, WorkError> {
    let bytes = files::read(path)?;
    let told = String::from_utf8(bytes).map_err(|_| "it is no text in UTF-8".to_owned());
    let told = told.and_then(|text| told_of(book, &text));
    told.map_err(|why| WorkError::asked(format!("`{}`: {why}", path.display())))
}

/// The same of a text.
pub(in crate::work) fn told_of(book: &TradeBook, text: &str) -> Result<DoorTold, String> {
    let told = mark::door(text)?;
    for (tap, answer) in &told.taps {
        let known = book.taps.iter().find(|it| it.id == *tap);
        if known.is_none_or(|it| it.answer(answer).is_none()) {
            return Err(format!("`{tap} = {answer}` is no tap of this program"));
        }
    }
    Ok(told)
}

/// The walk of what was told.
pub(in crate::work) fn walk(told: &DoorTold) -> Walk {
    Walk {
        form: told.form.clone(),
        drawer_rows: Vec::new(),
        taps: told.taps.clone(),
    }
}

/// What was tapped, as it stands beside a photo: of parts that the piece on record has.
pub(in crate::work) fn sidecar(book: &TradeBook, piece: &Piece, told: &DoorTold) -> Sidecar {
    let walk = Walk {
        drawer_rows: piece.drawer_rows.clone(),
        ..walk(told)
    };
    Sidecar {
        private_note: told.note.clone(),
        marks: walk.marks(book),
        ..Sidecar::default()
    }
}

/// The walk's optional parts and for whom it is meant, put into what is told of a piece.
#[must_use]
pub fn kinds_of(book: &TradeBook, told: &DoorTold) -> (Vec<String>, Market) {
    let walk = walk(told);
    let market = Market {
        meant_for: walk.meant_for(book),
        ..Market::default()
    };
    (walk.with(book), market)
}
