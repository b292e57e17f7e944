//! The reckoning of an offer in whole minor units: two modes, the lesser of them, a floor and a cap.
//!
//! By margin: net sale - cash - the margin. By hours: net sale - cash - likely hours at the lowest wage. What can be paid
//! is the lesser of the two, never below what the parts bring, never above what is asked; it never falls when the price
//! rises. The margin is a share of what the sale leaves once its cash is paid: fetching and storage cost the same for a
//! stool as for a wardrobe, and a margin on them too would eat all of a small piece. Common practice, no source. Every
//! product is rounded once, half to even.

use crate::advise::labour::exact::half_even;
use crate::advise::labour::exact::share;
use crate::advise::price::terms::Terms;
use crate::trade::entry::offer::Stop;

/// Minutes in an hour.
const HOUR: i128 = 60;

/// Hundredths of a percent in a whole.
const WHOLE: i64 = 10_000;

/// What a reckoning is about; amounts in minor units.
#[derive(Clone, Copy, Debug)]
pub(in crate::advise) struct Deal {
    /// The lowest price at which such a piece was sold.
    pub price: i64,
    /// The lowest of all prices told, whatever the way: what its parts bring hangs on no way of finishing it.
    pub of_parts: i64,
    /// All cash but the price paid for it.
    pub cash: i64,
    /// Likely minutes of work.
    pub minutes: i64,
    /// What the seller asks, if told.
    pub asks: Option<i64>,
    /// Minor units in one whole unit of money.
    pub unit: i64,
    /// The strongest reason to stop, if there is one.
    pub stop: Option<Stop>,
}

/// The reckoning of a deal; amounts in minor units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::advise) struct Reckoned {
    /// What the channel keeps.
    pub fee: i64,
    /// What the price is beaten down by.
    pub discount: i64,
    /// What comes in.
    pub net_sale: i64,
    /// The margin that must be left.
    pub margin: i64,
    /// Likely hours at the lowest wage.
    pub hours_worth: i64,
    /// The most that can be paid if the margin is left.
    pub by_margin: i64,
    /// The most that can be paid if every likely hour brings the lowest wage.
    pub by_hours: i64,
    /// What its parts may bring, less fetching: from, to.
    pub donor: [i64; 2],
    /// What it is worth to us before anybody says what is asked.
    pub worth: i64,
    /// The most that can be paid.
    pub highest: i64,
    /// Why that much.
    pub because: Because,
    /// The first bid, and the second if the first is refused, as amounts that are said at a door; none when there is
    /// nothing to pay.
    pub first_bid: Option<[i64; 2]>,
}

/// What sets the highest offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::advise) enum Because {
    /// The margin, which allows less than the hours.
    Margin,
    /// The hours, which allow less than the margin.
    Hours,
    /// The work would not be paid: what the parts may bring, less fetching.
    Parts,
    /// A reason to buy for the parts alone: what they bring at most.
    OnlyParts,
    /// No more is asked.
    Asked,
    /// A reason not to buy.
    Stopped,
}

/// Reckons a deal by the user's terms.
#[must_use]
pub(in crate::advise) fn reckon(it: &Deal, terms: &Terms) -> Reckoned {
    let fee = share(it.price, terms.fee);
    // Both at once and then parted: two roundings could take more than the cent by which a price rises.
    let off = off(it.price, terms);
    let net_sale = net_sale(it.price, terms);
    // A loss asks for no share of itself.
    let margin = share((net_sale - it.cash).max(0), terms.margin).max(terms.least_margin);
    let hours_worth = half_even(
        i128::from(it.minutes) * i128::from(terms.lowest_hourly),
        HOUR,
    );
    let by_margin = net_sale - it.cash - margin;
    let by_hours = net_sale - it.cash - hours_worth;
    let donor = { terms.donor }.map(|part| (share(it.of_parts.max(0), part) - terms.pickup).max(0));
    let (worth, because) = worth(by_margin, by_hours, donor, it.stop);
    let asked = it.asks.filter(|asks| *asks < worth);
    let highest = asked.map_or(worth, |asks| asks.max(0));
    Reckoned {
        fee,
        discount: off - fee,
        net_sale,
        margin,
        hours_worth,
        by_margin,
        by_hours,
        donor,
        worth,
        highest,
        because: asked.map_or(because, |_| Because::Asked),
        first_bid: (highest > 0).then(|| first_bid(it, terms, worth, said(donor[0], it.unit))),
    }
}

/// What comes in of a price.
#[must_use]
pub(in crate::advise) fn net_sale(price: i64, terms: &Terms) -> i64 {
    price - off(price, terms) - terms.delivery
}

/// What channel and bargaining take off a price.
fn off(price: i64, terms: &Terms) -> i64 {
    share(price, (terms.fee + terms.discount).min(WHOLE))
}

/// The first bid, and the second. A seller who asks plainly little, no more than half of what it is worth or than its parts
/// may bring, gets what is asked; one who asks more hears a share of the asking price, which tells nothing of the worth,
/// where that is not above the worth; else a share of the worth, so coarsely rounded that the worth cannot be reckoned back.
/// Never less than its parts may bring, as that is said. Never falls when the worth rises.
fn first_bid(it: &Deal, terms: &Terms, worth: i64, parts: i64) -> [i64; 2] {
    let [first, second] = terms.first_bid.map(|part| share(worth, part));
    let (from, to) = match it.asks {
        Some(asks) if worth >= asks.saturating_mul(2) || asks <= parts => return [asks, asks],
        Some(asks) if worth >= share(asks, terms.first_bid_of_asked) => {
            (share(asks, terms.first_bid_of_asked), second.min(asks))
        }
        _ => (first, second),
    };
    let from = said(from, it.unit).max(parts);
    [from, said(to, it.unit).max(from)]
}

/// The next amount below that is said at a door, in minor units: 1 to 5, then 10, 15, 20, 25 ... 50, 60 ... 100, 120 ... 200, 250 ... 500,
/// 600 ... 1000, and so on. Common practice, no source.
pub(in crate::advise) fn said(minor: i64, unit: i64) -> i64 {
    let units = minor.div_euclid(unit);
    if units < 1 {
        return 0;
    }
    let decade = 10_i64.pow(units.ilog10());
    let step = match (decade, units / decade) {
        (1, lead) if lead < 5 => 1,
        (1, _) | (10, 1) => 5,
        (_, 1) => decade / 5,
        (_, lead) if lead < 5 => decade / 2,
        _ => decade,
    };
    units / step * step * unit
}

/// What it is worth to us, and what sets that.
fn worth(margin: i64, hours: i64, donor: [i64; 2], stop: Option<Stop>) -> (i64, Because) {
    let [sure, most] = donor;
    let (least, because) = if hours < margin {
        (hours, Because::Hours)
    } else {
        (margin, Because::Margin)
    };
    match stop {
        Some(Stop::Walk) => (0, Because::Stopped),
        Some(Stop::Donor) if least > most => (most, Because::OnlyParts),
        _ if least <= sure => (sure, Because::Parts),
        _ => (least, because),
    }
}
