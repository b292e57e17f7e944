//! What was spent on a piece, in words.

use crate::work::book::accounts::Spent;

/// `EUR 85.00 spent in 2025, EUR 12.00 in 2026`; without a year where no day was told.
pub(in crate::cli) fn spent_words(spent: &[Spent]) -> String {
    let words = spent.iter().enumerate().map(|(n, it)| {
        let spent = if n == 0 { " spent" } else { "" };
        match it.year {
            Some(year) => format!("{}{spent} in {year}", it.amount),
            None => format!("{}{spent} on a day not told", it.amount),
        }
    });
    words.collect::<Vec<_>>().join(", ")
}
