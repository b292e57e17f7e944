//! Days that cannot all be right: of the purchase, the work, the pictures and the sale of one piece.

use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::photo::left_before;
use crate::model::repair::Repair;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// What a day was told of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::work) enum Told {
    /// The purchase.
    Purchase,
    /// A repair, by number.
    Repair(u32),
    /// The pictures of a shoot, by number.
    Shoot(u32),
    /// The sale.
    Sale,
}

/// Everything of a piece that has a day.
struct Dated {
    bought: Option<Day>,
    sold: Option<Day>,
    /// The first day of a sale, also of one that was taken back.
    first_sold: Option<Day>,
    repairs: Vec<Repair>,
    shoots: Vec<Shoot>,
}

/// A line for each two days that cannot both be right, of which one is this.
///
/// # Errors
/// When the book cannot be read.
pub(in crate::work) fn odd(
    book: &OpenBook,
    stock_no: &StockNo,
    told: Told,
) -> Result<Vec<String>, WorkError> {
    let it = Dated::of(book, stock_no)?;
    let mut all = it.before_the_purchase();
    all.extend(it.against_the_sale());
    all.extend(it.out_of_turn());
    let about = all.into_iter().filter(|it| it.0.contains(&told));
    Ok(about.map(|it| it.1).collect())
}

/// `after it was sold on 2026-03-25`, of pictures of a day on the side of the sale that their occasion is not on; `None` of others.
///
/// # Errors
/// When the book cannot be read.
pub(in crate::work) fn across_the_sale(
    book: &OpenBook,
    stock_no: &StockNo,
    stage: Stage,
    day: Day,
) -> Result<Option<String>, WorkError> {
    Ok(Dated::of(book, stock_no)?.across_the_sale(stage, day))
}

/// Two things whose days cannot both be right, and that in words.
type Odd = ([Told; 2], String);

impl Dated {
    fn of(book: &OpenBook, stock_no: &StockNo) -> Result<Self, WorkError> {
        let sold = book.record.sale(stock_no)?.map(|it| it.day);
        let fallen = book.record.fallen_sales(stock_no)?.into_iter();
        Ok(Self {
            bought: book.record.piece(stock_no)?.bought_on,
            first_sold: fallen.map(|it| it.day).chain(sold).min(),
            sold,
            repairs: book.record.repairs(stock_no)?,
            shoots: book.record.shoots(stock_no)?,
        })
    }

    /// What is done in the shop is done before the sale, unless the piece came back.
    fn is_late(&self, day: Day) -> Option<Day> {
        let mut back = self.shoots.iter().filter(|it| it.stage == Stage::Return);
        let is_back = back.any(|it| it.day <= day);
        self.sold.filter(|sold| day > *sold && !is_back)
    }

    fn across_the_sale(&self, stage: Stage, day: Day) -> Option<String> {
        if stage < Stage::Handover {
            let sold = self.is_late(day)?;
            return Some(format!("after it was sold on {sold}"));
        }
        let sold = self.first_sold.filter(|sold| day < *sold)?;
        Some(format!("before it was sold on {sold}"))
    }

    /// Pictures of a doorstep alone may be older than the purchase.
    fn before_the_purchase(&self) -> Vec<Odd> {
        let Some(bought) = self.bought else {
            return Vec::new();
        };
        let mut found: Vec<Odd> = Vec::new();
        if let Some(day) = self.sold.filter(|it| *it < bought) {
            let says = format!("sold on {day}, before it was bought on {bought}");
            found.push(([Told::Purchase, Told::Sale], says));
        }
        for it in self.repairs.iter().filter(|it| it.day < bought) {
            let says = format!(
                "repair {} is dated {}, before it was bought on {bought}",
                it.no, it.day
            );
            found.push(([Told::Purchase, Told::Repair(it.no)], says));
        }
        let early = |it: &&Shoot| it.stage != Stage::Doorstep && it.day < bought;
        for it in self.shoots.iter().filter(early) {
            let says = format!(
                "the {} pictures are of {}, before it was bought on {bought}",
                it.stage, it.day
            );
            found.push(([Told::Purchase, Told::Shoot(it.no)], says));
        }
        found
    }

    /// Pictures whose occasion does not go with their day: of a doorstep after the purchase, and of the purchase after a repair.
    fn out_of_turn(&self) -> Vec<Odd> {
        let mut found: Vec<Odd> = Vec::new();
        for it in &self.shoots {
            let says = format!("the {} pictures are of {}", it.stage, it.day);
            match it.stage {
                Stage::Doorstep => {
                    if let Some(bought) = self.bought.filter(|day| *day < it.day) {
                        let both = [Told::Purchase, Told::Shoot(it.no)];
                        found.push((both, format!("{says}, after it was bought on {bought}")));
                    }
                }
                Stage::Purchase => {
                    let before = self.repairs.iter().find(|repair| repair.day < it.day);
                    if let Some(repair) = before {
                        let both = [Told::Repair(repair.no), Told::Shoot(it.no)];
                        let says = format!("{says}, after repair {} of {}", repair.no, repair.day);
                        found.push((both, says));
                    }
                }
                // Of these the sale tells.
                Stage::Work | Stage::Sale | Stage::Handover | Stage::Delivery | Stage::Return => {}
            }
        }
        found
    }

    /// Repairs and pictures on the wrong side of the sale.
    fn against_the_sale(&self) -> Vec<Odd> {
        let mut found: Vec<Odd> = Vec::new();
        for it in &self.repairs {
            // A repair after the hand-over is told by that.
            let late = self.is_late(it.day);
            if let Some(sold) = late.filter(|_| left_before(&self.shoots, it.day).is_none()) {
                let says = format!(
                    "repair {} is dated {}, after it was sold on {sold}",
                    it.no, it.day
                );
                found.push(([Told::Sale, Told::Repair(it.no)], says));
            }
        }
        for it in &self.shoots {
            if let Some(why) = self.across_the_sale(it.stage, it.day) {
                let says = format!("the {} pictures are of {}, {why}", it.stage, it.day);
                found.push(([Told::Sale, Told::Shoot(it.no)], says));
            }
        }
        found
    }
}
