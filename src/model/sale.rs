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
    /// Private: what was told as paid.
    pub price: Option<Money>,
    /// Private: to whom, in the owner's words.
    pub to: Option<String>,
    /// Private: the note on it.
    pub note: Option<String>,
    /// The day on which it was taken back.
    pub taken_back: Day,
    /// Private: why, in the owner's words.
    pub why: Option<String>,
}

impl Sale {
    /// What only its owner knows of it, as text: price, buyer and note.
    #[must_use]
    pub fn private(&self) -> Vec<String> {
        private(self.price, self.to.as_ref(), self.note.as_ref())
    }
}

impl FallenSale {
    /// What only its owner knows of it, as text: price, buyer and note.
    #[must_use]
    pub fn private(&self) -> Vec<String> {
        private(self.price, self.to.as_ref(), self.note.as_ref())
    }
}

fn private(price: Option<Money>, to: Option<&String>, note: Option<&String>) -> Vec<String> {
    let price = price.map(|it| it.to_string());
    let words = [price, to.cloned(), note.cloned()];
    words.into_iter().flatten().collect()
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
    #[serde(skip)]
    pub gone: Vec<SaleFact>,
}

/// One thing that can be told of a sale, and taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SaleFact {
    /// The price.
    Price,
    /// The buyer.
    To,
    /// The note.
    Note,
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
