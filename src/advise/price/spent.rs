//! What went into a piece already besides its price, as far as that was told: it is as spent as the price is.

use crate::advise::labour::plan_input::PlanInput;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Who;

/// What the repairs on record took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spent {
    /// What they cost, minor units of the book's currency; not what others took for their part.
    pub cost: i64,
    /// Minutes of work.
    pub minutes: i64,
    /// How many repairs are on record of which no minutes were told.
    pub untold: usize,
    /// Whether others did some of the work.
    pub by_others: bool,
    /// What was told as the cost of their work, minor units: a part of their bill.
    pub of_others: i64,
}

impl Spent {
    /// On the piece of a plan.
    pub(in crate::advise) fn on(need: &PlanInput<'_>) -> Self {
        let mut spent = Self::default();
        for it in &need.it.repairs {
            let told = it.cost.filter(|it| it.currency == need.settings.currency);
            let cost = told.map_or(0, |it| it.minor);
            match is_by_others(it, need.book) {
                true => (spent.by_others, spent.of_others) = (true, spent.of_others + cost),
                false => spent.untold += usize::from(it.minutes.is_none()),
            }
            spent.cost += cost;
            spent.minutes += i64::from(it.minutes.unwrap_or(0));
        }
        spent
    }
}

/// Whether work of this kind is usually done by others, for a bill.
#[must_use]
pub fn is_by_others(it: &Repair, book: &TradeBook) -> bool {
    book.method(&it.method)
        .is_some_and(|it| it.by == Who::Specialist)
}
