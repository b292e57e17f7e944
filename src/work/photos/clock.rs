//! Putting right the camera's clock of photos that are in the book already.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::SAME_SHOOT_DAYS;
use crate::model::photo::Stage;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days;
use crate::work::piece::days::Told;
use crate::work::piece::shoot;
use crate::work::piece::shoot::first_day;

/// Whose clock was off.
#[derive(Clone, Debug, Default)]
pub struct ClockRequest {
    /// What to add to the camera's clock, in place of what was said before.
    pub off: ClockOff,
    /// Photos by number; with the two others empty or `None`, these alone.
    pub photos: Vec<u32>,
    /// All photos of a shoot.
    pub shoot: Option<u32>,
    /// Only those of this camera, by its name in the picture's facts.
    pub camera: Option<String>,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ClockSet {
    /// What is now added to the camera's clock, seconds.
    pub clock_off: ClockOff,
    /// The photos, by number, whose correction was another before.
    pub photos: Vec<u32>,
    /// The first day of each of their shoots, as it is now, by number.
    pub shoots: BTreeMap<u32, Day>,
    /// What the correction moves over the sale or the hand-over, or away from the rest of its shoot, and days that cannot all be
    /// right, in sentences without a full stop.
    pub look: Vec<String>,
}

/// Sets the clock correction of photos; the former one stays in the ledger. Photos that have it already are passed over.
///
/// # Errors
/// When there is no such piece, photo, shoot or camera, nothing was named, or the book cannot be written.
pub fn clock(
    book: &mut OpenBook,
    stock_no: &StockNo,
    order: &ClockRequest,
) -> Result<ClockSet, WorkError> {
    let mut photos = book.record.photos(stock_no)?;
    let meant = meant(book, stock_no, &photos, order)?;
    for it in photos.iter_mut().filter(|it| meant.contains(&it.no)) {
        it.clock_off = order.off;
    }
    let before = book.record.photos(stock_no)?;
    let changed: Vec<u32> = before
        .iter()
        .filter(|it| meant.contains(&it.no) && it.clock_off != order.off)
        .map(|it| it.no)
        .collect();
    for no in &changed {
        let [was, is] = [&before, &photos].map(|all| all.iter().find(|it| it.no == *no));
        if let (Some(was), Some(is)) = (was, is) {
            keeps_its_side(book, stock_no, was, is)?;
        }
    }
    let shoots: BTreeMap<u32, Day> = photos
        .iter()
        .filter(|it| changed.contains(&it.no))
        .filter_map(|it| Some((it.shoot, first_day(&photos, it.shoot)?)))
        .collect();
    if !changed.is_empty() {
        let days: Vec<(u32, Day)> = shoots.iter().map(|(no, day)| (*no, *day)).collect();
        book.record
            .correct_clock(stock_no, &changed, order.off, &days)?;
    }
    let mut look = Vec::new();
    for no in &changed {
        let [was, is] = [&before, &photos].map(|all| all.iter().find(|it| it.no == *no));
        if let (Some(was), Some(is)) = (was, is) {
            look.extend(far_off(book, stock_no, was, is, &photos)?);
        }
    }
    for no in shoots.keys() {
        look.extend(days::odd(book, stock_no, Told::Shoot(*no))?);
    }
    Ok(ClockSet {
        clock_off: order.off,
        photos: changed,
        shoots,
        look,
    })
}

/// A correction carries no photo over the sale or the way out of the house, to where its shoot cannot be.
fn keeps_its_side(
    book: &OpenBook,
    stock_no: &StockNo,
    was: &Photo,
    is: &Photo,
) -> Result<(), WorkError> {
    let (Some(from), Some(to)) = (was.taken(), is.taken()) else {
        return Ok(());
    };
    let shoots = book.record.all_shoots(stock_no)?;
    let shoot = shoot::numbered(stock_no, &shoots, is.shoot)?;
    let wrong = |day: Day| days::on_the_wrong_side(book, stock_no, shoot, day);
    match wrong(to.day())?.filter(|_| from.day() != to.day()) {
        Some(why) if wrong(from.day())?.is_none() => Err(WorkError::asked_with(
            format!(
                "picture {} would be of {}, {why}, and its shoot {} is the {}; nothing was changed",
                is.no,
                to.day(),
                shoot.no,
                shoot.stage
            ),
            format!(
                "say in its note when it was taken, or take it out: `asfound remove {stock_no} --photo {} --why ...`",
                is.no
            ),
        )),
        _ => Ok(()),
    }
}

/// What a correction moves a photo over, or away from.
fn far_off(
    book: &OpenBook,
    stock_no: &StockNo,
    was: &Photo,
    is: &Photo,
    photos: &[Photo],
) -> Result<Vec<String>, WorkError> {
    let (Some(from), Some(to)) = (was.taken(), is.taken()) else {
        return Ok(Vec::new());
    };
    let (from, to) = (from.day(), to.day());
    let shoots = book.record.shoots(stock_no)?;
    let sold = book.record.sale(stock_no)?;
    let sold = sold.map(|it| ("the sale".to_owned(), it.day));
    let vans = shoots.iter();
    let vans = vans.filter(|it| it.stage == Stage::Handover && it.no != is.shoot);
    let vans = vans.map(|it| (format!("the {}", it.stage), it.day));
    let over = { sold.into_iter().chain(vans) }.filter(|it| (from > it.1) != (to > it.1));
    let no = is.no;
    let mut look: Vec<String> = over
        .map(|(what, day)| {
            format!("picture {no} was of {from} and is of {to} now: {what} of {day} lies between, and every page tells that its clock was put right by its owner")
        })
        .collect();
    let rest = photos.iter();
    let rest = rest.filter(|it| it.shoot == is.shoot && it.clock_off != is.clock_off);
    let mut rest: Vec<Day> = rest.filter_map(|it| Some(it.taken()?.day())).collect();
    rest.sort_unstable();
    let near = |day: &Day| day.days_to(to).abs() <= SAME_SHOOT_DAYS;
    if let (Some(first), false) = (rest.first(), rest.iter().any(near)) {
        look.push(format!(
            "picture {no} is of {to} now, and the others of its shoot of {first} and later: is it of another one?"
        ));
    }
    Ok(look)
}

/// The numbers of the photos that are meant.
fn meant(
    book: &OpenBook,
    stock_no: &StockNo,
    photos: &[Photo],
    order: &ClockRequest,
) -> Result<Vec<u32>, WorkError> {
    if order.photos.is_empty() && order.shoot.is_none() && order.camera.is_none() {
        return Err(WorkError::asked_with(
            "say whose clock was off",
            "name photos with `--photo 3,4`, a shoot with `--shoot 2`, or a camera with `--camera NAME`",
        ));
    }
    if let Some(no) = order
        .photos
        .iter()
        .find(|no| !photos.iter().any(|it| it.no == **no))
    {
        let all = photos.iter().map(|it| it.no);
        let out = book.record.removed_photos(stock_no)?;
        return Err(WorkError::no_picture(&out, stock_no, *no, all));
    }
    let is_meant = |it: &&Photo| {
        (order.photos.is_empty() || order.photos.contains(&it.no))
            && order.shoot.is_none_or(|no| it.shoot == no)
            && order
                .camera
                .as_ref()
                .is_none_or(|name| it.is_of_camera(name))
    };
    let found: Vec<u32> = photos.iter().filter(is_meant).map(|it| it.no).collect();
    if found.is_empty() {
        let shoots = book.record.all_shoots(stock_no)?;
        if let Some(no) = order.shoot {
            shoot::numbered(stock_no, &shoots, no)?;
            if !photos.iter().any(|it| it.shoot == no) {
                return Err(shoot::emptied(stock_no, no));
            }
        }
        let named = [
            (!order.photos.is_empty()).then(|| "named by number".to_owned()),
            order.shoot.map(|no| format!("of shoot {no}")),
            order
                .camera
                .as_ref()
                .map(|it| format!("of a camera `{it}`")),
        ];
        let named: Vec<String> = named.into_iter().flatten().collect();
        return Err(WorkError::asked(format!(
            "no picture of {stock_no} is {}",
            named.join(" and ")
        )));
    }
    Ok(found)
}
