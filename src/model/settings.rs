//! The user's own settings, from `book.toml`.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::tongue::Language;
use crate::tongue::Tongue;

/// The content of `book.toml`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Name printed on reports; empty when none is given.
    pub trading_name: String,
    /// How a buyer reaches the seller; empty when not given.
    pub contact: String,
    /// The seller's address, in one line or several; empty when not given.
    pub address: String,
    /// The seller's telephone number; empty when not given.
    pub phone: String,
    /// Who examines, unless the piece says otherwise; empty when not given.
    pub examined_by: String,
    /// The language in which the user types; also that of those papers that are not in English alone, unless told otherwise.
    pub language: Language,
    /// Currency of every amount.
    pub currency: Currency,
    /// The country whose law on old paint counts, two letters by ISO 3166-1.
    pub country: Option<String>,
    /// What an hour of work is worth, private.
    pub hourly_rate: Option<Money>,
    /// The user's own hours for a unit of a method: low, likely, high. Above 0, ascending.
    pub hours: BTreeMap<String, [f64; 3]>,
    /// The user's own cost of materials for a unit of a method.
    pub prices: BTreeMap<String, Money>,
    /// The user's own terms of an offer.
    pub terms: Terms,
    /// The air in the house of the user and of the buyer.
    pub season: Season,
}

impl Settings {
    /// In what language a paper is written: the one that was asked for, else the book's.
    #[must_use]
    pub fn tongue(&self, asked: Option<Language>) -> Tongue {
        Tongue {
            language: asked.unwrap_or(self.language),
            writer: self.language,
        }
    }

    /// Settings of a book that says nothing.
    #[must_use]
    pub fn usual(currency: Currency) -> Self {
        Self {
            trading_name: String::new(),
            contact: String::new(),
            address: String::new(),
            phone: String::new(),
            examined_by: String::new(),
            language: Language::English,
            currency,
            country: None,
            hourly_rate: None,
            hours: BTreeMap::new(),
            prices: BTreeMap::new(),
            terms: Terms::default(),
            season: Season::default(),
        }
    }
}

/// Terms of an offer as the user set them; `None` means the trade book's usual ones. Shares in hundredths of a percent.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Terms {
    /// Channel by which pieces are sold.
    pub channel: Option<String>,
    /// The share the channel keeps.
    pub fee: Option<u32>,
    /// What must be left of the net sale.
    pub margin: Option<u32>,
    /// What must be left at least.
    pub least_margin: Option<Money>,
    /// Share of the net sale kept for risk.
    pub risk: Option<u32>,
    /// What the price is expected to be beaten down by.
    pub discount: Option<u32>,
    /// Lowest hourly return.
    pub lowest_hourly: Option<Money>,
    /// Fetching it.
    pub pickup: Option<Money>,
    /// Bringing it, where the seller pays.
    pub delivery: Option<Money>,
    /// A week's storage.
    pub storage_week: Option<Money>,
    /// Weeks until it is sold.
    pub weeks: Option<u32>,
    /// Minutes of work on a working day.
    pub minutes_a_day: Option<u32>,
}

/// Relative humidity of the rooms, percent, and their temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Season {
    /// In a heated room in winter.
    pub winter: f64,
    /// In summer.
    pub summer: f64,
    /// Where the piece stands now, if measured.
    pub now: Option<f64>,
    /// Degrees Celsius.
    pub celsius: f64,
}

impl Default for Season {
    /// Common practice for a heated house in a temperate climate, no source.
    fn default() -> Self {
        Self {
            winter: 35.0,
            summer: 65.0,
            now: None,
            celsius: 21.0,
        }
    }
}
