//! Which refinish paths a part can still take, and why.

use crate::advise::advice::PartAdvice;
use crate::assess::assessment::Assessment;
use crate::trade::TradeBook;

/// The advice on every part with a surface that can be refinished, in the form's order.
#[must_use]
pub fn paths(_it: &Assessment, _book: &TradeBook) -> Vec<PartAdvice> {
    Vec::new()
}
