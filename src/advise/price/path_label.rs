//! What a path is called.

use crate::trade::TradeBook;

/// The name of a path.
#[must_use]
pub(in crate::advise) fn label(book: &TradeBook, path: &str) -> String {
    book.path(path)
        .map_or_else(|| path.to_owned(), |it| it.label.clone())
}
