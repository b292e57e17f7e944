//! Putting right what was told of a shoot when its pictures were taken in.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days;
use crate::work::piece::days::Told;
use crate::work::piece::days::may_be_of;

/// What is told of a shoot; what is `None` stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShootInput {
    /// Its number.
    pub no: u32,
    /// Its occasion.
    pub stage: Option<Stage>,
    /// Its first day.
    pub day: Option<Day>,
}

/// A shoot put right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShootPutRight {
    /// As it is told now; its folder keeps its name.
    #[serde(flatten)]
    pub shoot: Shoot,
    /// As it was told before; `None` when that says the same.
    pub instead_of: Option<Former>,
    /// Days that cannot all be right.
    pub odd: Vec<String>,
}

/// What was told of a shoot before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Former {
    /// The occasion.
    pub stage: Stage,
    /// The first day.
    pub day: Day,
}

/// Puts right what was told of a shoot: the former word stays in the ledger, and no file is moved.
///
/// # Errors
/// When there is no such piece or shoot, nothing is told, the day lies in the future or is not the one that the cameras tell, or the
/// book cannot be written.
pub fn amend_shoot(
    book: &mut OpenBook,
    stock_no: &StockNo,
    told: ShootInput,
) -> Result<ShootPutRight, WorkError> {
    let no = told.no;
    let shoots = book.record.shoots(stock_no)?;
    let all = book.record.all_shoots(stock_no)?;
    if all.iter().any(|it| it.no == no) && !shoots.iter().any(|it| it.no == no) {
        return Err(emptied(stock_no, no));
    }
    let before = numbered(stock_no, &shoots, no)?;
    if told.stage.is_none() && told.day.is_none() {
        return Err(WorkError::asked_with(
            format!("say what is to be put right of shoot {no}"),
            "tell its `--stage`, or its `--day`",
        ));
    }
    if let Some(day) = told.day {
        may_be(book, stock_no, no, day)?;
    }
    let shoot = Shoot {
        stage: told.stage.unwrap_or(before.stage),
        day: told.day.unwrap_or(before.day),
        ..before.clone()
    };
    keeps_its_side(book, stock_no, before, &shoot)?;
    book.record.change_shoot(stock_no, &shoot)?;
    let former = Former {
        stage: before.stage,
        day: before.day,
    };
    let is_new = shoot != *before;
    let odd = match told.stage {
        Some(_) => {
            let photos = book.record.photos(stock_no)?;
            let its: Vec<Photo> = photos.into_iter().filter(|it| it.shoot == no).collect();
            let sealed = days::sealed_otherwise(book, stock_no, &its, &shoot)?;
            [odd(book, stock_no, &shoot)?, sealed].concat()
        }
        None => days::odd(book, stock_no, Told::Shoot(no))?,
    };
    Ok(ShootPutRight {
        shoot,
        instead_of: is_new.then_some(former),
        odd,
    })
}

/// No picture goes over the sale or the way out of the house with its whole shoot that may not go alone, and no shoot to a day that is on
/// the wrong side of them for its occasion.
fn keeps_its_side(
    book: &OpenBook,
    stock_no: &StockNo,
    before: &Shoot,
    shoot: &Shoot,
) -> Result<(), WorkError> {
    if before.stage != shoot.stage {
        let photos = book.record.photos(stock_no)?;
        for it in photos.iter().filter(|it| it.shoot == shoot.no) {
            may_be_of(book, stock_no, it, Some(before), shoot)?;
        }
    }
    let wrong = |it: &Shoot| days::on_the_wrong_side(book, stock_no, it, it.day);
    match wrong(shoot)? {
        Some(why) if wrong(before)?.is_none() => Err(WorkError::asked_with(
            format!(
                "shoot {}, {}, would be of {}, {why}; nothing was changed",
                shoot.no, shoot.stage, shoot.day
            ),
            "tell the day on which the pictures were taken",
        )),
        _ => Ok(()),
    }
}

/// The shoot of a number.
///
/// # Errors
/// When there is none.
pub(in crate::work) fn numbered<'a>(
    stock_no: &StockNo,
    shoots: &'a [Shoot],
    no: u32,
) -> Result<&'a Shoot, WorkError> {
    let numbers: Vec<String> = shoots.iter().map(|it| it.no.to_string()).collect();
    let what = format!("{stock_no} has no shoot {no}");
    let found = shoots.iter().find(|it| it.no == no);
    found.ok_or_else(|| match numbers.is_empty() {
        true => WorkError::asked(what),
        false => WorkError::asked_with(what, format!("its shoots are {}", numbers.join(", "))),
    })
}

/// That no picture is of a shoot now: all of its were put into others.
pub(in crate::work) fn emptied(stock_no: &StockNo, no: u32) -> WorkError {
    WorkError::asked_with(
        format!("no picture is of shoot {no} of {stock_no} now"),
        format!(
            "they were put into others; `asfound amend {stock_no} --photo NUMBERS --shoot {no}` puts some back"
        ),
    )
}

/// Days that cannot all be right of a shoot, and that no sale is told of what follows one.
///
/// # Errors
/// When the book cannot be read.
pub(in crate::work) fn odd(
    book: &OpenBook,
    stock_no: &StockNo,
    shoot: &Shoot,
) -> Result<Vec<String>, WorkError> {
    let mut odd = days::odd(book, stock_no, Told::Shoot(shoot.no))?;
    if shoot.stage >= Stage::Handover && !was_sold(book, stock_no)? {
        odd.push(format!(
            "{} pictures, and no sale is told: `asfound sold {stock_no}` tells it",
            shoot.stage
        ));
    }
    Ok(odd)
}

/// Whether a sale was ever told of it.
fn was_sold(book: &OpenBook, stock_no: &StockNo) -> Result<bool, WorkError> {
    let fallen = book.record.fallen_sales(stock_no)?;
    Ok(book.record.sale(stock_no)?.is_some() || !fallen.is_empty())
}

/// A day that is not ahead.
///
/// # Errors
/// When it is.
pub(in crate::work) fn not_ahead(book: &OpenBook, day: Day) -> Result<(), WorkError> {
    let today = book.now.local_day();
    match day > today {
        false => Ok(()),
        true => Err(WorkError::asked_with(
            format!("{day} lies in the future: today is {today}"),
            "tell the day on which the pictures were taken",
        )),
    }
}

/// A day that is not ahead, and, where cameras tell the day of the shoot, is theirs: a clock that was off is put right as such.
fn may_be(book: &OpenBook, stock_no: &StockNo, no: u32, day: Day) -> Result<(), WorkError> {
    not_ahead(book, day)?;
    let photos = book.record.photos(stock_no)?;
    match first_day(&photos, no).filter(|it| *it != day) {
        None => Ok(()),
        Some(first) => Err(WorkError::asked_with(
            format!("the cameras say that shoot {no} begins on {first}, not on {day}"),
            format!(
                "where a camera's clock was off: `asfound clock {stock_no} --shoot {no} --off TIME`"
            ),
        )),
    }
}

/// A shoot begins with its earliest picture, whatever the name of that is. Gives that its days lie too far apart for one occasion, in a
/// sentence without a full stop.
///
/// # Errors
/// When the book cannot be read or written.
pub(in crate::work) fn begin_with_the_earliest(
    book: &mut OpenBook,
    stock_no: &StockNo,
    shoot: &mut Shoot,
) -> Result<Option<String>, WorkError> {
    let photos = book.record.photos(stock_no)?;
    let Some(first) = first_day(&photos, shoot.no) else {
        return Ok(None);
    };
    if first != shoot.day {
        shoot.day = first;
        book.record.change_shoot(stock_no, shoot)?;
    }
    let its = photos.iter().filter(|it| it.shoot == shoot.no);
    let last = its.filter_map(|it| Some(it.taken()?.day())).max();
    let last = last.filter(|it| !shoot.may_hold(*it));
    let (no, stage) = (shoot.no, shoot.stage);
    Ok(last.map(|last| {
        format!(
            "shoot {no} is of one occasion, {stage}, and its pictures are of {first} to {last}: `asfound amend {stock_no} --photo NUMBERS --stage {stage} --day DAY` parts those of another"
        )
    }))
}

/// The first day of a shoot by its photos' corrected times; `None` when no camera gave one.
pub(in crate::work) fn first_day(photos: &[Photo], shoot: u32) -> Option<Day> {
    let its = photos.iter().filter(|it| it.shoot == shoot);
    its.filter_map(|it| Some(it.taken()?.day())).min()
}
