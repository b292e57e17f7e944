//! An amount as typed on the command line.

use crate::kit::money::Money;
use crate::kit::money::MoneyError;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// Reads the amount of an option in the book's currency.
///
/// # Errors
/// When it is no amount or below 0, or the book's settings cannot be read.
pub(in crate::cli) fn amount(
    book: &OpenBook,
    option: &str,
    text: Option<String>,
) -> Result<Option<Money>, WorkError> {
    let Some(text) = text else { return Ok(None) };
    let read = book.settings()?.currency.amount(&text);
    let amount = read.map_err(|why| WorkError::Asked {
        hint: match why {
            MoneyError::Decimals(..) if text.contains(',') => {
                Some("thousands are written without a sign, such as `1500`".to_owned())
            }
            _ => None,
        },
        what: format!("{option}: {why}"),
    })?;
    match amount.minor < 0 {
        true => Err(WorkError::Asked {
            what: format!(
                "{option}: `{text}` is below 0; what is paid or asked is never less than nothing"
            ),
            hint: None,
        }),
        false => Ok(Some(amount)),
    }
}
