//! An amount as typed on the command line.

use crate::kit::money::Money;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// Reads an amount in the book's currency.
///
/// # Errors
/// When it is no amount, or the book's settings cannot be read.
pub(in crate::cli) fn amount(
    book: &OpenBook,
    text: Option<String>,
) -> Result<Option<Money>, WorkError> {
    let Some(text) = text else { return Ok(None) };
    Ok(Some(book.settings()?.currency.amount(&text)?))
}
