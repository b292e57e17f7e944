//! What an offer rests on, and the amounts of its reckoning.

use serde::Serialize;

use crate::advise::labour::exact::Spread;
use crate::advise::labour::may_come::MayCome;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::doubts::questions::BadAnswer;
use crate::advise::price::doubts::stops::Stopped;
use crate::advise::price::options::Way;
use crate::advise::price::terms::Terms;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Who;

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
    /// What others take for their part of the work, as told for this piece.
    pub others: Money,
    /// Fetching it.
    pub pickup: Money,
    /// Storage until it is sold.
    pub storage: Money,
    /// What is put aside for open questions for which something found on the piece speaks.
    pub aside: Money,
    /// What bad answers to the other open questions would likely cost; a note, not in the highest offer.
    pub looks: Money,
    /// What questions cost that were answered badly: as much as was put aside for them.
    pub bad_answers: Money,
    /// All cash but the price.
    pub cash_costs: Money,
    /// The margin that must be left, a share of the net sale less cash.
    pub margin: Money,
    /// Likely minutes of work, what may come included.
    pub minutes: i64,
    /// The lowest wage of an hour.
    pub wage: Money,
    /// Likely hours at the lowest wage.
    pub hours_worth: Money,
    /// Half of what the hours may run over, at the lowest wage; a note, not in the highest offer.
    pub hours_over: Money,
    /// Share of the net sale for risk; a note, not in the highest offer.
    pub risk: Money,
    /// The most that can be paid if a margin must be left.
    pub by_margin: Money,
    /// The most that can be paid if every likely hour must bring the lowest wage.
    pub by_hours: Money,
    /// The lower of the two, never below what its parts bring, never above what is asked; 0 where a reason not to buy stands. Before the bills in `not_in_it`.
    pub highest: Money,
    /// What sets it.
    pub because: String,
    /// Whether the work brings more than the parts, with every open question answered well.
    #[serde(skip)]
    pub pays: bool,
    /// Whether it would pay but for work of others whose bill nobody knows.
    #[serde(skip)]
    pub waits_for_bill: bool,
    /// The first bid: from, to; none when there is nothing to pay, or a bill is not known.
    pub first_bid: Option<[Money; 2]>,
    /// What it is worth for its parts, as amounts that are said at a door: from, to.
    pub donor: [Money; 2],
    /// The same to the cent, as it stands in the highest offer.
    #[serde(skip)]
    pub parts: [Money; 2],
    /// What the repairs on record cost, as told; of a piece that is bought it counts as what was paid does.
    pub spent: Money,
    /// Minutes that were told of them.
    pub spent_minutes: i64,
    /// How many of them took hours that nobody told.
    pub spent_untold: usize,
    /// The same minutes at the lowest wage.
    #[serde(skip)]
    pub spent_worth: Money,
    /// What an hour brings.
    pub hourly: Hourly,
}

/// What an hour brings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Hourly {
    /// An hour's return, at likely hours; of a piece that is bought, over the hours and less the cost that were told of work on record.
    pub per_hour: Money,
    /// At which price.
    pub at_price: Money,
    /// What that price is.
    pub price_is: PriceIs,
    /// Whether it is less than the lowest wage; always told.
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
    /// Those that were answered badly.
    pub bad_answers: &'a [BadAnswer],
    /// Reasons to stop.
    pub stops: &'a [Stopped],
    /// The piece.
    pub piece: &'a Piece,
    /// What went into it already.
    pub spent: Spent,
    /// The terms, or what is missing of them.
    pub terms: &'a Result<Terms, Vec<String>>,
    /// The book's currency.
    pub currency: Currency,
}

/// All minutes: the plan's, and what may come to it.
pub(in crate::advise) fn all_minutes(it: &Basis<'_>) -> Spread {
    it.plan.hours.minutes + it.may_come.minutes
}

/// What the repairs on record took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spent {
    /// What they cost, minor units of the book's currency; not what others took for their part.
    pub cost: i64,
    /// Minutes of work.
    pub minutes: i64,
    /// How many repairs are on record of which no minutes were told.
    pub untold: usize,
    /// Whether others did some of the work.
    pub by_others: bool,
}

impl Spent {
    /// On the piece of a plan.
    pub(in crate::advise) fn on(need: &PlanInput<'_>) -> Self {
        let mut spent = Self::default();
        for it in &need.it.repairs {
            let told = it.cost.filter(|it| it.currency == need.settings.currency);
            let cost = told.map_or(0, |it| it.minor);
            match is_by_others(it, need.book) {
                true => spent.by_others = true,
                false => spent.untold += usize::from(it.minutes.is_none()),
            }
            spent.cost += cost;
            spent.minutes += i64::from(it.minutes.unwrap_or(0));
        }
        spent
    }
}

/// Whether work of this kind is usually done by others, for a bill.
#[must_use]
pub fn is_by_others(it: &Repair, book: &TradeBook) -> bool {
    book.method(&it.method)
        .is_some_and(|it| it.by == Who::Specialist)
}
