//! The terms of an offer: what the user set, else the trade book's usual ones where they make sense.

use serde::Serialize;

use crate::advise::labour::exact::half_even;
use crate::advise::labour::exact::milli;
use crate::kit::money::Money;
use crate::model::market::Market;
use crate::model::settings::Settings;
use crate::trade::TradeBook;

/// Terms of an offer, all told; amounts in minor units of the book's currency, shares in hundredths of a percent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Terms {
    /// The channel.
    pub channel: String,
    /// Its name.
    pub channel_label: String,
    /// The share it keeps.
    pub fee: i64,
    /// What must be left of the net sale less cash.
    pub margin: i64,
    /// What must be left at least.
    pub least_margin: i64,
    /// Share of the net sale kept for risk.
    pub risk: i64,
    /// What the price is expected to be beaten down by.
    pub discount: i64,
    /// Lowest wage of an hour: told, else the share of the user's own rate that the book's lowest is of the book's rate.
    pub lowest_hourly: i64,
    /// Fetching it.
    pub pickup: i64,
    /// Bringing it.
    pub delivery: i64,
    /// A week's storage.
    pub storage_week: i64,
    /// Weeks until it is sold.
    pub weeks: i64,
    /// The most that one open question can cost, as a share of the net sale.
    pub aside_at_most: i64,
    /// First bid as a share of the highest offer: from, to.
    pub first_bid: [i64; 2],
    /// First bid as a share of what is asked, where no more is asked than it is worth.
    pub first_bid_of_asked: i64,
    /// Price of a piece taken for its parts, as a share of the lowest comparable: from, to.
    pub donor: [i64; 2],
}

/// A percentage of the book in hundredths of a percent.
pub(in crate::advise) fn percent(value: f64) -> i64 {
    half_even(i128::from(milli(value)), 10)
}

impl Terms {
    /// The same for one of so many pieces that are fetched and stored together.
    pub(in crate::advise) fn of_one(self, of_set: usize) -> Self {
        let many = i128::try_from(of_set.max(1)).unwrap_or(1);
        let share = |it: i64| half_even(i128::from(it), many);
        Self {
            pickup: share(self.pickup),
            storage_week: share(self.storage_week),
            ..self
        }
    }

    /// The terms, or what has to be told first, as lines for `book.toml`.
    ///
    /// # Errors
    /// With the lines of `book.toml` that are missing, when the book's currency is none in which the usual amounts hold.
    pub fn of(settings: &Settings, market: &Market, book: &TradeBook) -> Result<Self, Vec<String>> {
        let (own, usual) = (&settings.terms, &book.offer.usual);
        let scale = i128::from(10_i64.pow(settings.currency.decimals()));
        let holds = book.offer.figures_hold(settings.currency);
        let mut missing = Vec::new();
        let usual_amount = |units: f64| {
            let amount = half_even(i128::from(milli(units)) * scale, 1000);
            (holds || amount == 0).then_some(amount)
        };
        let mut amount = |told: Option<Money>, units: f64, line: &str| {
            let known = told.map(|it| it.minor).or_else(|| usual_amount(units));
            known.unwrap_or_else(|| {
                missing.push(line.to_owned());
                0
            })
        };
        let channel = market.channel.as_ref().or(own.channel.as_ref());
        let channel = channel.unwrap_or(&usual.channel);
        let known = book.offer.channels.iter().find(|it| it.id == *channel);
        let share = known.map_or(0.0, |it| it.share[1]);
        // A share the user told is that of the user's own channel.
        let told_fee = own.fee.filter(|_| {
            let own_channel = own.channel.as_ref().unwrap_or(&usual.channel);
            market.channel.as_ref().is_none_or(|it| it == own_channel)
        });
        let set = |told: Option<u32>, usual: f64| told.map_or_else(|| percent(usual), i64::from);
        let it = Self {
            channel: channel.clone(),
            channel_label: known.map_or_else(|| channel.clone(), |it| it.label.clone()),
            fee: set(told_fee, share),
            margin: set(own.margin, usual.margin),
            least_margin: amount(own.least_margin, usual.least_margin, "[terms] least_margin"),
            risk: set(own.risk, usual.risk),
            discount: set(own.discount, usual.discount),
            lowest_hourly: own.lowest_hourly.map_or_else(
                || {
                    let rate = amount(settings.hourly_rate, usual.hourly, "hourly_rate");
                    let [part, of] = [usual.lowest_hourly, usual.hourly].map(milli);
                    half_even(i128::from(rate) * i128::from(part), i128::from(of.max(1)))
                },
                |it| it.minor,
            ),
            pickup: amount(own.pickup, usual.pickup, "[terms] pickup"),
            delivery: amount(own.delivery, usual.delivery, "[terms] delivery"),
            storage_week: amount(own.storage_week, usual.storage_week, "[terms] storage_week"),
            weeks: own.weeks.map_or(milli(usual.weeks) / 1000, i64::from),
            aside_at_most: percent(usual.aside_at_most),
            first_bid: usual.first_bid.map(percent),
            first_bid_of_asked: percent(usual.first_bid_of_asked),
            donor: usual.donor.map(percent),
        };
        if missing.is_empty() {
            return Ok(it);
        }
        Err(missing)
    }
}
