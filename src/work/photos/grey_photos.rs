//! Photos of a piece as grey pictures in which faces can be laid.

use rayon::prelude::*;

use crate::lay::Lens;
use crate::model::photo::Photo;
use crate::model::piece::Piece;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::report::crops::unchanged;

/// Longer side of a picture in which faces are laid, px.
const SIDE: u32 = 1600;

/// A picture ready to lay faces from and into.
pub(super) struct Ready {
    pub(super) photo: crate::lay::Photo,
    /// Its width and height, px.
    pub(super) px: [f64; 2],
}

/// Makes those of the photos ready that are wanted; `None` for the others, and where the original is gone or cannot be read.
pub(super) fn ready(
    book: &OpenBook,
    piece: &Piece,
    photos: &[Photo],
    wanted: &[bool],
    progress: &dyn Progress,
) -> Result<Vec<Option<Ready>>, WorkError> {
    let shoots = book.record.shoots(&piece.stock_no)?;
    let todo: Vec<_> = photos
        .iter()
        .zip(wanted)
        .map(|(photo, wanted)| wanted.then(|| (photo, book.original(piece, &shoots, photo))))
        .collect();
    progress.begin("looking at", todo.iter().flatten().count());
    let one = |it: Option<(&Photo, std::path::PathBuf)>| {
        let (photo, path) = it?;
        let made = unchanged(&path, photo.digest).and_then(|bytes| prepared(photo, &bytes));
        progress.step();
        made
    };
    let ready = todo.into_par_iter().map(one).collect();
    progress.end();
    Ok(ready)
}

fn prepared(photo: &Photo, bytes: &[u8]) -> Option<Ready> {
    let grey = PhotoProcessor::new(Limits::default())
        .grey(bytes, SIDE)
        .ok()?;
    let [width, height] = [grey.width, grey.height].map(|it| it as usize);
    let lens = Lens::of_whole(width, height, photo.facts.focal_35mm.map(f64::from));
    let picture = crate::lay::Grey {
        width,
        height,
        values: &grey.values,
    };
    Some(Ready {
        photo: crate::lay::Photo::new(picture, lens)?,
        px: [f64::from(grey.width), f64::from(grey.height)],
    })
}
