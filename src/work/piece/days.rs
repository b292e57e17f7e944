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
    let it = Dated {
        bought: book.record.piece(stock_no)?.bought_on,
        sold: book.record.sale(stock_no)?.map(|it| it.day),
        repairs: book.record.repairs(stock_no)?,
        shoots: book.record.shoots(stock_no)?,
    };
    let mut all = it.before_the_purchase();
    all.extend(it.after_the_sale());
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
