//! A trade book into everything that cannot be right in it.

use crate::trade::check::claims;
use crate::trade::check::faults::Check;
use crate::trade::check::faults::Fault;
use crate::trade::check::offer;
use crate::trade::check::words;
use crate::trade::check::work;
use crate::trade::trade_book::TradeBook;

/// Everything that cannot be right in a book, sorted.
#[must_use]
pub fn faults_of(book: &TradeBook) -> Vec<Fault> {
    let mut check = Check::of(book);
    words::check(&mut check);
    work::check(&mut check);
    offer::check(&mut check);
    claims::check(&mut check);
    check.end()
}
