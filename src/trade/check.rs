//! A trade book into everything that cannot be right in it.

use crate::trade::check_offer;
use crate::trade::check_words;
use crate::trade::check_work;
use crate::trade::fault::Check;
use crate::trade::fault::Fault;
use crate::trade::trade_book::TradeBook;

/// Everything that cannot be right in a book, sorted.
#[must_use]
pub fn faults_of(book: &TradeBook) -> Vec<Fault> {
    let mut check = Check::of(book);
    check_words::check(&mut check);
    check_work::check(&mut check);
    check_offer::check(&mut check);
    check.end()
}
