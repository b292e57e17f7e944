//! What was told of the money of one piece, and its events.

use serde::Serialize;

use crate::advise::price::basis::is_by_others;
use crate::kit::clock::Day;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::kit::words::words;
use crate::model::ids::StockNo;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::sale::FallenSale;
use crate::model::sale::Sale;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// The money of a piece, as told. What was not told is `None`, never nothing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PieceMoney {
    /// Stock number.
    pub stock_no: StockNo,
    /// Short description.
    pub title: String,
    /// When it was bought.
    pub bought_on: Option<Day>,
    /// What was paid for it.
    pub bought_for: Option<Money>,
    /// What the material of its repairs cost, of those of which it was told; `None` where repairs are on record and it was told of none.
    pub material: Option<Money>,
    /// What others took for their part of the work, besides what was told as the cost of it, where work of theirs is on record; `None`
    /// where none is, or it was not told.
    pub others: Option<Money>,
    /// Minutes of work on its repairs, of those of which they were told.
    pub minutes: u32,
    /// Numbers of the repairs of which the cost of the material was not told.
    pub repairs_without_cost: Vec<u32>,
    /// When it was sold.
    pub sold_on: Option<Day>,
    /// What was paid for it then.
    pub sold_for: Option<Money>,
    /// The sale less the purchase, the material and what others took; `None` where one of the first two was not told. Where repairs are without a cost,
    /// it is the most that it can be.
    pub margin: Option<Money>,
    /// Sales of it that were taken back.
    pub fell_through: Vec<FallenSale>,
}

/// One event with money or work in it, for whoever keeps the books.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MoneyEvent {
    /// The day; `None` of a purchase whose day was not told.
    pub day: Option<Day>,
    /// Stock number.
    pub stock_no: StockNo,
    /// Short description of the piece.
    pub title: String,
    /// What happened.
    pub what: MoneyKind,
    /// Number of the repair.
    pub repair: Option<u32>,
    /// What was paid, told as paid in the sale that was taken back, or the material cost; `None` where it was not told.
    pub amount: Option<Money>,
    /// Minutes of work on the repair.
    pub minutes: Option<u32>,
}

words! {
    /// What happened with money or work in it.
    MoneyKind {
        /// The piece was bought.
        Purchase = "purchase",
        /// It was repaired.
        Repair = "repair",
        /// Others were paid for their part of the work, by the day of the last of it.
        Others = "others",
        /// It was sold, or told as sold.
        Sale = "sale",
        /// That sale did not come about, or was undone.
        TakenBack = "taken_back",
    }
}

impl MoneyKind {
    /// Whether its amount was spent on the piece.
    pub(super) fn is_spending(self) -> bool {
        matches!(self, Self::Purchase | Self::Repair | Self::Others)
    }
}

/// What was told of one piece.
pub(super) struct Told {
    pub(super) piece: Piece,
    pub(super) repairs: Vec<Repair>,
    pub(super) sale: Option<Sale>,
    /// Sales that were taken back.
    pub(super) fallen: Vec<FallenSale>,
    /// What others took for work of theirs that is on record, by the day of the last of it.
    pub(super) others: Option<(Day, Money)>,
}

/// What others took, where work of theirs is on record. What a repair cost is material, and no part of their bill.
fn of_others(piece: &Piece, repairs: &[Repair], book: &TradeBook) -> Option<(Day, Money)> {
    let bill = piece.market.bill?;
    let theirs = repairs.iter().filter(|it| is_by_others(it, book));
    Some((theirs.map(|it| it.day).max()?, bill))
}

impl Told {
    /// Reads what was told of a piece.
    ///
    /// # Errors
    /// When there is no such piece, or the book cannot be read.
    pub(super) fn of(book: &OpenBook, no: &StockNo) -> Result<Self, WorkError> {
        let (piece, repairs) = (book.piece(no)?, book.record.repairs(no)?);
        Ok(Self {
            others: of_others(&piece, &repairs, &book.trade),
            piece,
            repairs,
            sale: book.record.sale(no)?,
            fallen: book.record.fallen_sales(no)?,
        })
    }

    /// All amounts that can still be told again in another currency.
    pub(super) fn amounts(&self) -> impl Iterator<Item = Money> {
        let costs = self.repairs.iter().filter_map(|it| it.cost);
        let sale = self.sale.as_ref().and_then(|it| it.price);
        let others = self.others.map(|it| it.1);
        let spent = self.piece.bought_for.into_iter().chain(costs);
        spent.chain(others).chain(sale)
    }

    /// Counts it.
    pub(super) fn counted(&self, currency: Currency) -> PieceMoney {
        let costs = self.repairs.iter().filter_map(|it| it.cost);
        let material: i64 = costs.clone().map(|it| it.minor).sum();
        let is_told = self.repairs.is_empty() || costs.count() > 0;
        let without = self.repairs.iter().filter(|it| it.cost.is_none());
        let minutes = self.repairs.iter().filter_map(|it| it.minutes).sum();
        let bought_for = self.piece.bought_for;
        let sold_for = self.sale.as_ref().and_then(|it| it.price);
        let others = self.others.map(|it| it.1);
        let spent = material + others.map_or(0, |it| it.minor);
        let margin = bought_for
            .zip(sold_for)
            .map(|(bought, sold)| sold.minor - bought.minor - spent);
        PieceMoney {
            stock_no: self.piece.stock_no.clone(),
            title: self.piece.title.clone(),
            bought_on: self.piece.bought_on,
            bought_for,
            material: is_told.then(|| of(currency, material)),
            others,
            minutes,
            repairs_without_cost: without.map(|it| it.no).collect(),
            sold_on: self.sale.as_ref().map(|it| it.day),
            sold_for,
            margin: margin.map(|it| of(currency, it)),
            fell_through: self.fallen.clone(),
        }
    }

    /// What a sale that was taken back had brought until then, in hundredths: as it was counted before.
    pub(super) fn fallen_margin(&self, sale: &FallenSale, currency: Currency) -> Option<i64> {
        let price = sale.price.filter(|it| it.currency == currency)?;
        let until = self.repairs.iter().filter(|it| it.day <= sale.taken_back);
        let material: i64 = until.filter_map(|it| it.cost).map(|it| it.minor).sum();
        let others = self.others.filter(|it| it.0 <= sale.taken_back);
        let others = others.map_or(0, |it| it.1.minor);
        Some(price.minor - self.piece.bought_for?.minor - material - others)
    }

    /// All that has a day, or could have one.
    pub(super) fn events(&self, currency: Currency) -> Vec<MoneyEvent> {
        let event = |day, what, amount| MoneyEvent {
            day,
            stock_no: self.piece.stock_no.clone(),
            title: self.piece.title.clone(),
            what,
            repair: None,
            amount,
            minutes: None,
        };
        let piece = &self.piece;
        let bought = piece
            .is_bought()
            .then(|| event(piece.bought_on, MoneyKind::Purchase, piece.bought_for));
        let repairs = self.repairs.iter().map(move |it| MoneyEvent {
            repair: Some(it.no),
            minutes: it.minutes,
            ..event(Some(it.day), MoneyKind::Repair, it.cost)
        });
        let others = self.others.iter();
        let others = others.map(move |it| event(Some(it.0), MoneyKind::Others, Some(it.1)));
        let sale = self.sale.iter();
        let sale = sale.map(move |it| event(Some(it.day), MoneyKind::Sale, it.price));
        let fallen = self.fallen.iter().flat_map(move |it| {
            // One of a former currency cannot be told again.
            let price = it.price.filter(|it| it.currency == currency);
            [
                event(Some(it.day), MoneyKind::Sale, price),
                event(Some(it.taken_back), MoneyKind::TakenBack, price),
            ]
        });
        let all = bought.into_iter().chain(repairs).chain(others);
        all.chain(fallen).chain(sale).collect()
    }
}

fn of(currency: Currency, minor: i64) -> Money {
    Money { minor, currency }
}
