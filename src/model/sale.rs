//! A sale: when a piece left the stock, and what only its owner knows of that.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Money;

/// The sale of a piece as the owner told it last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sale {
    /// The day.
    pub day: Day,
    /// Private: what was paid for it.
    pub price: Option<Money>,
    /// Private: to whom, in the owner's words.
    pub to: Option<String>,
    /// Private: a note.
    pub note: Option<String>,
}
