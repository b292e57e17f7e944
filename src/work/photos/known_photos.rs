//! Files whose bytes a book has, or had: where they are.

use std::collections::HashMap;
use std::collections::HashSet;

use serde::Serialize;

use crate::kit::clock::ClockOff;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::photos::import_request::ImportRequest;

/// A file whose bytes are a picture of the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KnownPhoto {
    /// The file, as the user knows it.
    pub file: String,
    /// Stock number of the picture's piece.
    pub piece: String,
    /// Number of the picture.
    pub photo: u32,
    /// Number of its shoot; `None` of a picture of another piece.
    pub shoot: Option<u32>,
    /// The occasion of that shoot.
    pub stage: Option<Stage>,
}

/// A file whose bytes are a picture that was taken out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OutPhoto {
    /// The file, as the user knows it.
    pub file: String,
    /// The number that the picture had.
    pub photo: u32,
    /// When it was taken out.
    pub removed: Moment,
    /// Why, in the owner's words.
    pub why: String,
}

/// Where the pictures of a piece are, by their bytes.
pub(in crate::work) struct Places {
    stock_no: StockNo,
    here: HashMap<Digest, (u32, Shoot)>,
    out: HashMap<Digest, OutPhoto>,
}

/// Where one file's bytes are.
pub(in crate::work) enum Place {
    /// In this piece, or nowhere.
    Here(Option<KnownPhoto>),
    /// Taken out.
    Out(OutPhoto),
}

impl Places {
    /// What the record says.
    ///
    /// # Errors
    /// When it cannot be read.
    pub(in crate::work) fn of(book: &OpenBook, stock_no: &StockNo) -> Result<Self, WorkError> {
        let shoots = book.record.shoots(stock_no)?;
        let here = book.record.photos(stock_no)?.into_iter();
        let here = here.filter_map(|it| {
            let shoot = shoots.iter().find(|shoot| shoot.no == it.shoot)?;
            Some((it.digest, (it.no, shoot.clone())))
        });
        let out = book.record.removed_photos(stock_no)?.into_iter();
        let out = out.map(|it| {
            let photo = OutPhoto {
                file: String::new(),
                photo: it.no,
                removed: it.removed,
                why: it.why,
            };
            (it.digest, photo)
        });
        Ok(Self {
            stock_no: stock_no.clone(),
            here: here.collect(),
            out: out.collect(),
        })
    }

    /// Where a file's bytes are.
    pub(in crate::work) fn place(&self, file: &str, digest: Digest) -> Place {
        if let Some(out) = self.out.get(&digest) {
            return Place::Out(OutPhoto {
                file: file.to_owned(),
                ..out.clone()
            });
        }
        Place::Here(self.here.get(&digest).map(|(photo, shoot)| KnownPhoto {
            file: file.to_owned(),
            piece: self.stock_no.to_string(),
            photo: *photo,
            shoot: Some(shoot.no),
            stage: Some(shoot.stage),
        }))
    }
}

/// Pictures of other pieces that have the bytes of a file that was taken in, by file.
///
/// # Errors
/// When the record cannot be read.
pub(in crate::work) fn elsewhere(
    book: &OpenBook,
    stock_no: &StockNo,
    taken: &HashMap<Digest, String>,
) -> Result<Vec<KnownPhoto>, WorkError> {
    let digests: Vec<Digest> = taken.keys().copied().collect();
    let found = book.record.elsewhere(stock_no, &digests)?.into_iter();
    let mut found: Vec<KnownPhoto> = found
        .map(|(digest, piece, photo)| KnownPhoto {
            file: taken.get(&digest).cloned().unwrap_or_default(),
            piece,
            photo,
            shoot: None,
            stage: None,
        })
        .collect();
    found.sort_by(|a, b| a.file.cmp(&b.file));
    Ok(found)
}

/// Photos that were in already with another correction of their clock than the one asked for now.
///
/// # Errors
/// When the record cannot be read.
pub(in crate::work) fn clock_untouched(
    book: &OpenBook,
    order: &ImportRequest,
    settled: &[Digest],
) -> Result<Option<String>, WorkError> {
    let stock_no = &order.stock_no;
    if order.clock_off == ClockOff::default() || settled.is_empty() {
        return Ok(None);
    }
    let known: HashSet<Digest> = settled.iter().copied().collect();
    let photos = book.record.photos(stock_no)?.into_iter();
    let other: Vec<String> = photos
        .filter(|it| {
            let meant = order.clock_off_of(it.facts.camera.as_deref());
            known.contains(&it.digest) && meant == order.clock_off && it.clock_off != meant
        })
        .map(|it| it.no.to_string())
        .collect();
    let (count, list) = (other.len(), other.join(","));
    let off = order.clock_off;
    let (photos, were) = match count {
        1 => ("a photo".to_owned(), "was"),
        _ => (format!("{count} photos"), "were"),
    };
    Ok((count > 0).then(|| {
        format!(
            "the clock of {photos} that {were} in the book already is as it was; `asfound clock {stock_no} --off {off} --photo {list}` puts it right"
        )
    }))
}

/// That the camera whose clock was off took none of the photos, where that is so.
pub(in crate::work) fn other_cameras(order: &ImportRequest, all_of_others: bool) -> Option<String> {
    let camera = order.camera.as_ref().filter(|_| all_of_others)?;
    Some(format!(
        "none of the photos taken in is of a camera `{camera}`: no clock was put right; `asfound clock {}` does it later",
        order.stock_no
    ))
}
