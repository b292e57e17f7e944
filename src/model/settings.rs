//! The user's own settings, from `book.toml`.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::money::Currency;
use crate::kit::money::Money;

/// The content of `book.toml`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Name printed on reports; empty when none is given.
    pub trading_name: String,
    /// How a buyer reaches the seller; empty when not given.
    pub contact: String,
    /// Who examines, unless the piece says otherwise; empty when not given.
    pub examined_by: String,
    /// Currency of every amount.
    pub currency: Currency,
    /// What an hour of work is worth, private.
    pub hourly_rate: Option<Money>,
}
