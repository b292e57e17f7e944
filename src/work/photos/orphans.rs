//! Originals that a killed import left in a shoot's folder without entering them, and that a later one stored elsewhere.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::path::Path;
use std::path::PathBuf;

use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::model::piece::Piece;
use crate::vault;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::photos::scan_sources::Found;

/// The strays of a piece; the files in `sources` are the user's, wherever they lie.
///
/// # Errors
/// When the record or a folder cannot be read.
pub(in crate::work) fn strays(
    book: &OpenBook,
    piece: &Piece,
    sources: &[Found],
) -> Result<Vec<PathBuf>, WorkError> {
    let photos = book.record.photos(&piece.stock_no)?;
    let mut found = Vec::new();
    for shoot in book.record.all_shoots(&piece.stock_no)? {
        let folder = book.piece_folder(piece).join(&shoot.folder);
        let own = photos.iter().filter(|it| it.folder == shoot.folder);
        let known: BTreeSet<&str> = own.map(|it| it.name.as_str()).collect();
        found.extend(vault::unknown(&folder, &known)?);
    }
    found.retain(|path| !sources.iter().any(|it| it.lies_at(path)));
    Ok(found)
}

/// The text beside a stray of these bytes, if there is one: what the user wrote there must not be lost.
pub(in crate::work) fn text_beside(
    strays: &[PathBuf],
    bytes: &[u8],
    digest: Digest,
) -> Option<Vec<u8>> {
    let same = |it: &&PathBuf| vault::holds(it, bytes.len() as u64, digest).unwrap_or(false);
    read(&sidecar_of(strays.iter().find(same)?)).ok()
}

/// Removes the strays that are stored, byte for byte, where the record says; gives a sentence for each that stays
/// because something else is written beside it.
///
/// # Errors
/// When the record cannot be read, or a stray cannot be compared or removed.
pub(in crate::work) fn clear(
    book: &OpenBook,
    piece: &Piece,
    strays: &[PathBuf],
) -> Result<Vec<String>, WorkError> {
    let mut told = Vec::new();
    if strays.is_empty() {
        return Ok(told);
    }
    let photos = book.record.photos(&piece.stock_no)?;
    for stray in strays.iter().filter(|it| it.exists()) {
        let digest = Digest::of(&read(stray)?);
        let Some(photo) = photos.iter().find(|it| it.digest == digest) else {
            continue;
        };
        let stored = book.original(piece, photo);
        if stored == *stray || !vault::holds(&stored, photo.bytes, digest)? {
            continue;
        }
        let (beside, kept) = (sidecar_of(stray), sidecar_of(&stored));
        if beside.exists() {
            if !kept.exists() || read(&beside)? != read(&kept)? {
                let shown = |it: &Path| {
                    let inside = it.strip_prefix(book.piece_folder(piece)).unwrap_or(it);
                    inside.display().to_string()
                };
                told.push(format!(
                    "`{}` lies beside a copy that a broken-off import left; what it says is not in force: carry it over to `{}`, then delete both",
                    shown(&beside),
                    shown(&kept)
                ));
                continue;
            }
            vault::remove(&beside)?;
        }
        vault::remove(stray)?;
    }
    Ok(told)
}

fn sidecar_of(original: &Path) -> PathBuf {
    let mut name: OsString = original.file_name().unwrap_or_default().to_owned();
    name.push(".toml");
    original.with_file_name(name)
}
