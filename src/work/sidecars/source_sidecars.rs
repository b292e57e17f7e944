//! Sidecars that lie beside photos which are in the book already: told when they say something else.

use std::collections::HashMap;
use std::fs;

use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::model::piece::Piece;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::photos::process::Duplicate;
use crate::work::photos::scan_sources::Found;
use crate::work::photos::scan_sources::modified;

/// One sentence for each sidecar at a source that differs from the one in the book, if its photo was read now or
/// it was changed after the one in the book. An older one is passed over: the user went on writing in the book.
///
/// # Errors
/// When the record or a sidecar in the book cannot be read.
pub(in crate::work) fn differing(
    book: &OpenBook,
    piece: &Piece,
    files: &[(Found, Digest, Duplicate)],
) -> Result<Vec<String>, WorkError> {
    let mut told = Vec::new();
    if !files.iter().any(|(file, ..)| file.has_sidecar()) {
        return Ok(told);
    }
    let photos = book.record.photos(&piece.stock_no)?;
    let rows = book.record.sidecars(&piece.stock_no)?;
    let places: HashMap<Digest, String> = photos
        .iter()
        .filter_map(|photo| {
            let row = rows.iter().find(|it| it.photo == photo.no)?;
            Some((photo.digest, format!("{}/{}.toml", row.folder, row.name)))
        })
        .collect();
    for (file, digest, twin) in files {
        let Some(place) = places.get(digest) else {
            continue;
        };
        let path = book.piece_folder(piece).join(place);
        let Ok(kept) = fs::metadata(&path) else {
            continue;
        };
        let is_newer = file
            .sidecar_modified()
            .is_some_and(|it| it > modified(&kept));
        if *twin == Duplicate::Unchanged && !is_newer {
            continue;
        }
        let Ok(Some(text)) = file.sidecar() else {
            continue;
        };
        if text != read(&path)? {
            told.push(format!(
                "the sidecar of {} differs from `{place}`; the one in the book stays in force",
                file.shown
            ));
        }
    }
    Ok(told)
}
