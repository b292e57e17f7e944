//! Days that cannot all be right: of the purchase, the work, the pictures and the sale of one piece.

use std::cmp::Ordering;

use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::seal::statement::Statement;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::text::listed;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
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

/// `before the handover of 2026-03-28`: why pictures of a shoot cannot be of this day, as the sale or the way out of the house lies
/// between; `None` of others.
///
/// # Errors
/// When the book cannot be read.
pub(in crate::work) fn on_the_wrong_side(
    book: &OpenBook,
    stock_no: &StockNo,
    shoot: &Shoot,
    day: Day,
) -> Result<Option<String>, WorkError> {
    let mut it = Dated::of(book, stock_no)?;
    it.shoots.retain(|it| it.no != shoot.no);
    let late = |van: &Shoot| van.stage == Stage::Handover && day < van.day;
    let van = match shoot.stage.cmp(&Stage::Handover) {
        Ordering::Less => left_before(&it.shoots, day).map(|van| ("after", van)),
        Ordering::Equal => None,
        Ordering::Greater => { it.shoots.iter().find(|it| late(it)) }.map(|van| ("before", van)),
    };
    let by_van = van.map(|(side, van)| format!("{side} the {} of {}", van.stage, van.day));
    Ok(it.across_the_sale(shoot.stage, day).or(by_van))
}

/// Whether a photo may be of a shoot: by its own day, as an import would join it, and not across the sale or the way out of the house.
/// There a camera's day that was put right, or none, is not enough: the day on which it was taken into the book has to fit as well.
///
/// # Errors
/// That it may not, or that the book cannot be read.
pub(super) fn may_be_of(
    book: &OpenBook,
    stock_no: &StockNo,
    photo: &Photo,
    from: Option<&Shoot>,
    shoot: &Shoot,
) -> Result<(), WorkError> {
    let (no, stage) = (photo.no, shoot.stage);
    let own = photo.taken().map(|it| it.day());
    let crosses = from.is_some_and(|it| hands(it.stage) != hands(stage));
    let is_put_right = photo.clock_off != ClockOff::default();
    let mut told: Vec<(Day, &str)> = own
        .map(|it| (it, "is of DAY by its camera"))
        .into_iter()
        .collect();
    if crosses && (own.is_none() || is_put_right) {
        told.push((photo.imported.local_day(), "was taken into the book on DAY"));
    }
    for (day, of) in told {
        let at_van = || crosses.then(|| another_day(shoot, day)).flatten();
        let alone = || {
            let other = Some(day) == own && !shoot.may_hold(day);
            other.then(|| "another occasion".to_owned())
        };
        let wrong = on_the_wrong_side(book, stock_no, shoot, day)?;
        let Some(why) = wrong.or_else(at_van).or_else(alone) else {
            continue;
        };
        let of = of.replace("DAY", &day.to_string());
        let remedy = match crosses {
            true => format!(
                "it stays with the shoot that it came in with; say in its note when it was taken, or take it out: `asfound remove {stock_no} --photo {no} --why ...`"
            ),
            false => format!(
                "where the camera's clock was off, `asfound clock {stock_no} --photo {no} --off TIME` puts it right, with a line of its own"
            ),
        };
        return Err(WorkError::asked_with(
            format!(
                "picture {no} {of}, {why}, and shoot {}, {stage}, is of {}; nothing was changed",
                shoot.no, shoot.day
            ),
            remedy,
        ));
    }
    Ok(())
}

/// That a seal has pictures on the other side of the sale than this shoot, where they tell no day of their own: who trusts the seal is
/// told otherwise now.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn sealed_otherwise(
    book: &OpenBook,
    stock_no: &StockNo,
    photos: &[Photo],
    shoot: &Shoot,
) -> Result<Vec<String>, WorkError> {
    let lines = book.record.lines_of(stock_no)?;
    let entered = |no: u32| {
        lines.iter().find_map(|line| {
            let it = Entry::read(&LedgerLine::read(&line.text).ok()?).ok()?;
            match it {
                Entry::Known(EntryKind::Photo(it)) if it.photo == no => Some((line.no, it.stage)),
                _ => None,
            }
        })
    };
    let seals = book.record.seals()?;
    let seals = seals.iter().filter_map(|it| {
        let statement = Statement::read(&it.statement).ok()?;
        Some((it.no, statement.size))
    });
    let seals: Vec<(u32, u64)> = seals.collect();
    let told = photos.iter().filter_map(|it| {
        let unsure = it.taken().is_none() || it.clock_off != ClockOff::default();
        let (line, stage) = entered(it.no).filter(|_| unsure)?;
        let (seal, _) = seals.iter().find(|(_, size)| *size > line)?;
        let no = it.no;
        (hands(stage) != hands(shoot.stage)).then(|| {
            format!("picture {no} tells no day of its own, and seal {seal} has it as of the {stage}: dossiers tell both")
        })
    });
    Ok(told.collect())
}

/// Of pictures that were taken in after the sale as ones from before it: those that tell no day of their own, or one that was put right.
///
/// # Errors
/// When the book cannot be read.
pub(in crate::work) fn taken_in_late(
    book: &OpenBook,
    stock_no: &StockNo,
    numbers: &[u32],
) -> Result<Option<String>, WorkError> {
    let dated = Dated::of(book, stock_no)?;
    let photos = book.record.photos(stock_no)?;
    let late = photos.iter().filter_map(|it| {
        let unsure = it.taken().is_none() || it.clock_off != ClockOff::default();
        let shoot = dated.shoots.iter().find(|shoot| shoot.no == it.shoot)?;
        let before = shoot.stage < Stage::Handover && numbers.contains(&it.no);
        let sold = dated.is_late(it.imported.local_day())?;
        (unsure && before).then_some((it.no, sold))
    });
    let late: Vec<(u32, Day)> = late.collect();
    let Some((_, sold)) = late.first() else {
        return Ok(None);
    };
    let numbers: Vec<String> = late.iter().map(|it| it.0.to_string()).collect();
    Ok(Some(format!(
        "told as of before the sale, and taken in after it was sold on {sold}, with no day of their own or one that was put right: picture {}",
        listed(&numbers)
    )))
}

/// In whose hands the piece is: the keeper's, those between, the buyer's.
fn hands(stage: Stage) -> Ordering {
    stage.cmp(&Stage::Handover)
}

/// That a day is none of the way out of the house, nor of what came after it.
fn another_day(shoot: &Shoot, day: Day) -> Option<String> {
    let says = match hands(shoot.stage) {
        Ordering::Less => None,
        Ordering::Equal => (day != shoot.day).then_some("another day"),
        Ordering::Greater => (day < shoot.day).then_some("an earlier day"),
    };
    says.map(str::to_owned)
}

/// Two things whose days cannot both be right, and that in words.
type Odd = ([Told; 2], String);

impl Dated {
    fn of(book: &OpenBook, stock_no: &StockNo) -> Result<Self, WorkError> {
        let sold = book.record.sale(stock_no)?.map(|it| it.day);
        let fallen = book.record.fallen_sales(stock_no)?.into_iter();
        let fallen: Vec<Day> = fallen.map(|it| it.day).collect();
        let shoots = book.record.shoots(stock_no)?;
        // That a sale fell through takes back no journey: pictures of the way out and of the buyer's stay after it.
        let left = shoots.iter().any(|it| it.stage >= Stage::Handover);
        let then = fallen.iter().max().copied().filter(|_| left);
        Ok(Self {
            bought: book.record.piece(stock_no)?.bought_on,
            first_sold: fallen.iter().copied().chain(sold).min(),
            sold: sold.or(then),
            repairs: book.record.repairs(stock_no)?,
            shoots,
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
