//! Times and amounts of an estimate in words.

use crate::cli::output::text::count;
use crate::kit::money::Money;
use crate::kit::text::listed;

/// Minutes in an hour, and in a day.
const HOUR: i64 = 60;
const DAY: i64 = 24 * HOUR;

/// Most parts of a task that are named.
pub(super) const MOST_PARTS: usize = 3;

/// How much to print.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Much {
    /// What fits on a screen.
    Screen,
    /// All of it.
    All,
}

/// A few names, or how many.
pub(super) fn few(names: &[String]) -> String {
    if names.len() > MOST_PARTS {
        return count(names.len(), "part");
    }
    listed(names).to_lowercase()
}

/// An amount from minor units.
pub(super) fn money(minor: i64, currency: &str) -> Option<String> {
    let currency = currency.parse().ok()?;
    Some(Money { minor, currency }.to_string())
}

/// `15 h 33 min`, `3 h`, `42 min`.
pub(super) fn hours(minutes: i64) -> String {
    match (minutes / HOUR, minutes % HOUR) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest:02} min"),
    }
}

/// `1:24`.
pub(super) fn clock(minutes: i64) -> String {
    format!("{}:{:02}", minutes / HOUR, minutes % HOUR)
}

/// `24 h`, `7 days`.
pub(super) fn wait(minutes: i64) -> String {
    if minutes % DAY == 0 && minutes >= 3 * DAY {
        return format!("{} days", minutes / DAY);
    }
    hours(minutes)
}
