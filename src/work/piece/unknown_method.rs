//! That a method is none of the trade book.

use crate::kit::text::suggest::near;
use crate::trade::TradeBook;
use crate::work::WorkError;

/// The refusal, with what may be meant.
pub(in crate::work::piece) fn unknown_method(book: &TradeBook, method: &str) -> WorkError {
    let known: Vec<&str> = book.methods.iter().map(|it| it.id.as_str()).collect();
    let meant = near(method, &known, &[])
        .first()
        .map_or_else(String::new, |it| format!("did you mean `{it}`? "));
    WorkError::asked_with(
        format!("`{method}` is not a method of the trade book"),
        format!("{meant}`asfound words methods` lists all"),
    )
}
