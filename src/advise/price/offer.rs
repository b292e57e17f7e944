//! What can be paid for a piece if it takes one way: two reckonings, the lower one counts.
//!
//! By margin: net sale - cash - the margin. By hours: net sale - cash - hours at their worth - half of what the hours may
//! run over - a share for risk. Both are shown, because a margin on top of hours paid in full counts the same work twice.
//! Common practice, no source. Every amount is in minor units; every product is rounded once, half to even.

use serde::Serialize;

use crate::advise::labour::exact::half_even;
use crate::advise::labour::exact::share;
use crate::advise::labour::plan::MayCome;
use crate::advise::labour::plan::Plan;
use crate::advise::price::options::Way;
use crate::advise::price::questions::Asked;
use crate::advise::price::stops::Stopped;
use crate::advise::price::terms::Terms;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::model::piece::Piece;
use crate::trade::entry::offer::Stop;

/// So many comparables make a lowest one that can be trusted.
const ENOUGH_COMPARABLES: usize = 3;

/// Minutes in an hour.
const HOUR: i128 = 60;

/// What can be paid if the piece takes one way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Offer {
    /// The way.
    pub option: String,
    /// The path whose comparables count.
    pub path: String,
    /// What they were sold for, lowest first.
    pub sold: Vec<Money>,
    /// The reckoning; `None` while something is not told.
    pub sums: Option<Sums>,
    /// What has to be told before there can be an offer.
    pub tell: Vec<String>,
    /// Cost that is not in it because nobody knows it.
    pub not_in_it: Vec<String>,
    /// What to do at the door.
    pub verdict: Verdict,
    /// What weakens it, in words.
    pub notes: Vec<String>,
}

/// The reckoning.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Sums {
    /// The lowest comparable.
    pub lowest_sold: Money,
    /// What the channel keeps.
    pub fee: Money,
    /// What the price is beaten down by.
    pub discount: Money,
    /// Bringing it.
    pub delivery: Money,
    /// What comes in.
    pub net_sale: Money,
    /// Materials, and specialists whose bill is told.
    pub materials: Money,
    /// Fetching it.
    pub pickup: Money,
    /// Storage until it is sold.
    pub storage: Money,
    /// What is put aside for open questions.
    pub aside: Money,
    /// All cash but the price.
    pub cash_costs: Money,
    /// The margin that must be left.
    pub margin: Money,
    /// Likely hours at their worth.
    pub hours_worth: Money,
    /// Half of what the hours may run over, at their worth.
    pub hours_over: Money,
    /// Kept for risk.
    pub risk: Money,
    /// The highest offer if a margin must be left.
    pub by_margin: Money,
    /// The highest offer if the hours must be paid.
    pub by_hours: Money,
    /// The lower of the two; below 0 when there is nothing to pay with.
    pub highest: Money,
    /// Which of the two it is, and what that means.
    pub because: String,
    /// The first bid: from, to; none when there is nothing to pay with.
    pub first_bid: Option<[Money; 2]>,
    /// What it is worth for its parts: from, to.
    pub donor: [Money; 2],
    /// What an hour brings.
    pub hourly: Hourly,
}

/// What an hour brings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Hourly {
    /// An hour's return, at likely hours.
    pub per_hour: Money,
    /// At which price.
    pub at_price: Money,
    /// What that price is.
    pub price_is: PriceIs,
    /// Whether it is less than the least that the user works for; `None` where that is not told.
    pub below_least: Option<bool>,
}

/// What a price is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PriceIs {
    /// What was paid.
    Paid,
    /// What the seller asks.
    Asked,
    /// The highest offer.
    HighestOffer,
}

/// What to do at the door.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It can be bought, at no more than the highest offer.
    Offer,
    /// Only for its parts.
    Donor,
    /// Not at all, or only for its parts: there is nothing to pay with.
    Walk,
    /// Something is not told.
    NotKnown,
}

/// All that an offer rests on.
#[derive(Clone, Copy, Debug)]
pub struct Basis<'a> {
    /// The way.
    pub way: &'a Way,
    /// Its plan.
    pub plan: &'a Plan,
    /// What may come to it.
    pub may_come: &'a MayCome,
    /// Its open questions.
    pub asked: &'a [Asked],
    /// Reasons to stop.
    pub stops: &'a [Stopped],
    /// The piece.
    pub piece: &'a Piece,
    /// The terms, or what is missing of them.
    pub terms: &'a Result<Terms, Vec<String>>,
    /// The book's currency.
    pub currency: Currency,
}

/// Reckons an offer.
#[must_use]
pub fn offer(it: &Basis<'_>) -> Offer {
    let mut sold: Vec<Money> = comparables(it);
    sold.sort_by_key(|it| it.minor);
    let mut tell = Vec::new();
    let no = &it.piece.stock_no;
    if sold.is_empty() {
        let main = &it.way.main;
        tell.push(format!(
            "what such a piece was sold for when so finished: `asfound estimate {no} --sold {main}=AMOUNT`"
        ));
    }
    if let Err(missing) = it.terms {
        let lines = missing.join(", ");
        tell.push(format!("in book.toml: {lines}"));
    }
    for method in &it.plan.cost.not_priced {
        tell.push(format!("in book.toml: [prices] {method}"));
    }
    if it.asked.iter().any(|it| it.aside.is_none()) && it.terms.is_ok() {
        tell.push(
            "in book.toml: hourly_rate, to put something aside for open questions".to_owned(),
        );
    }
    let sums = match (it.terms, sold.first()) {
        (Ok(terms), Some(lowest)) if tell.is_empty() => Some(sums(it, terms, *lowest)),
        _ => None,
    };
    Offer {
        option: it.way.id.clone(),
        path: it.way.main.clone(),
        verdict: verdict(it.stops, sums.as_ref()),
        notes: notes(it, &sold),
        sold,
        sums,
        tell,
        not_in_it: it.plan.cost.bill_not_known.clone(),
    }
}

/// Comparables of the way's path, in the book's currency.
fn comparables(it: &Basis<'_>) -> Vec<Money> {
    let sold = it.piece.market.sold.iter();
    let fits = sold.filter(|line| line.path == it.way.main && line.price.currency == it.currency);
    fits.map(|it| it.price).collect()
}

fn verdict(stops: &[Stopped], sums: Option<&Sums>) -> Verdict {
    let says = |stop: Stop| stops.iter().any(|it| it.stop == stop);
    match sums {
        _ if says(Stop::Walk) => Verdict::Walk,
        _ if says(Stop::Donor) => Verdict::Donor,
        Some(sums) if sums.highest.minor > 0 => Verdict::Offer,
        Some(_) => Verdict::Walk,
        None => Verdict::NotKnown,
    }
}

fn notes(it: &Basis<'_>, sold: &[Money]) -> Vec<String> {
    let mut notes = Vec::new();
    if (1..ENOUGH_COMPARABLES).contains(&sold.len()) {
        let told = sold.len();
        notes.push(format!(
            "{told} of at least {ENOUGH_COMPARABLES} sold comparables told: the lowest may still be too high"
        ));
    }
    let waits = it.may_come.parts.len();
    if waits > 0 {
        let of = it.way.parts.len();
        notes.push(format!(
            "on {waits} of {of} parts this way waits for a look; what it would take there is counted, not planned"
        ));
    }
    if let Some(two_tone) = &it.way.two_tone {
        notes.push(two_tone.clone());
    }
    notes
}

fn sums(it: &Basis<'_>, terms: &Terms, lowest: Money) -> Sums {
    let money = |minor: i64| Money {
        minor,
        currency: it.currency,
    };
    let (fee, discount) = (
        share(lowest.minor, terms.fee),
        share(lowest.minor, terms.discount),
    );
    let net_sale = lowest.minor - fee - discount - terms.delivery;
    let materials = it.plan.cost.minor.likely + it.may_come.minor.likely;
    let storage = terms.storage_week.saturating_mul(terms.weeks);
    let aside: i64 = it
        .asked
        .iter()
        .filter_map(|it| it.aside)
        .map(|it| it.likely)
        .sum();
    let cash = materials + terms.pickup + storage + aside;
    let minutes = it.plan.hours.minutes + it.may_come.minutes;
    let worth =
        |minutes: i64, of: i128| half_even(i128::from(minutes) * i128::from(terms.hourly), of);
    let hours_worth = worth(minutes.likely, HOUR);
    let hours_over = worth(minutes.high - minutes.likely, 2 * HOUR);
    // A loss asks for no share of itself.
    let of_net = |hundredths: i64| share(net_sale.max(0), hundredths);
    let margin = of_net(terms.margin).max(terms.least_margin);
    let risk = of_net(terms.risk);
    let by_margin = net_sale - cash - margin;
    let by_hours = net_sale - cash - hours_worth - hours_over - risk;
    let mut highest = by_margin.min(by_hours);
    let mut because = if by_hours < by_margin {
        "the hours must be paid; a margin alone would allow more".to_owned()
    } else {
        "the margin must be left; the hours alone would allow more".to_owned()
    };
    let donor = terms.donor.map(|it| share(lowest.minor, it));
    let for_parts = it.stops.iter().any(|it| it.stop == Stop::Donor);
    if for_parts && highest > donor[1] {
        highest = donor[1];
        because = "it is only worth its parts".to_owned();
    }
    let bid = terms.first_bid.map(|it| money(share(highest, it)));
    Sums {
        lowest_sold: lowest,
        fee: money(fee),
        discount: money(discount),
        delivery: money(terms.delivery),
        net_sale: money(net_sale),
        materials: money(materials),
        pickup: money(terms.pickup),
        storage: money(storage),
        aside: money(aside),
        cash_costs: money(cash),
        margin: money(margin),
        hours_worth: money(hours_worth),
        hours_over: money(hours_over),
        risk: money(risk),
        by_margin: money(by_margin),
        by_hours: money(by_hours),
        highest: money(highest),
        because,
        first_bid: (highest > 0).then_some(bid),
        donor: donor.map(money),
        hourly: hourly(it, terms, net_sale - cash, highest),
    }
}

/// What an hour brings at the price paid, else asked, else at the highest offer.
fn hourly(it: &Basis<'_>, terms: &Terms, before_price: i64, highest: i64) -> Hourly {
    let paid = it.piece.bought_for.map(|it| (it.minor, PriceIs::Paid));
    let asks = it.piece.market.seller_asks;
    let asked = asks.map(|it| (it.minor, PriceIs::Asked));
    let (price, price_is) = paid
        .or(asked)
        .unwrap_or((highest.max(0), PriceIs::HighestOffer));
    let minutes = it.plan.hours.minutes + it.may_come.minutes;
    let minutes = i128::from(minutes.likely.max(1));
    let per_hour = half_even(i128::from(before_price - price) * HOUR, minutes);
    let money = |minor: i64| Money {
        minor,
        currency: it.currency,
    };
    Hourly {
        per_hour: money(per_hour),
        at_price: money(price),
        price_is,
        below_least: terms.lowest_hourly.map(|least| per_hour < least),
    }
}
