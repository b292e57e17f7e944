//! Recording a sale.

use serde::Serialize;

use crate::assess::gaps::lacks::Caution;
use crate::kit::clock::Day;
use crate::kit::money::Money;
use crate::model::ids::StockNo;
use crate::model::sale::Sale;
use crate::model::sale::SaleFact;
use crate::model::sale::SaleInput;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days;
use crate::work::piece::days::Told;
use crate::work::piece::recorded::assessment;
use crate::work::piece::recorded::of_set;
use crate::work::piece::withdraw::in_stock;
use crate::work::sidecars::sync_sidecars::sync_piece;

/// A sale recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SaleDone {
    /// The piece.
    pub stock_no: StockNo,
    /// The day.
    pub day: Day,
    /// What was paid.
    pub price: Option<Money>,
    /// To whom.
    pub to: Option<String>,
    /// The note.
    pub note: Option<String>,
    /// The day that was told before and is put right by this; `None` when none was, or the day stays.
    pub instead_of: Option<Day>,
    /// What was told before of it and is put right by this; `None` when nothing was.
    pub before: Option<Sale>,
    /// What the buyer has to know before it is used.
    pub warnings: Vec<Caution>,
    /// What does not fit the rest of the record.
    pub odd: Vec<String>,
    /// The other pieces of its set that are not sold, and so are parted from it.
    pub set_parted: Vec<StockNo>,
}

/// Records the sale of a piece, or puts right what was told of it; the former words stay in the ledger.
///
/// # Errors
/// When there is no such piece, the day lies in the future, nothing is new, or the book cannot be written.
pub fn sold(
    book: &mut OpenBook,
    stock_no: &StockNo,
    told: SaleInput,
) -> Result<SaleDone, WorkError> {
    in_stock(book, stock_no)?;
    sync_piece(book, stock_no)?;
    let today = book.now.local_day();
    let before = book.record.sale(stock_no)?;
    let kept = |fact: SaleFact| before.as_ref().filter(|_| !told.gone.contains(&fact));
    if before.is_none() && !told.gone.is_empty() {
        return Err(WorkError::asked(format!(
            "no sale of {stock_no} is told from which that could be taken back"
        )));
    }
    let sale = Sale {
        day: told
            .day
            .or(before.as_ref().map(|it| it.day))
            .unwrap_or(today),
        price: told.price.or(kept(SaleFact::Price).and_then(|it| it.price)),
        to: told.to.or(kept(SaleFact::To).and_then(|it| it.to.clone())),
        note: told
            .note
            .or(kept(SaleFact::Note).and_then(|it| it.note.clone())),
    };
    // A line of the ledger never goes: what has not happened yet gets none.
    if sale.day > today {
        return Err(in_future(sale.day, today));
    }
    if before.as_ref() == Some(&sale) {
        return Err(WorkError::asked_with(
            format!("that is what was told of the sale of {stock_no} before"),
            "give what is to be put right: --on, --price, --to or --note",
        ));
    }
    book.record.tell_sale(stock_no, &sale)?;
    let mut odd = days::odd(book, stock_no, Told::Sale)?;
    odd.extend(before_entry(book, stock_no, sale.day)?);
    let all = assessment(book, stock_no)?;
    Ok(SaleDone {
        warnings: all.warnings().cloned().collect(),
        stock_no: stock_no.clone(),
        instead_of: before
            .as_ref()
            .map(|it| it.day)
            .filter(|it| *it != sale.day),
        before,
        day: sale.day,
        price: sale.price,
        to: sale.to,
        note: sale.note,
        odd,
        set_parted: unsold_of_set(book, stock_no)?,
    })
}

/// The other pieces of its set that are not sold.
fn unsold_of_set(book: &OpenBook, stock_no: &StockNo) -> Result<Vec<StockNo>, WorkError> {
    let mut left = Vec::new();
    for no in of_set(book, &book.record.piece(stock_no)?)? {
        if book.record.sale(&no)?.is_none() {
            left.push(no);
        }
    }
    Ok(left)
}

/// A sale that was taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SaleTakenBack {
    /// The piece.
    pub stock_no: StockNo,
    /// The day that was told of the sale.
    pub day: Day,
    /// What was told of it.
    pub sale: Sale,
    /// The day on which it was taken back.
    pub taken_back: Day,
}

/// Takes back the sale of a piece that did not come about, on a day, else today; what was told of it stays in the ledger.
///
/// # Errors
/// When there is no such piece, no sale of it is told, the day lies before it or in the future, or the book cannot be written.
pub fn fell_through(
    book: &mut OpenBook,
    stock_no: &StockNo,
    on: Option<Day>,
    why: Option<&str>,
) -> Result<SaleTakenBack, WorkError> {
    let today = book.now.local_day();
    let taken_back = on.unwrap_or(today);
    if taken_back > today {
        return Err(in_future(taken_back, today));
    }
    let told = book.record.sale(stock_no)?;
    if let Some(sale) = told.filter(|it| taken_back < it.day) {
        return Err(WorkError::asked_with(
            format!("{taken_back} lies before the sale of {}", sale.day),
            "give the day on which it was taken back",
        ));
    }
    let sale = book.record.withdraw_sale(stock_no, taken_back, why)?;
    let sale = sale.ok_or_else(|| {
        WorkError::asked_with(
            format!("no sale of {stock_no} is told to take back"),
            format!("`asfound sold {stock_no}` tells one"),
        )
    })?;
    Ok(SaleTakenBack {
        stock_no: stock_no.clone(),
        day: sale.day,
        sale,
        taken_back,
    })
}

fn in_future(day: Day, today: Day) -> WorkError {
    WorkError::asked_with(
        format!("{day} lies in the future: today is {today}"),
        "tell the sale when it is done",
    )
}

/// That a sale on this day is older than the first that is known of the piece, where no day of its purchase is.
fn before_entry(book: &OpenBook, stock_no: &StockNo, day: Day) -> Result<Vec<String>, WorkError> {
    let piece = book.piece(stock_no)?;
    let mut odd = Vec::new();
    let taken_in = piece.taken_in.local_day();
    // Of a piece that was entered later than it was bought, the day of purchase says more.
    if piece.bought_on.is_none() && day < taken_in {
        odd.push(format!(
            "sold on {day}, before it was entered in the book on {taken_in}"
        ));
    }
    let first = book.record.shoots(stock_no)?.iter().map(|it| it.day).min();
    if let Some(first) = first.filter(|it| piece.bought_on.is_none() && day < *it) {
        odd.push(format!(
            "sold on {day}, before its first pictures of {first}"
        ));
    }
    Ok(odd)
}
