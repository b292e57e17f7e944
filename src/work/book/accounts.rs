//! What was paid, spent and taken in, piece by piece and year by year, from what the owner told.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::model::ids::StockNo;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::sale::Sale;
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
    /// Minutes of work on its repairs, of those of which they were told.
    pub minutes: u32,
    /// Numbers of the repairs of which the cost of the material was not told.
    pub repairs_without_cost: Vec<u32>,
    /// When it was sold.
    pub sold_on: Option<Day>,
    /// What was paid for it then.
    pub sold_for: Option<Money>,
    /// The sale less the purchase and the material; `None` where one of the first two was not told. Where repairs are without a cost,
    /// it is the most that it can be.
    pub margin: Option<Money>,
}

/// The money of a calendar year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct YearMoney {
    /// The year.
    pub year: i16,
    /// What was paid for pieces bought in it.
    pub bought: Money,
    /// What material cost in it, by the days of the repairs.
    pub material: Money,
    /// Minutes of work in it, by the days of the repairs.
    pub minutes: u32,
    /// What was paid for pieces sold in it.
    pub sold: Money,
    /// The margins of the pieces sold in it, whenever they were bought.
    pub margin: Money,
    /// Pieces sold in it without a margin, because what was paid at one end was not told.
    pub without_margin: Vec<StockNo>,
    /// Pieces bought in it of which what was paid was not told.
    pub bought_without_price: Vec<StockNo>,
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
    /// `purchase`, `repair` or `sale`.
    pub what: &'static str,
    /// Number of the repair.
    pub repair: Option<u32>,
    /// What was paid, or the material cost; `None` where it was not told.
    pub amount: Option<Money>,
    /// Minutes of work on the repair.
    pub minutes: Option<u32>,
}

/// All of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Accounts {
    /// The currency of the book.
    pub currency: Currency,
    /// Piece by piece, by stock number.
    pub pieces: Vec<PieceMoney>,
    /// Year by year.
    pub years: Vec<YearMoney>,
    /// Every event, by day; those without a day first.
    pub events: Vec<MoneyEvent>,
    /// Numbers of pieces whose day of purchase was not told: what was paid for them is in no year.
    pub bought_some_day: Vec<StockNo>,
    /// Numbers of withdrawn pieces: they are not counted.
    pub withdrawn: Vec<StockNo>,
}

/// Counts the money of a book.
///
/// # Errors
/// When the book cannot be read, or holds amounts of another currency than its own.
pub fn accounts(book: &OpenBook) -> Result<Accounts, WorkError> {
    let currency = book.settings()?.currency;
    let mut told = Vec::new();
    let mut withdrawn = Vec::new();
    for no in book.record.stock_numbers()? {
        if book.record.withdrawal(&no)?.is_some() {
            withdrawn.push(no);
            continue;
        }
        told.push(Told {
            piece: book.piece(&no)?,
            repairs: book.record.repairs(&no)?,
            sale: book.record.sale(&no)?,
        });
    }
    for it in &told {
        if let Some(other) = it.amounts().find(|it| it.currency != currency) {
            return Err(WorkError::asked_with(
                format!(
                    "{} has an amount in {}, and the book's currency is {currency}",
                    it.piece.stock_no, other.currency
                ),
                "amounts of two currencies cannot be added: put `currency` in book.toml right, or tell the amount again in it",
            ));
        }
    }
    Ok(Accounts {
        withdrawn,
        ..counted(currency, &told)
    })
}

/// What was told of one piece.
struct Told {
    piece: Piece,
    repairs: Vec<Repair>,
    sale: Option<Sale>,
}

impl Told {
    fn amounts(&self) -> impl Iterator<Item = Money> {
        let costs = self.repairs.iter().filter_map(|it| it.cost);
        let sale = self.sale.as_ref().and_then(|it| it.price);
        self.piece.bought_for.into_iter().chain(costs).chain(sale)
    }

    fn counted(&self, currency: Currency) -> PieceMoney {
        let costs = self.repairs.iter().filter_map(|it| it.cost);
        let material: i64 = costs.clone().map(|it| it.minor).sum();
        let is_told = self.repairs.is_empty() || costs.count() > 0;
        let without = self.repairs.iter().filter(|it| it.cost.is_none());
        let minutes = self.repairs.iter().filter_map(|it| it.minutes).sum();
        let bought_for = self.piece.bought_for;
        let sold_for = self.sale.as_ref().and_then(|it| it.price);
        let margin = bought_for
            .zip(sold_for)
            .map(|(bought, sold)| sold.minor - bought.minor - material);
        PieceMoney {
            stock_no: self.piece.stock_no.clone(),
            title: self.piece.title.clone(),
            bought_on: self.piece.bought_on,
            bought_for,
            material: is_told.then(|| of(currency, material)),
            minutes,
            repairs_without_cost: without.map(|it| it.no).collect(),
            sold_on: self.sale.as_ref().map(|it| it.day),
            sold_for,
            margin: margin.map(|it| of(currency, it)),
        }
    }
}

impl Told {
    fn events(&self) -> impl Iterator<Item = MoneyEvent> {
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
            .then(|| event(piece.bought_on, "purchase", piece.bought_for));
        let repairs = self.repairs.iter().map(move |it| MoneyEvent {
            repair: Some(it.no),
            minutes: it.minutes,
            ..event(Some(it.day), "repair", it.cost)
        });
        let sale = self.sale.iter();
        let sale = sale.map(move |it| event(Some(it.day), "sale", it.price));
        bought.into_iter().chain(repairs).chain(sale)
    }
}

fn of(currency: Currency, minor: i64) -> Money {
    Money { minor, currency }
}

fn counted(currency: Currency, told: &[Told]) -> Accounts {
    let pieces: Vec<PieceMoney> = told.iter().map(|it| it.counted(currency)).collect();
    let mut years: BTreeMap<i16, YearMoney> = BTreeMap::new();
    let none = of(currency, 0);
    let mut of_year = |day: Day, change: &dyn Fn(&mut YearMoney)| {
        change(years.entry(day.year()).or_insert(YearMoney {
            year: day.year(),
            bought: none,
            material: none,
            minutes: 0,
            sold: none,
            margin: none,
            without_margin: Vec::new(),
            bought_without_price: Vec::new(),
        }));
    };
    for it in &pieces {
        if let Some(day) = it.bought_on {
            of_year(day, &|year| match it.bought_for {
                Some(paid) => year.bought.minor += paid.minor,
                None => year.bought_without_price.push(it.stock_no.clone()),
            });
        }
        if let Some(day) = it.sold_on {
            of_year(day, &|year| {
                year.sold.minor += it.sold_for.map_or(0, |it| it.minor);
                year.margin.minor += it.margin.map_or(0, |it| it.minor);
                if it.margin.is_none() {
                    year.without_margin.push(it.stock_no.clone());
                }
            });
        }
    }
    for it in told.iter().flat_map(|it| &it.repairs) {
        if it.cost.is_some() || it.minutes.is_some() {
            of_year(it.day, &|year| {
                year.material.minor += it.cost.map_or(0, |it| it.minor);
                year.minutes += it.minutes.unwrap_or(0);
            });
        }
    }
    let mut events: Vec<MoneyEvent> = told.iter().flat_map(Told::events).collect();
    events.sort_by_key(|it| it.day);
    let some_day = pieces.iter();
    let some_day = some_day.filter(|it| it.bought_for.is_some() && it.bought_on.is_none());
    Accounts {
        currency,
        bought_some_day: some_day.map(|it| it.stock_no.clone()).collect(),
        withdrawn: Vec::new(),
        years: years.into_values().collect(),
        events,
        pieces,
    }
}

#[cfg(test)]
mod tests {
    use super::Told;
    use super::counted;
    use crate::kit::clock::Moment;
    use crate::kit::money::Currency;
    use crate::model::piece::Piece;
    use crate::model::repair::Repair;
    use crate::model::sale::Sale;

    fn repair(day: &str, cost: Option<&str>, minutes: Option<u32>) -> Repair {
        let eur: Currency = "EUR".parse().unwrap();
        Repair {
            no: 1,
            findings: Vec::new(),
            parts: Vec::new(),
            method: "clean_wax".to_owned(),
            day: day.parse().unwrap(),
            new_material: None,
            hides: None,
            note: None,
            minutes,
            cost: cost.map(|it| eur.amount(it).unwrap()),
            private_note: None,
        }
    }

    fn told(no: &str, bought: Option<(&str, &str)>, sold: Option<(&str, Option<&str>)>) -> Told {
        let eur: Currency = "EUR".parse().unwrap();
        let mut piece = Piece::blank(no.parse().unwrap(), Moment::now());
        piece.bought_on = bought.map(|it| it.0.parse().unwrap());
        piece.bought_for = bought.map(|it| eur.amount(it.1).unwrap());
        Told {
            piece,
            repairs: Vec::new(),
            sale: sold.map(|(day, price)| Sale {
                day: day.parse().unwrap(),
                price: price.map(|it| eur.amount(it).unwrap()),
                to: None,
                note: None,
            }),
        }
    }

    /// Reckoned by hand: 85 paid in 2025, 12.40 and 7.10 of material in two years, sold at 240 in 2026: 135.50 remain.
    #[test]
    fn a_piece_bought_and_sold_in_two_years() {
        let mut chest = told(
            "25-001",
            Some(("2025-11-03", "85")),
            Some(("2026-03-01", Some("240"))),
        );
        chest.repairs = vec![
            repair("2025-12-30", Some("12.40"), Some(90)),
            repair("2026-01-02", Some("7.10"), Some(30)),
            repair("2026-01-03", None, None),
        ];
        let it = counted("EUR".parse().unwrap(), &[chest]);
        let piece = &it.pieces[0];
        assert_eq!(piece.margin.unwrap().to_string(), "EUR 135.50");
        assert_eq!((piece.minutes, piece.repairs_without_cost.len()), (120, 1));
        let years: Vec<String> = it
            .years
            .iter()
            .map(|it| {
                format!(
                    "{} {} {} {} {} {}",
                    it.year, it.bought, it.material, it.minutes, it.sold, it.margin
                )
            })
            .collect();
        assert_eq!(
            years,
            [
                "2025 EUR 85.00 EUR 12.40 90 EUR 0.00 EUR 0.00",
                "2026 EUR 0.00 EUR 7.10 30 EUR 240.00 EUR 135.50",
            ]
        );
    }

    /// What was not told is not nothing: no margin, and it is counted.
    #[test]
    fn what_was_not_told_makes_no_margin() {
        let gift = told("26-001", None, Some(("2026-03-01", Some("50"))));
        let unpriced = told(
            "26-002",
            Some(("2026-01-01", "20")),
            Some(("2026-03-02", None)),
        );
        let it = counted("EUR".parse().unwrap(), &[gift, unpriced]);
        assert!(it.pieces.iter().all(|it| it.margin.is_none()));
        assert_eq!(
            (it.years[0].without_margin.len(), it.years[0].margin.minor),
            (2, 0)
        );
    }
}
