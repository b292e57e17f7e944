//! What the owner says of the market for a piece, and which way of refinishing was chosen.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::kit::money::MoneyError;
use crate::kit::words::words;
use crate::model::ids::PartId;

/// What is told of a piece for its plan and its offer; all of it private. `A` is an amount, as in a repair.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Market<A = Money> {
    /// What the owner takes it for.
    pub worth: Option<Worth>,
    /// For whom it is meant, where that matters.
    pub meant_for: Option<MeantFor>,
    /// What the owner wishes of the colour.
    pub wish: Option<Wish>,
    /// What the comparables were besides, where that is not what one takes such a piece for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sold_as: Option<SoldAs>,
    /// What the seller asks.
    pub seller_asks: Option<A>,
    /// What others take for their part of the work, such as a specialist.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bill: Option<A>,
    /// The channel of the trade book by which it will be sold.
    pub channel: Option<String>,
    /// What comparable pieces were sold for, in the order told.
    pub sold: Vec<Sold<A>>,
    /// The ways of refinishing that were chosen; a line without a part holds for all parts that have none of their own.
    pub chosen: Vec<Chosen>,
}

/// What is told anew of the market for a piece, and what of it holds no more.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct MarketInput<A = Money> {
    /// What is told; what is `None` or empty stays as it was.
    #[serde(flatten)]
    pub told: Market<A>,
    /// What is taken back.
    #[serde(skip)]
    pub gone: Vec<MarketFact>,
}

/// One thing that can be told of the market, and taken back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MarketFact {
    /// What the owner takes it for.
    Worth,
    /// For whom it is meant.
    MeantFor,
    /// What is wished of the colour.
    Wish,
    /// What the comparables were besides.
    SoldAs,
    /// What the seller asks.
    SellerAsks,
    /// What others take.
    Bill,
    /// The channel.
    Channel,
    /// The comparables of this path; `None` for all.
    Sold(Option<String>),
    /// The chosen ways.
    Chosen,
}

impl<A> Default for MarketInput<A> {
    fn default() -> Self {
        Self {
            told: Market::default(),
            gone: Vec::new(),
        }
    }
}

impl MarketInput<String> {
    /// The same with its amounts in a currency.
    ///
    /// # Errors
    /// When an amount is none.
    pub fn priced(self, currency: Currency) -> Result<MarketInput, MoneyError> {
        Ok(MarketInput {
            told: self.told.priced(currency)?,
            gone: self.gone,
        })
    }
}

/// A comparable piece that was sold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sold<A = Money> {
    /// The refinish path whose result it had, such as `clean_wax`.
    pub path: String,
    /// What it was sold for.
    pub price: A,
}

/// A way of refinishing that was chosen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chosen {
    /// The part; `None` for all that have none of their own.
    pub part: Option<PartId>,
    /// The path of the trade book.
    pub path: String,
}

impl<A> Default for Market<A> {
    fn default() -> Self {
        Self {
            worth: None,
            meant_for: None,
            wish: None,
            sold_as: None,
            seller_asks: None,
            bill: None,
            channel: None,
            sold: Vec::new(),
            chosen: Vec::new(),
        }
    }
}

impl Market<String> {
    /// The same with its amounts in a currency.
    ///
    /// # Errors
    /// When an amount is none.
    pub fn priced(self, currency: Currency) -> Result<Market, MoneyError> {
        let sold = self.sold.into_iter().map(|it| {
            Ok(Sold {
                path: it.path,
                price: currency.amount(&it.price)?,
            })
        });
        Ok(Market {
            worth: self.worth,
            meant_for: self.meant_for,
            wish: self.wish,
            sold_as: self.sold_as,
            seller_asks: currency.amount_of(self.seller_asks)?,
            bill: currency.amount_of(self.bill)?,
            channel: self.channel,
            sold: sold.collect::<Result<_, _>>()?,
            chosen: self.chosen,
        })
    }
}

words! {
    /// What the owner takes a piece for.
    Worth {
        /// Its old surface and making are much of its worth.
        Fine = "fine",
        /// Better than most.
        Good = "good",
        /// One of many.
        Ordinary = "ordinary",
    }
}

words! {
    /// For whom a piece is meant.
    MeantFor {
        /// A child will use it.
        Child = "child",
    }
}

words! {
    /// What the pieces were of which prices are told.
    SoldAs {
        /// Cut down, or put together of two pieces, and sold as that.
        MadeUp = "made_up",
    }
}

words! {
    /// What is wished of the colour.
    Wish {
        /// Lighter than now.
        Lighter = "lighter",
    }
}

#[cfg(test)]
mod tests {
    use super::Market;
    use super::Worth;

    #[test]
    fn words_are_read_and_nothing_told_is_nothing() {
        assert_eq!("fine".parse(), Ok(Worth::Fine));
        let wrong = "rare".parse::<Worth>().unwrap_err();
        assert_eq!(wrong, "`rare` is none of fine, good, ordinary");
        let empty: Market = serde_json::from_str("{}").unwrap();
        assert_eq!(empty, Market::default());
    }
}
