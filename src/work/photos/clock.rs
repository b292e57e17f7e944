//! Putting right the camera's clock of photos that are in the book already.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
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
    let meant = meant(&photos, order)?;
    for it in photos.iter_mut().filter(|it| meant.contains(&it.no)) {
        it.clock_off = order.off;
    }
    let before = book.record.photos(stock_no)?;
    let changed: Vec<u32> = before
        .iter()
        .filter(|it| meant.contains(&it.no) && it.clock_off != order.off)
        .map(|it| it.no)
        .collect();
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
    Ok(ClockSet {
        clock_off: order.off,
        photos: changed,
        shoots,
    })
}

/// The numbers of the photos that are meant.
fn meant(photos: &[Photo], order: &ClockRequest) -> Result<Vec<u32>, WorkError> {
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
        return Err(WorkError::asked(format!("there is no picture {no}")));
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
        return Err(WorkError::asked(
            "no picture of the piece is of that shoot and that camera",
        ));
    }
    Ok(found)
}
