//! How long a coat has to be left alone.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;

/// Hours of a day.
const DAY_HOURS: f64 = 24.0;

/// What a method leaves that leaves no coat.
const BARE: &str = "bare";

/// A coat that repairs put on, and from when on anything may be wrapped round it or stood on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Hold {
    /// The day of the coat.
    pub coated: Day,
    /// The first day after its usual time.
    pub free_from: Day,
}

/// The hold that ends last; `None` when no repair put a coat on.
pub(crate) fn hold(repairs: &[Repair], book: &TradeBook) -> Option<Hold> {
    let coats = repairs.iter().filter_map(|it| {
        let method = book.method(&it.method)?;
        let leaves = method.leaves.iter().chain(&method.leaves_on_bare);
        let puts_on = method.phase == Phase::Coat && method.adds.is_some();
        let coat = puts_on || leaves.clone().any(|it| it != BARE);
        coat.then(|| Hold {
            coated: it.day,
            free_from: it.day.later(days(book, method)),
        })
    });
    coats.max_by_key(|it| (it.free_from, it.coated))
}

/// Whole days to leave a coat alone: the longest usual time of the ways that have it, and of the method itself.
fn days(book: &TradeBook, method: &Method) -> i64 {
    let ways = book.paths.iter();
    let ways = ways.filter(|it| it.steps.iter().any(|step| step.method == method.id));
    let hours = ways
        .map(|it| it.hold_hours[1])
        .fold(method.wait_hours[1], f64::max);
    #[expect(clippy::cast_possible_truncation, reason = "waits are some weeks")]
    let days = (hours / DAY_HOURS).ceil() as i64;
    days
}
