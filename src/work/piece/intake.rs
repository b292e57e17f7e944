//! Taking a piece into the book, and putting right what was told of it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::kit::files::make_folder;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::piece::PieceInput;
use crate::record::RecordError;
use crate::trade::TradeBook;
use crate::trade::entry::form::Form;
use crate::trade::entry::kind::PartKind;
use crate::vault::names;
use crate::work::WorkError;
use crate::work::advice::shot_list;
use crate::work::advice::shot_list::ShotLine;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days;
use crate::work::piece::days::Told;
use crate::work::piece::lacking::Lacking;
use crate::work::piece::lacking::facts_late;
use crate::work::piece::market;
use crate::work::piece::take_back::take_back;
use crate::work::sidecars::vocabulary;

/// A piece taken in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TakenIn {
    /// Its stock number.
    pub stock_no: StockNo,
    /// Its folder, a path.
    pub folder: String,
    /// The views to take now, in walking order.
    pub shot_list: Vec<ShotLine>,
    /// What is counted as there though nobody told it, in sentences without a full stop.
    pub assumed: Vec<String>,
}

/// Takes a piece into the book.
///
/// # Errors
/// When the form or a part is not known, the number is taken, or the book cannot be written.
pub fn intake(
    book: &mut OpenBook,
    no: Option<StockNo>,
    told: PieceInput,
) -> Result<TakenIn, WorkError> {
    let title = told.title.clone().unwrap_or_default();
    let title = title.trim();
    if title.is_empty() {
        return Err(WorkError::asked(
            "a piece needs a title, such as \"walnut chest of drawers\"",
        ));
    }
    let title = title.to_owned();
    match no {
        Some(no) => enter(book, no, &title, told),
        None => {
            // Two who take in at once may ask for the same number: the slower one asks again.
            loop {
                let year = book.now.local_day().year();
                let no = StockNo::new(year, book.record.next_running(year)?);
                match enter(book, no, &title, told.clone()) {
                    Err(WorkError::Record(RecordError::Taken(_))) => {}
                    done => return done,
                }
            }
        }
    }
}

/// Enters a piece under a number.
fn enter(
    book: &mut OpenBook,
    stock_no: StockNo,
    title: &str,
    told: PieceInput,
) -> Result<TakenIn, WorkError> {
    let short: String = title.chars().take(60).collect();
    let folder = names::safe(format!("{stock_no} {}", short.trim()).as_ref());
    let blank = Piece {
        title: title.to_owned(),
        folder,
        ..Piece::blank(stock_no.clone(), book.now)
    };
    not_ahead(book, &told)?;
    let (piece, _) = told_of(book.trade()?, blank, told)?;
    book.record.add_piece(&piece)?;
    let folder = book.piece_folder(&piece);
    make_folder(&folder)?;
    Ok(TakenIn {
        stock_no,
        folder: folder.display().to_string(),
        shot_list: shot_list::at_intake(&book.trade, &piece, Stage::Purchase),
        assumed: assumed(&book.trade, &piece),
    })
}

/// A piece put right.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Amended {
    /// What is told of it now.
    #[serde(flatten)]
    pub piece: Piece,
    /// Parts of which something is said and that are not on its list.
    pub not_on_list: Vec<NotOnList>,
    /// Days that cannot all be right.
    pub odd: Vec<String>,
    /// What was told anew of the parts that it lacks; `None` where that is as before.
    pub lacking: Option<Lacking>,
    /// That what its buyer reads was told anew after it had left; `None` where it was not.
    pub late: Option<String>,
    /// What was taken back, and what was told of the market, in words.
    #[serde(skip)]
    pub kept: Vec<String>,
}

/// A part of which something is said and that is not on the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotOnList {
    /// The part.
    pub part: PartId,
    /// The photos beside which it is named, by number.
    pub photos: Vec<u32>,
}

/// Puts right what was told of a piece; its number and folder stay.
///
/// # Errors
/// When there is no such piece, a form or part is not known, or the book cannot be written.
pub fn amend(
    book: &mut OpenBook,
    stock_no: &StockNo,
    told: PieceInput,
) -> Result<Amended, WorkError> {
    not_ahead(book, &told)?;
    let of_purchase = told.bought_on.is_some();
    let was = book.record.piece(stock_no)?;
    let (piece, kept) = told_of(book.trade()?, was.clone(), told)?;
    book.record.change_piece(&piece)?;
    let odd = match of_purchase {
        true => days::odd(book, stock_no, Told::Purchase)?,
        false => Vec::new(),
    };
    let lacking = Lacking::between(book, &was, &piece)?;
    Ok(Amended {
        not_on_list: not_on_list(book, &piece)?,
        odd,
        late: facts_late(book, &was, &piece, &lacking)?,
        lacking,
        piece,
        kept,
    })
}

/// What is said beside photos of parts that the list of a piece has not: a form was put right after they were marked.
fn not_on_list(book: &OpenBook, piece: &Piece) -> Result<Vec<NotOnList>, WorkError> {
    let listed = vocabulary::parts(&book.trade, piece);
    let mut found: BTreeMap<PartId, Vec<u32>> = BTreeMap::new();
    for photo in book.record.photos(&piece.stock_no)? {
        // That it is absent says of what it never had nothing else.
        let agrees = |it: &&Mark| {
            let absent = it.tag.as_deref() == Some("absent");
            absent && { it.part.iter() }.any(|it| piece.never_had.contains(it))
        };
        let marks = photo.sidecar.marks.iter().filter(|it| !agrees(it));
        let marked = marks.filter_map(|it| it.part.as_ref());
        let named: BTreeSet<&PartId> = photo.sidecar.parts.iter().chain(marked).collect();
        for part in named {
            if !listed.iter().any(|it| it.id == *part) {
                found.entry(part.clone()).or_default().push(photo.no);
            }
        }
    }
    let all = found.into_iter();
    Ok(all
        .map(|(part, photos)| NotOnList { part, photos })
        .collect())
}

/// A line of the ledger never goes: what has not happened yet gets none.
fn not_ahead(book: &OpenBook, told: &PieceInput) -> Result<(), WorkError> {
    let today = book.now.local_day();
    match told.bought_on.filter(|it| *it > today) {
        Some(day) => Err(WorkError::asked_with(
            format!("{day} lies in the future: today is {today}"),
            "tell the day of the purchase when it is bought, with `asfound amend NO --bought-on DAY`",
        )),
        None => Ok(()),
    }
}

/// The piece with what is told of it, and what was taken back or told of the market, in words.
fn told_of(
    book: &TradeBook,
    mut piece: Piece,
    told: PieceInput,
) -> Result<(Piece, Vec<String>), WorkError> {
    if let Some(title) = told.title {
        if title.trim() == "none" {
            return Err(WorkError::asked_with(
                "a piece cannot be titled `none`: that word takes an answer back, and a title is never without",
                "tell another one, such as \"walnut chest of drawers\"",
            ));
        }
        title.trim().clone_into(&mut piece.title);
    }
    let mut kept: Vec<String> = told
        .gone
        .iter()
        .map(|it| take_back(*it, &mut piece))
        .collect();
    if let Some(form) = told.form {
        piece.form = form;
    }
    if !told.drawer_rows.is_empty() {
        piece.drawer_rows = told.drawer_rows;
    }
    let named = told.with.clone();
    if !told.with.is_empty() {
        piece.with = told.with;
    }
    if !told.never_had.is_empty() {
        let never = |it: &PartId| told.never_had.contains(it);
        piece.absent.retain(|it| !never(it));
        piece.never_had = told.never_had;
    }
    if !told.absent.is_empty() {
        piece.never_had.retain(|it| !told.absent.contains(it));
        piece.absent = told.absent;
    }
    piece.size = told.size.or(piece.size);
    piece.size_taken = told.size_taken.or(piece.size_taken);
    if let Some(form) = told.form_before {
        if book.form(&form).is_none() {
            return Err(vocabulary::no_form(book, &form));
        }
        piece.form_before = Some(form);
    }
    if told.set.as_ref().is_some_and(|it| it.trim().is_empty()) {
        return Err(WorkError::asked_with(
            "the name of the set is empty".to_owned(),
            "name it, such as `six dining chairs`, or write `--set none`".to_owned(),
        ));
    }
    piece.set = told.set.or(piece.set);
    piece.about = told.about.or(piece.about);
    piece.examined_by = told.examined_by.or(piece.examined_by);
    piece.weight = told.weight.or(piece.weight);
    piece.bought_for = told.bought_for.or(piece.bought_for);
    piece.bought_on = told.bought_on.or(piece.bought_on);
    piece.asking = told.asking.or(piece.asking);
    piece.private_note = told.private_note.or(piece.private_note);
    check(book, &piece)?;
    named.iter().try_for_each(|it| placed(book, &piece, it))?;
    kept.extend(market::tell(told.market, book, &mut piece)?);
    Ok((piece, kept))
}

/// A kind that was named has a place on the piece: a lock lies in a door or a drawer.
fn placed(book: &TradeBook, piece: &Piece, kind: &str) -> Result<(), WorkError> {
    if vocabulary::parts(book, piece)
        .iter()
        .any(|it| it.kind == kind)
    {
        return Ok(());
    }
    let form = book.form(&piece.form);
    let choices = form.iter().flat_map(|it| it.choices());
    let carries = |it: &&str| {
        let carrier = book.kind(it);
        carrier.is_some_and(|it| it.inner.iter().any(|it| it.kind == kind))
    };
    let carriers: Vec<String> = choices
        .filter(carries)
        .map(|it| format!("`--with {it},{kind}`"))
        .collect();
    let what = format!("no part on the list of this piece has a `{kind}`");
    Err(match carriers.is_empty() {
        true => WorkError::asked(what),
        false => WorkError::asked_with(
            what,
            format!("name the part that it is on too: {}", carriers.join(" or ")),
        ),
    })
}

/// Rows of drawers, or none at all where such a piece may have none.
fn drawers(form: &Form, rows: &[u8]) -> Result<(), WorkError> {
    if *rows == [0] && !form.may_lack_drawers() {
        return Err(WorkError::asked_with(
            format!("a {} has drawers", form.label.to_lowercase()),
            "tell its rows from the top, such as `--drawers 2,1,1,1`, or another `--form`",
        ));
    }
    if *rows != [0] && (rows.len() > 20 || rows.iter().any(|it| !(1..=12).contains(it))) {
        return Err(WorkError::asked_with(
            "drawer rows are given from the top, each with 1 to 12 drawers",
            "two over three is `--drawers 2,1,1,1`; of a piece without a drawer it is `--drawers 0`",
        ));
    }
    Ok(())
}

/// What is on the list of parts of a piece though nobody told it.
fn assumed(book: &TradeBook, piece: &Piece) -> Vec<String> {
    let parts = vocabulary::parts(book, piece);
    let drawers = parts.iter().filter(|it| !it.inner && it.kind == "drawer");
    let number = drawers.count();
    let form = book.form(&piece.form).filter(|_| number > 0);
    let Some(form) = form.filter(|_| piece.drawer_rows.is_empty()) else {
        return Vec::new();
    };
    let none = match form.may_lack_drawers() {
        true => "; `--drawers 0` that there is none",
        false => "",
    };
    let no = &piece.stock_no;
    vec![format!(
        "drawers counted: {number}, as many as such a piece usually has: `asfound amend {no} --drawers 2,1,1` tells the rows there are{none}"
    )]
}

/// The kind that a form may have and that has these words for its name or in its plain line: `leather` is on a writing surface. Empty
/// where there is none.
fn meant(book: &TradeBook, form: &Form, words: &str) -> String {
    let lower = words.to_lowercase().replace(['_', '-', '/'], " ");
    let kinds = form.choices().into_iter().filter_map(|it| book.kind(it));
    let says = |it: &&PartKind| {
        let named = it.called.iter().chain([&it.label, &it.plain]);
        let mut named = named.map(|it| it.to_lowercase());
        named.any(|it| it == lower || it.split(' ').any(|it| it.trim_matches(['.', ',']) == lower))
    };
    let is = |it: &&PartKind| it.id.replace('_', " ") == lower;
    let all: Vec<&PartKind> = kinds.collect();
    let it = all
        .iter()
        .find(|it| is(it))
        .or_else(|| all.iter().find(|it| says(it)));
    it.map_or_else(String::new, |it| format!("you may mean `{}`; ", it.id))
}

fn check(book: &TradeBook, piece: &Piece) -> Result<(), WorkError> {
    let Some(form) = book.form(&piece.form) else {
        return Err(vocabulary::no_form(book, &piece.form));
    };
    for kind in &piece.with {
        if book.kind(kind).is_none() {
            return Err(WorkError::asked_with(
                format!("`{kind}` is not a kind of part"),
                format!(
                    "{}a {} may have {}",
                    meant(book, form, kind),
                    form.label.to_lowercase(),
                    form.choices().join(", ")
                ),
            ));
        }
    }
    let parts = vocabulary::all_parts(book, piece);
    for part in piece.absent.iter().chain(&piece.never_had) {
        if !parts.iter().any(|it| it.id == *part) {
            let known: Vec<&str> = parts
                .iter()
                .filter(|it| !it.inner)
                .map(|it| it.id.as_str())
                .collect();
            let inside = parts.iter().filter(|it| it.inner);
            let same = |id: &PartId| id.as_str().rsplit('/').next() == Some(part.as_str());
            let inside: Vec<&str> = inside
                .filter(|it| same(&it.id))
                .map(|it| it.id.as_str())
                .collect();
            let hint = match inside.is_empty() {
                true => format!("its parts are {}", known.join(", ")),
                false => format!("it lies inside another part: {}", inside.join(", ")),
            };
            return Err(WorkError::asked_with(
                format!("this piece has no part `{part}` on its list"),
                hint,
            ));
        }
    }
    drawers(form, &piece.drawer_rows)?;
    let sane = |mm: f64| (20.0..=10_000.0).contains(&mm);
    if let Some(size) = piece.size
        && !(sane(size.height_mm) && sane(size.width_mm) && sane(size.depth_mm))
    {
        return Err(WorkError::asked(
            "a size lies between 20 mm and 10 m each way; give height x width x depth, such as `900x1050x480 mm`",
        ));
    }
    Ok(())
}
