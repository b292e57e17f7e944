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
    let sold = book.record.sale(stock_no)?.map(|it| it.day);
    let fallen = book.record.fallen_sales(stock_no)?.into_iter();
    let it = Dated {
        bought: book.record.piece(stock_no)?.bought_on,
        first_sold: fallen.map(|it| it.day).chain(sold).min(),
        sold,
        repairs: book.record.repairs(stock_no)?,
        shoots: book.record.shoots(stock_no)?,
    };
    let mut all = it.before_the_purchase();
    all.extend(it.after_the_sale());
    all.extend(it.out_of_turn());
    let about = all.into_iter().filter(|it| it.0.contains(&told));
    Ok(about.map(|it| it.1).collect())
}

/// Two things whose days cannot both be right, and that in words.
type Odd = ([Told; 2], String);

impl Dated {
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

    /// Pictures whose occasion does not go with their day: of a doorstep after the purchase, of the purchase after a repair, and of what
    /// follows a sale before any sale.
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
                Stage::Handover | Stage::Delivery | Stage::Return => {
                    if let Some(sold) = self.first_sold.filter(|day| it.day < *day) {
                        let both = [Told::Sale, Told::Shoot(it.no)];
                        found.push((both, format!("{says}, before it was sold on {sold}")));
                    }
                }
                Stage::Work | Stage::Sale => {}
            }
        }
        found
    }

    /// What is done in the shop is done before the sale, unless the piece came back.
    fn after_the_sale(&self) -> Vec<Odd> {
        let Some(sold) = self.sold else {
            return Vec::new();
        };
        let is_back = |day: Day| {
            let mut back = self.shoots.iter().filter(|it| it.stage == Stage::Return);
            back.any(|it| it.day <= day)
        };
        let mut found: Vec<Odd> = Vec::new();
        let late = |day: Day| day > sold && !is_back(day);
        // A repair after the hand-over is told by that.
        let late_repair =
            |it: &&Repair| late(it.day) && left_before(&self.shoots, it.day).is_none();
        for it in self.repairs.iter().filter(late_repair) {
            let says = format!(
                "repair {} is dated {}, after it was sold on {sold}",
                it.no, it.day
            );
            found.push(([Told::Sale, Told::Repair(it.no)], says));
        }
        let ours = |it: &&Shoot| it.stage < Stage::Handover && late(it.day);
        for it in self.shoots.iter().filter(ours) {
            let says = format!(
                "the {} pictures are of {}, after it was sold on {sold}",
                it.stage, it.day
            );
            found.push(([Told::Sale, Told::Shoot(it.no)], says));
        }
        found
    }
}
