//! What can be paid for a piece if it takes one way, with all that it rests on.
//!
//! The reckoning is `price::reckon`; here it gets its amounts, its notes and its currency. What the hours may run over and
//! what is kept for risk, and what looks not yet taken may bring, are notes with their arithmetic, not part of the highest offer. Common practice, no source.

use serde::Serialize;

use crate::advise::labour::exact::half_even;
use crate::advise::labour::exact::share;
use crate::advise::price::basis::Basis;
use crate::advise::price::basis::Hourly;
use crate::advise::price::basis::PriceIs;
use crate::advise::price::basis::Spent;
use crate::advise::price::basis::Sums;
use crate::advise::price::basis::all_minutes;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::doubts::stops::Stopped;
use crate::advise::price::notes::notes;
use crate::advise::price::options::SPECIALIST;
use crate::advise::price::reckon::Because;
use crate::advise::price::reckon::Deal;
use crate::advise::price::reckon::Reckoned;
use crate::advise::price::reckon::reckon;
use crate::advise::price::reckon::said;
use crate::advise::price::terms::Terms;
use crate::advise::price::wish::DONOR;
use crate::kit::money::Money;
use crate::model::ids::PartId;
use crate::trade::entry::offer::Stop;

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
    /// Why a price that was told does not hold for this way.
    pub partly: Option<String>,
    /// Cost that is not in it because nobody knows it.
    pub not_in_it: Vec<String>,
    /// What to do at the door.
    pub verdict: Verdict,
    /// What weakens it, in words.
    pub notes: Vec<String>,
}

/// What to do at the door.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It can be bought, at no more than the highest offer.
    Offer,
    /// Only for its parts.
    Donor,
    /// Not at all.
    Walk,
    /// Something is not told.
    NotKnown,
}

/// Reckons an offer.
#[must_use]
pub fn offer(it: &Basis<'_>) -> Offer {
    let mut sold: Vec<Money> = comparables(it);
    sold.sort_by_key(|it| it.minor);
    let mut tell = Vec::new();
    let no = &it.piece.stock_no;
    if sold.is_empty() && it.way.partly.is_none() {
        let main = &it.way.main;
        tell.push(format!(
            "what such a piece was sold for when so finished: `asfound estimate {no} --sold {main}=AMOUNT`"
        ));
    }
    if let Err(missing) = it.terms {
        let lines = missing.join(", ");
        tell.push(format!("in book.toml: {lines}"));
    }
    if !it.plan.cost.not_priced.is_empty() {
        let methods = it.plan.cost.not_priced.join(", ");
        tell.push(format!("in book.toml: [prices] {methods}"));
    }
    let counted = |asked: &Asked| asked.counted && asked.aside.is_none();
    let unpriced = it.bad_answers.iter().any(|it| it.cost.is_none());
    if (it.asked.iter().any(counted) || unpriced) && it.terms.is_ok() {
        tell.push(
            "in book.toml: hourly_rate, to put something aside for open questions".to_owned(),
        );
    }
    let of_others = of_others(it);
    let bill = match it.piece.market.bill {
        _ if of_others.is_empty() && !it.spent.by_others => Bill::None,
        Some(told) if told.currency == it.currency => Bill::Told(told.minor),
        _ if of_others.is_empty() => Bill::None,
        _ => Bill::Open,
    };
    let sums = match (it.terms, sold.first()) {
        (Ok(terms), Some(lowest)) if tell.is_empty() && it.way.partly.is_none() => {
            Some(sums(it, terms, *lowest, bill))
        }
        _ => None,
    };
    Offer {
        option: it.way.id.clone(),
        path: it.way.main.clone(),
        verdict: verdict(it.stops, sums.as_ref()),
        notes: notes(it, &sold, sums.as_ref()),
        sold,
        sums,
        tell,
        partly: it.way.partly.clone(),
        not_in_it: match bill {
            Bill::Open => of_others,
            Bill::Told(_) | Bill::None => Vec::new(),
        },
    }
}

/// Comparables of the way's path, in the book's currency.
fn comparables(it: &Basis<'_>) -> Vec<Money> {
    let sold = it.piece.market.sold.iter();
    let fits =
        sold.filter(|line| it.way.is_priced_by(&line.path) && line.price.currency == it.currency);
    fits.map(|it| it.price).collect()
}

/// The lowest of all prices told of a whole piece in the book's currency, minor units.
fn lowest_of_all(it: &Basis<'_>) -> Option<i64> {
    let whole = it.piece.market.sold.iter().filter(|it| it.path != DONOR);
    let known = whole.filter(|line| line.price.currency == it.currency);
    known.map(|it| it.price.minor).min()
}

fn verdict(stops: &[Stopped], sums: Option<&Sums>) -> Verdict {
    match (strongest(stops), sums) {
        (Some(Stop::Walk), _) => Verdict::Walk,
        (Some(Stop::Donor), _) => Verdict::Donor,
        (_, Some(sums)) if sums.pays && sums.waits_for_bill => Verdict::NotKnown,
        (_, Some(sums)) if sums.pays => Verdict::Offer,
        (_, Some(_)) => Verdict::Donor,
        (_, None) => Verdict::NotKnown,
    }
}

fn strongest(stops: &[Stopped]) -> Option<Stop> {
    stops.iter().map(|it| it.stop).min()
}

/// What others take for their part of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Bill {
    /// Nothing is theirs.
    None,
    /// As told, in minor units.
    Told(i64),
    /// Nobody told.
    Open,
}

impl Bill {
    /// What is known of it.
    fn minor(self) -> i64 {
        match self {
            Self::Told(minor) => minor,
            Self::Open | Self::None => 0,
        }
    }
}

/// What stands beside a highest offer that is one before a bill.
const WAITS_FOR_BILL: &str =
    "before the bill of others, which nobody told; no bid until it is known";

/// Work of others without a price of its own: faults that want a specialist, and parts that are handed to one.
fn of_others(it: &Basis<'_>) -> Vec<String> {
    let mut bills = it.plan.cost.bill_not_known.clone();
    let handed = it.way.parts.iter();
    let handed = handed.filter(|it| it.path.as_deref() == Some(SPECIALIST));
    // Work of theirs that has a name of its own stands there already.
    let mut named = it.plan.tasks.iter().filter(|it| !it.is_own());
    let named: Vec<&PartId> = named.by_ref().flat_map(|it| &it.parts).collect();
    let handed = handed.filter(|it| !named.contains(&&it.part));
    let labels: Vec<String> = handed.map(|it| it.label.to_lowercase()).collect();
    if !labels.is_empty() {
        bills.push(format!("What a specialist takes for {}", labels.join(", ")));
    }
    bills
}

/// What bad answers would likely cost: to the questions that are counted, or to the others.
fn asides(asked: &[Asked], counted: bool) -> i64 {
    let asked = asked.iter().filter(|it| it.counted == counted);
    asked.filter_map(|it| it.aside).map(|it| it.likely).sum()
}

/// What questions cost that were answered badly.
fn bad_cost(it: &Basis<'_>) -> i64 {
    let bad = it.bad_answers.iter().filter_map(|it| it.cost);
    bad.map(|it| it.likely).sum()
}

fn sums(it: &Basis<'_>, terms: &Terms, lowest: Money, bill: Bill) -> Sums {
    let money = |minor: i64| Money {
        minor,
        currency: it.currency,
    };
    let others = bill.minor();
    let materials = it.plan.cost.minor.likely + it.may_come.minor.likely;
    let storage = terms.storage_week.saturating_mul(terms.weeks);
    let (aside, looks) = (asides(it.asked, true), asides(it.asked, false));
    let bad = bad_cost(it);
    let cash = materials + others + terms.pickup + storage + aside + bad;
    let minutes = all_minutes(it);
    let deal = Deal {
        price: lowest.minor,
        of_parts: lowest_of_all(it).unwrap_or(lowest.minor),
        cash,
        minutes: minutes.likely,
        asks: it.piece.market.seller_asks.map(|it| it.minor),
        unit: 10_i64.pow(it.currency.decimals()),
        stop: strongest(it.stops),
    };
    let got = reckon(&deal, terms);
    let answered_well = Deal {
        cash: cash - aside,
        ..deal
    };
    let pays = pays(&reckon(&answered_well, terms));
    // A bill only makes it less: what is worth no more than its parts without it is worth that with it.
    let is_for_parts = matches!(deal.stop, Some(Stop::Walk | Stop::Donor)) || !pays;
    let waits_for_bill = bill == Bill::Open && !is_for_parts;
    let over = i128::from(minutes.high - minutes.likely) * i128::from(terms.lowest_hourly);
    Sums {
        lowest_sold: lowest,
        fee: money(got.fee),
        discount: money(got.discount),
        delivery: money(terms.delivery),
        net_sale: money(got.net_sale),
        materials: money(materials),
        others: money(others),
        pickup: money(terms.pickup),
        storage: money(storage),
        aside: money(aside),
        looks: money(looks),
        bad_answers: money(bad),
        cash_costs: money(cash),
        margin: money(got.margin),
        minutes: minutes.likely,
        wage: money(terms.lowest_hourly),
        hours_worth: money(got.hours_worth),
        hours_over: money(half_even(over, 2 * HOUR)),
        risk: money(share(got.net_sale.max(0), terms.risk)),
        by_margin: money(got.by_margin),
        by_hours: money(got.by_hours),
        highest: money(got.highest),
        because: match waits_for_bill {
            true => WAITS_FOR_BILL.to_owned(),
            false => because(&got, it.stops, pays),
        },
        pays,
        waits_for_bill,
        first_bid: { got.first_bid.filter(|_| !waits_for_bill) }.map(|it| it.map(money)),
        donor: got.donor.map(|it| money(said(it, deal.unit))),
        parts: got.donor.map(money),
        spent: money(it.spent.cost),
        spent_minutes: it.spent.minutes,
        spent_untold: it.spent.untold,
        spent_worth: money(worth_of(it.spent.minutes, terms)),
        hourly: hourly(it, terms, &got, got.net_sale - cash),
    }
}

/// Whether the work brings more than the parts.
fn pays(it: &Reckoned) -> bool {
    it.by_margin.min(it.by_hours) > it.donor[0]
}

/// What sets the highest offer, in words; `pays` where the work would bring more than the parts with every question answered well.
fn because(it: &Reckoned, stops: &[Stopped], pays: bool) -> String {
    match it.because {
        Because::Margin => "the margin must be left; the hours alone would allow more".to_owned(),
        Because::Hours => "the hours must be paid; the margin alone would allow more".to_owned(),
        Because::Parts if pays => {
            "what its parts may bring, less fetching, until the open questions are answered"
                .to_owned()
        }
        Because::Parts => {
            "what its parts may bring, less fetching; work on it would not be paid".to_owned()
        }
        Because::OnlyParts => "what its parts may bring at most, less fetching".to_owned(),
        Because::Asked => "no more is asked".to_owned(),
        Because::Stopped => {
            let what = stops.iter().find(|it| it.stop == Stop::Walk);
            what.map_or_else(String::new, |it| it.what.clone())
        }
    }
}

/// So many minutes at the lowest wage.
fn worth_of(minutes: i64, terms: &Terms) -> i64 {
    half_even(i128::from(minutes) * i128::from(terms.lowest_hourly), HOUR)
}

/// What an hour brings at the price paid, else asked, else at the highest offer. Of what is bought, the work on record is as spent as
/// its price.
fn hourly(it: &Basis<'_>, terms: &Terms, got: &Reckoned, before_price: i64) -> Hourly {
    let paid = it.piece.bought_for.map(|it| (it.minor, PriceIs::Paid));
    let asks = it.piece.market.seller_asks;
    let asked = asks.map(|it| (it.minor, PriceIs::Asked));
    let (price, price_is) = paid
        .or(asked)
        .unwrap_or((got.highest.max(0), PriceIs::HighestOffer));
    let spent = match price_is {
        PriceIs::Paid => it.spent,
        PriceIs::Asked | PriceIs::HighestOffer => Spent::default(),
    };
    let minutes = i128::from((all_minutes(it).likely + spent.minutes).max(1));
    let left = before_price - price - spent.cost;
    let per_hour = half_even(i128::from(left) * HOUR, minutes);
    let money = |minor: i64| Money {
        minor,
        currency: it.currency,
    };
    Hourly {
        per_hour: money(per_hour),
        at_price: money(price),
        price_is,
        // By the same sum as the offer, so that the two never say the contrary of each other.
        below_least: Some(price + spent.cost + worth_of(spent.minutes, terms) > got.by_hours),
    }
}
