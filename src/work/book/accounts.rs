//! What was paid, spent and taken in, piece by piece and year by year, from what the owner told.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::book::told_money::Told;

pub use crate::work::book::told_money::MoneyEvent;
pub use crate::work::book::told_money::PieceMoney;

/// The money of a calendar year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct YearMoney {
    /// The year.
    pub year: i16,
    /// What was paid for pieces bought in it.
    pub bought: Money,
    /// What material cost in it, by the days of the repairs.
    pub material: Money,
    /// What others took in it for their part of the work, by the day of the last of it.
    pub others: Money,
    /// Minutes of work in it, by the days of the repairs.
    pub minutes: u32,
    /// What was paid for pieces sold in it, also where the sale was taken back later.
    pub sold: Money,
    /// What was told as paid in sales that were taken back in it, whenever they were told.
    pub taken_back: Money,
    /// The margins of the sales in it, whenever the pieces were bought, less those of the sales taken back in it.
    pub margin: Money,
    /// Pieces sold in it without a margin, because what was paid at one end was not told.
    pub without_margin: Vec<StockNo>,
    /// Pieces bought in it of which what was paid was not told.
    pub bought_without_price: Vec<StockNo>,
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
    /// What was told of them.
    pub not_counted: Vec<NotCounted>,
}

/// A withdrawn piece, whose money is not counted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotCounted {
    /// Stock number.
    pub stock_no: StockNo,
    /// When it was withdrawn.
    pub withdrawn_on: Day,
    /// What was paid and spent on it, by year; without a year where no day was told.
    pub spent: Vec<Spent>,
    /// Its events.
    pub events: Vec<MoneyEvent>,
}

/// What was spent in a year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Spent {
    /// The year.
    pub year: Option<i16>,
    /// The amount.
    pub amount: Money,
}

/// What was told as paid for a piece and spent on it, by year, in the currency of the book.
///
/// # Errors
/// When there is no such piece, or the book cannot be read.
pub(in crate::work) fn spent(book: &OpenBook, no: &StockNo) -> Result<Vec<Spent>, WorkError> {
    let currency = book.settings()?.currency;
    Ok(spent_in(&Told::of(book, no)?.events(currency), currency))
}

fn spent_in(events: &[MoneyEvent], currency: Currency) -> Vec<Spent> {
    let mut years: BTreeMap<Option<i16>, i64> = BTreeMap::new();
    for it in events.iter().filter(|it| it.what.is_spending()) {
        if let Some(amount) = it
            .amount
            .filter(|it| it.currency == currency && it.minor != 0)
        {
            *years.entry(it.day.map(|it| it.year())).or_default() += amount.minor;
        }
    }
    let spent = years.into_iter().map(|(year, minor)| Spent {
        year,
        amount: Money { minor, currency },
    });
    spent.collect()
}

/// Counts the money of a book.
///
/// # Errors
/// When the book cannot be read, or holds amounts of another currency than its own.
pub fn accounts(book: &OpenBook) -> Result<Accounts, WorkError> {
    let currency = book.settings()?.currency;
    let mut told = Vec::new();
    let mut not_counted = Vec::new();
    for no in book.record.stock_numbers()? {
        let it = Told::of(book, &no)?;
        let Some(gone) = book.record.withdrawal(&no)? else {
            told.push(it);
            continue;
        };
        let events = it.events(currency);
        not_counted.push(NotCounted {
            stock_no: no,
            withdrawn_on: gone.at.local_day(),
            spent: spent_in(&events, currency),
            events,
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
        withdrawn: not_counted.iter().map(|it| it.stock_no.clone()).collect(),
        not_counted,
        ..counted(currency, &told)
    })
}

fn counted(currency: Currency, told: &[Told]) -> Accounts {
    let pieces: Vec<PieceMoney> = told.iter().map(|it| it.counted(currency)).collect();
    let mut events: Vec<MoneyEvent> = told.iter().flat_map(|it| it.events(currency)).collect();
    events.sort_by_key(|it| it.day);
    let some_day = pieces.iter();
    let some_day = some_day.filter(|it| it.bought_for.is_some() && it.bought_on.is_none());
    Accounts {
        currency,
        bought_some_day: some_day.map(|it| it.stock_no.clone()).collect(),
        withdrawn: Vec::new(),
        not_counted: Vec::new(),
        years: by_year(currency, told, &pieces),
        events,
        pieces,
    }
}

/// What happened, by calendar year.
fn by_year(currency: Currency, told: &[Told], pieces: &[PieceMoney]) -> Vec<YearMoney> {
    let mut years: BTreeMap<i16, YearMoney> = BTreeMap::new();
    let none = Money { minor: 0, currency };
    let mut of_year = |day: Day, change: &dyn Fn(&mut YearMoney)| {
        change(years.entry(day.year()).or_insert(YearMoney {
            year: day.year(),
            bought: none,
            material: none,
            others: none,
            minutes: 0,
            sold: none,
            taken_back: none,
            margin: none,
            without_margin: Vec::new(),
            bought_without_price: Vec::new(),
        }));
    };
    for it in pieces {
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
    for (it, sale) in told
        .iter()
        .flat_map(|it| it.fallen.iter().map(move |sale| (it, sale)))
    {
        let price = sale.price.filter(|it| it.currency == currency);
        let price = price.map_or(0, |it| it.minor);
        let margin = it.fallen_margin(sale, currency);
        of_year(sale.day, &|year| {
            year.sold.minor += price;
            year.margin.minor += margin.unwrap_or(0);
            if margin.is_none() {
                year.without_margin.push(it.piece.stock_no.clone());
            }
        });
        of_year(sale.taken_back, &|year| {
            year.taken_back.minor += price;
            year.margin.minor -= margin.unwrap_or(0);
        });
    }
    for it in told.iter().flat_map(|it| &it.repairs) {
        if it.cost.is_some() || it.minutes.is_some() {
            of_year(it.day, &|year| {
                year.material.minor += it.cost.map_or(0, |it| it.minor);
                year.minutes += it.minutes.unwrap_or(0);
            });
        }
    }
    for (day, amount) in told.iter().filter_map(|it| it.others) {
        of_year(day, &|year| year.others.minor += amount.minor);
    }
    years.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::counted;
    use crate::kit::clock::Moment;
    use crate::kit::money::Currency;
    use crate::model::piece::Piece;
    use crate::model::repair::Repair;
    use crate::model::sale::FallenSale;
    use crate::model::sale::Sale;
    use crate::work::book::told_money::Told;

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
            fallen: Vec::new(),
            others: None,
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

    /// Sold in December at 150, taken back in January, worked on for 20 and sold again at 160: the closed year keeps its 120 of
    /// margin (150 - 30), and both years together have what the piece brought: 160 - 30 - 20.
    #[test]
    fn a_sale_that_fell_through_leaves_a_closed_year_as_it_was() {
        let eur: Currency = "EUR".parse().unwrap();
        let bought = Some(("2025-11-01", "30"));
        let mut it = told("25-001", bought, Some(("2025-12-20", Some("150"))));
        let closed = counted(eur, std::slice::from_ref(&it)).years[0].clone();
        assert_eq!(closed.margin.minor, 12_000);
        let sale = it.sale.take().unwrap();
        it.fallen.push(FallenSale {
            day: sale.day,
            price: sale.price,
            to: None,
            note: None,
            taken_back: "2026-01-04".parse().unwrap(),
            why: None,
        });
        let years = counted(eur, std::slice::from_ref(&it)).years;
        assert_eq!(years[0], closed);
        let second = |it: &Told| {
            let year = counted(eur, std::slice::from_ref(it)).years[1].clone();
            [year.sold, year.taken_back, year.margin].map(|it| it.minor)
        };
        assert_eq!(second(&it), [0, 15_000, -12_000]);
        it.repairs = vec![repair("2026-01-10", Some("20"), None)];
        it.sale = told("25-001", bought, Some(("2026-02-01", Some("160")))).sale;
        let again = counted(eur, std::slice::from_ref(&it));
        assert_eq!(again.years[0], closed);
        assert_eq!(second(&it), [16_000, 15_000, 11_000 - 12_000]);
        let events = again.events.iter();
        let events: Vec<String> = events
            .map(|it| format!("{} {}", it.day.unwrap(), it.what))
            .collect();
        assert_eq!(
            events,
            [
                "2025-11-01 purchase",
                "2025-12-20 sale",
                "2026-01-04 taken_back",
                "2026-01-10 repair",
                "2026-02-01 sale",
            ]
        );
    }

    /// 12 paid, 90 to the caner, sold at 200: 98 remain, also in the year.
    #[test]
    fn what_others_took_is_spent() {
        let eur: Currency = "EUR".parse().unwrap();
        let (bought, sold) = (("2026-01-02", "12"), ("2026-03-01", Some("200")));
        let mut chair = told("26-001", Some(bought), Some(sold));
        chair.others = Some(("2026-02-01".parse().unwrap(), eur.amount("90").unwrap()));
        let it = counted(eur, &[chair]);
        assert_eq!(it.pieces[0].margin.unwrap().minor, 9_800);
        assert_eq!(
            (it.years[0].others.minor, it.years[0].margin.minor),
            (9_000, 9_800)
        );
        assert!(it.events.iter().any(|it| it.what.to_string() == "others"));
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
