//! What came home from a doorstep, as what is told of a piece.

use std::path::Path;

use crate::cli::input::amount::amount;
use crate::cli::input::size::size;
use crate::model::market::Market;
use crate::model::market::Sold;
use crate::model::piece::PieceInput;
use crate::work::WorkError;
use crate::work::advice::doorstep::kinds_of;
use crate::work::advice::doorstep::read_file;
use crate::work::book::open_book::OpenBook;

/// What is told of a piece, filled up with what the file of its doorstep says; what is typed now comes first.
///
/// # Errors
/// When the file does not read, or an amount or a size in it is none.
pub(in crate::cli) fn at_the_door(
    book: &OpenBook,
    path: &Path,
    told: PieceInput,
) -> Result<PieceInput, WorkError> {
    let door = read_file(book.trade()?, path)?;
    let (with, market) = kinds_of(book.trade()?, &door);
    let read = door.size.as_deref().map(size).transpose();
    let read = read.map_err(|why| WorkError::Asked {
        what: format!("`{}`: {why}", path.display()),
        hint: None,
    })?;
    let mut sold = told.market.sold;
    if sold.is_empty() {
        for (way, text) in door.sold {
            let price = amount(book, Some(text))?;
            sold.extend(price.map(|price| Sold { path: way, price }));
        }
    }
    let asks = match told.market.seller_asks {
        Some(asks) => Some(asks),
        None => amount(book, door.asks)?,
    };
    let titled = door.title.unwrap_or_else(|| door.form.replace('_', " "));
    Ok(PieceInput {
        title: told.title.or(Some(titled)),
        form: Some(told.form.unwrap_or(door.form)),
        size: told.size.or(read),
        with: if told.with.is_empty() {
            with
        } else {
            told.with
        },
        private_note: told.private_note.or(door.note),
        market: Market {
            sold,
            seller_asks: asks,
            meant_for: told.market.meant_for.or(market.meant_for),
            ..told.market
        },
        ..told
    })
}
