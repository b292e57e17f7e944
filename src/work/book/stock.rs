//! The stock list, from the record alone: nobody waits while every sidecar of every piece is looked at.

use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

pub use crate::record::StockLine;

/// Lists the pieces, by stock number, as their sidecars were last read; whatever is done with one piece reads its own.
///
/// # Errors
/// When the book cannot be read.
pub fn stock(book: &OpenBook) -> Result<Vec<StockLine>, WorkError> {
    Ok(book.record.stock()?)
}
