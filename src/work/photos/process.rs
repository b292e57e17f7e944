//! What a worker makes of one file: known already, refused, or looked at and ready to be entered.

use std::collections::HashMap;
use std::sync::Mutex;
use std::sync::PoisonError;

use crate::kit::clock::CameraTime;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::photo;
use crate::photo::Limits;
use crate::photo::Look;
use crate::photo::PhotoProcessor;
use crate::record::SourceFile;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::photos::import_request::ImportRequest;
use crate::work::photos::scan_sources::Found;
use crate::work::photos::throttle::Gate;

/// Name of the threads in which photos are decoded; a panic there is caught and told as a broken picture.
pub const PHOTO_WORKER: &str = "processor";

/// What a worker made of one file.
pub(in crate::work) enum Outcome {
    /// Its bytes are in the book, or come from another file of this import.
    Already(Digest, Duplicate),
    /// Why it cannot be taken in; with its digest, if it could be read.
    Refused(String, Option<Digest>),
    /// To be entered.
    Taken(Box<ProcessedPhoto>),
}

/// How the bytes of a file were found to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::work) enum Duplicate {
    /// The file lies where it was taken from, unchanged; it was not read.
    Unchanged,
    /// It was read.
    Read,
}

/// A photo that was looked at.
pub(in crate::work) struct ProcessedPhoto {
    /// The file.
    pub(in crate::work) bytes: Vec<u8>,
    /// Its digest.
    pub(in crate::work) digest: Digest,
    /// Facts and small pictures.
    pub(in crate::work) look: Look,
}

/// What is known of a piece before the import, shared by the workers.
pub(in crate::work) struct Known {
    /// Files seen before, by path.
    pub(in crate::work) sources: HashMap<Vec<u8>, (SourceFile, Digest)>,
    digests: Mutex<HashMap<Digest, u64>>,
}

impl Known {
    /// What the record knows.
    pub(in crate::work) fn of(book: &OpenBook, stock_no: &StockNo) -> Result<Self, WorkError> {
        let sources = book.record.sources(stock_no)?.into_iter();
        Ok(Self {
            sources: sources.map(|it| (it.0.path.clone(), it)).collect(),
            digests: Mutex::new(book.record.taken(stock_no)?.into_iter().collect()),
        })
    }
}

/// The day of the first of the new files that has a camera time, corrected.
pub(in crate::work) fn first_day(
    files: &[Found],
    known: &Known,
    order: &ImportRequest,
) -> Option<Day> {
    let is_new = |it: &&Found| {
        let seen = known.sources.get(&it.source.path);
        seen.is_none_or(|(seen, _)| *seen != it.source)
    };
    let times = files.iter().filter(is_new).take(20).filter_map(|it| {
        let bytes = it.read().ok()?;
        let (time, camera) = photo::camera_time(&bytes)?;
        Some(time.corrected(order.clock_off_of(camera.as_deref())))
    });
    times.map(CameraTime::day).next()
}

/// Reads a file, unless it is known to be unchanged, and takes its facts and small pictures.
pub(in crate::work) fn process(
    file: &Found,
    known: &Known,
    gate: &Gate,
    processor: &mut PhotoProcessor,
) -> Outcome {
    if let Some((seen, digest)) = known.sources.get(&file.source.path)
        && *seen == file.source
        && seen.modified_ns != 0
    {
        return Outcome::Already(*digest, Duplicate::Unchanged);
    }
    let bytes = match file.read() {
        Ok(bytes) => bytes,
        Err(reason) => return Outcome::Refused(reason, None),
    };
    let digest = Digest::of(&bytes);
    let first = {
        let mut digests = known.digests.lock().unwrap_or_else(PoisonError::into_inner);
        digests.insert(digest, bytes.len() as u64).is_none()
    };
    if !first {
        return Outcome::Already(digest, Duplicate::Read);
    }
    let refused = |error: photo::PhotoError| Outcome::Refused(error.to_string(), Some(digest));
    let pixels = match photo::stored_size(&bytes, Limits::default()) {
        Ok((width, height)) => u64::from(width) * u64::from(height),
        Err(error) => return refused(error),
    };
    match gate.with_pixels(pixels, || processor.process(&bytes)) {
        Ok(look) => Outcome::Taken(Box::new(ProcessedPhoto {
            bytes,
            digest,
            look,
        })),
        Err(error) => refused(error),
    }
}
