//! Withdrawing a piece that was taken in by mistake, and bringing it back.

use serde::Serialize;

use crate::model::ids::StockNo;
use crate::model::piece::Piece;
use crate::work::WorkError;
use crate::work::book::accounts::Spent;
use crate::work::book::accounts::spent;
use crate::work::book::open_book::OpenBook;

pub use crate::record::Withdrawal;

/// A piece that was withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Withdrawn {
    /// The piece.
    pub stock_no: StockNo,
    /// Why, in the owner's words.
    pub why: String,
    /// What was told as paid for it and spent on it, which counts no more.
    pub uncounted: Vec<Spent>,
}

/// A piece that was brought back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reinstated {
    /// The piece.
    pub stock_no: StockNo,
}

/// Withdraws a piece: it leaves the stock list, the money and what waits; no file is moved, and its number is never given again.
///
/// # Errors
/// When there is no such piece, no reason is given, it is sold or withdrawn already, or the book cannot be written.
pub fn withdraw(
    book: &mut OpenBook,
    stock_no: &StockNo,
    why: &str,
) -> Result<Withdrawn, WorkError> {
    let why = why.trim();
    if why.is_empty() {
        return Err(WorkError::asked(
            "say why, so that the record tells it later",
        ));
    }
    in_stock(book, stock_no)?;
    if let Some(sale) = book.record.sale(stock_no)? {
        return Err(WorkError::asked_with(
            format!("{stock_no} was sold on {}", sale.day),
            format!(
                "take the sale back first, if there was none: `asfound sold {stock_no} --fell-through`"
            ),
        ));
    }
    let uncounted = spent(book, stock_no)?;
    book.record.withdraw_piece(stock_no, why)?;
    Ok(Withdrawn {
        stock_no: stock_no.clone(),
        why: why.to_owned(),
        uncounted,
    })
}

/// Brings a withdrawn piece back.
///
/// # Errors
/// When there is no such piece, it is not withdrawn, or the book cannot be written.
pub fn reinstate(book: &mut OpenBook, stock_no: &StockNo) -> Result<Reinstated, WorkError> {
    match book.record.reinstate_piece(stock_no)? {
        true => Ok(Reinstated {
            stock_no: stock_no.clone(),
        }),
        false => Err(WorkError::asked_with(
            format!("{stock_no} is not withdrawn"),
            "`asfound stock --state withdrawn` lists those that are",
        )),
    }
}

/// That a piece is withdrawn; `None` when it is not.
///
/// # Errors
/// When there is no such piece, or the book cannot be read.
pub fn withdrawal(book: &OpenBook, stock_no: &StockNo) -> Result<Option<Withdrawal>, WorkError> {
    Ok(book.record.withdrawal(stock_no)?)
}

/// A piece that is not withdrawn, of which something new is to be told.
///
/// # Errors
/// When there is no such piece, or it is withdrawn.
pub(in crate::work) fn in_stock(book: &OpenBook, stock_no: &StockNo) -> Result<Piece, WorkError> {
    match book.record.withdrawal(stock_no)? {
        None => book.piece(stock_no),
        Some(it) => Err(WorkError::asked_with(
            format!(
                "{stock_no} was withdrawn on {}: {}",
                it.at.local_day(),
                it.why
            ),
            format!("`asfound put-back {stock_no} --piece` brings it back"),
        )),
    }
}
