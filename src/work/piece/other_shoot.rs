//! Photos that are of another shoot than the one that they were taken in with.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days::may_be_of;
use crate::work::piece::days::sealed_otherwise;
use crate::work::piece::recorded::piece_record;
use crate::work::piece::shoot;
use crate::work::piece::shoot::first_day;
use crate::work::progress::Quiet;
use crate::work::remove::Recounted;
use crate::work::remove::editions_since;
use crate::work::sidecars::sync_sidecars::sync_piece;

/// The shoot that photos are of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichOne {
    /// The one of this number.
    Numbered(u32),
    /// The one of this occasion and day; it begins with them where there is none.
    Of {
        /// The occasion.
        stage: Stage,
        /// The first day; `None` where their cameras tell it.
        day: Option<Day>,
    },
}

/// Photos put into another shoot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PutElsewhere {
    /// The shoot that they are of now.
    pub shoot: Shoot,
    /// Their numbers; those that were of it already are passed over.
    pub photos: Vec<u32>,
    /// The folders in which their originals and sidecars stay, names within the piece's folder.
    pub folders: BTreeSet<String>,
    /// The shoots that they were of before, by number, as these are now.
    pub from: Vec<Left>,
    /// The shoots that begin on another day now, so that what is said beside their pictures is of another day.
    pub began: Vec<Began>,
    /// The findings of which something else is the last word, or that came from elsewhere or on another day, now.
    pub recounted: Vec<Recounted>,
    /// The numbers of the reports that were made before: they show them as they were told then.
    pub editions: Vec<u32>,
    /// Days that cannot all be right.
    pub odd: Vec<String>,
}

/// A shoot out of which photos were put.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Left {
    /// As it is told now.
    #[serde(flatten)]
    pub shoot: Shoot,
    /// How many photos are of it still; without one it is told of no more.
    pub photos: usize,
}

/// A shoot that begins on another day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Began {
    /// Its number.
    pub no: u32,
    /// Its occasion.
    pub stage: Stage,
    /// Its first day before.
    pub was: Day,
    /// Its first day now.
    pub is: Day,
}

/// Puts photos into another shoot of their piece. The originals and what is written beside them stay where they lie; the former
/// word stays in the ledger.
///
/// # Errors
/// When there is no such piece, photo or shoot, the day is not told, lies ahead or is not the one that the cameras tell, a photo's
/// own day is none of the shoot's or lies on the other side of the sale, or the book cannot be written.
pub fn put_into(
    book: &mut OpenBook,
    stock_no: &StockNo,
    numbers: &[u32],
    which: WhichOne,
) -> Result<PutElsewhere, WorkError> {
    // An import that runs in another window may begin a shoot too.
    let _lock = book.lock(&Quiet)?;
    sync_piece(book, stock_no)?;
    let mut photos = book.record.photos(stock_no)?;
    let all = || photos.iter().map(|it| it.no);
    if let Some(no) = numbers.iter().find(|no| !all().any(|it| it == **no)) {
        let out = book.record.removed_photos(stock_no)?;
        return Err(WorkError::no_picture(&out, stock_no, *no, all()));
    }
    let meant = |it: &&Photo| numbers.contains(&it.no);
    let first = photos.iter().filter(meant).filter_map(Photo::taken);
    let first = first.map(|it| it.day()).min();
    let target = target(book, stock_no, which, first)?;
    let shoots_before = book.record.all_shoots(stock_no)?;
    let (settings, _) = book.settings_or_usual()?;
    let read = |book: &OpenBook| -> Result<_, WorkError> {
        let case = piece_record(book, stock_no, settings.clone())?;
        Ok(assess::assess(&case, &book.trade))
    };
    let before = read(book)?;
    let moved = photos.iter().filter(meant);
    let moved: Vec<Photo> = { moved.filter(|it| it.shoot != target.no).cloned() }.collect();
    for it in &moved {
        let from = shoots_before.iter().find(|from| from.no == it.shoot);
        may_be_of(book, stock_no, it, from, &target)?;
    }
    let left: BTreeSet<u32> = moved.iter().map(|it| it.shoot).collect();
    for it in photos.iter_mut().filter(|it| numbers.contains(&it.no)) {
        it.shoot = target.no;
    }
    let begins = |no: &u32| Some((*no, first_day(&photos, *no)?));
    if !moved.is_empty() {
        let shoots = left.iter().chain([&target.no]);
        let days: Vec<(u32, Day)> = shoots.filter_map(begins).collect();
        let moved: Vec<&Photo> = moved.iter().collect();
        book.record.move_photos(stock_no, &moved, &target, &days)?;
    }
    let shoots = book.record.all_shoots(stock_no)?;
    let began = began_otherwise(&shoots_before, &shoots);
    let target = shoot::numbered(stock_no, &shoots, target.no)?.clone();
    let mut editions = BTreeSet::new();
    for it in &moved {
        editions.extend(editions_since(book, stock_no, it.no)?);
    }
    let left = shoots.into_iter().filter(|it| left.contains(&it.no));
    Ok(PutElsewhere {
        odd: odd(book, stock_no, &moved, &target)?,
        photos: moved.iter().map(|it| it.no).collect(),
        folders: moved.iter().map(|it| it.folder.clone()).collect(),
        from: left
            .map(|it| Left {
                photos: photos.iter().filter(|photo| photo.shoot == it.no).count(),
                shoot: it,
            })
            .collect(),
        began,
        recounted: Recounted::between(&before, &read(book)?),
        editions: editions.into_iter().collect(),
        shoot: target,
    })
}

/// What cannot all be right of a shoot into which these photos were put.
fn odd(
    book: &OpenBook,
    stock_no: &StockNo,
    moved: &[Photo],
    target: &Shoot,
) -> Result<Vec<String>, WorkError> {
    let days = shoot::odd(book, stock_no, target)?;
    let sealed = sealed_otherwise(book, stock_no, moved, target)?;
    Ok([days, sealed].concat())
}

fn began_otherwise(before: &[Shoot], now: &[Shoot]) -> Vec<Began> {
    let one = |is: &Shoot| {
        let was = before
            .iter()
            .find(|was| was.no == is.no && was.day != is.day)?;
        Some(Began {
            no: is.no,
            stage: is.stage,
            was: was.day,
            is: is.day,
        })
    };
    now.iter().filter_map(one).collect()
}

/// The shoot that is meant; `first` is the first day of the photos by their cameras.
fn target(
    book: &OpenBook,
    stock_no: &StockNo,
    which: WhichOne,
    first: Option<Day>,
) -> Result<Shoot, WorkError> {
    let shoots = book.record.all_shoots(stock_no)?;
    let (stage, told) = match which {
        WhichOne::Numbered(no) => return Ok(shoot::numbered(stock_no, &shoots, no)?.clone()),
        WhichOne::Of { stage, day } => (stage, day),
    };
    let Some(day) = told.or(first) else {
        return Err(WorkError::asked_with(
            "the cameras do not say on which day these pictures were taken",
            "tell the day with `--day`",
        ));
    };
    shoot::not_ahead(book, day)?;
    if let Some(first) = first.filter(|it| *it != day) {
        return Err(WorkError::asked_with(
            format!("the cameras say that these pictures begin on {first}, not on {day}"),
            format!(
                "where a camera's clock was off: `asfound clock {stock_no} --photo NUMBERS --off TIME`"
            ),
        ));
    }
    let same = shoots.iter().find(|it| (it.stage, it.day) == (stage, day));
    Ok(same
        .cloned()
        .unwrap_or_else(|| Shoot::after(&shoots, stage, day)))
}
