//! A sale: when a piece left the stock, and what only its owner knows of that.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::kit::money::MoneyError;

/// The sale of a piece as it is on record.
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

/// A sale that was told and did not come about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FallenSale {
    /// The day that was told of it.
    pub day: Day,
    /// Private: why, in the owner's words.
    pub why: Option<String>,
}

/// What the owner says of a sale. Of one that is on record, what is `None` stays. `A` is an amount, as in a repair.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaleInput<A = Money> {
    /// The day; today when not said.
    pub day: Option<Day>,
    /// Private: what was paid.
    pub price: Option<A>,
    /// Private: to whom.
    pub to: Option<String>,
    /// Private note.
    pub note: Option<String>,
    /// What of it is taken back.
    #[serde(default)]
    pub gone: SaleGone,
}

/// What is taken back of what was told of a sale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SaleGone {
    /// The price.
    pub price: bool,
    /// The buyer.
    pub to: bool,
    /// The note.
    pub note: bool,
}

impl SaleInput<String> {
    /// The same with its amount in a currency.
    ///
    /// # Errors
    /// When the amount is none.
    pub fn priced(self, currency: Currency) -> Result<SaleInput, MoneyError> {
        Ok(SaleInput {
            day: self.day,
            price: currency.amount_of(self.price)?,
            to: self.to,
            note: self.note,
            gone: self.gone,
        })
    }
}
