//! Bringing a photo back that was taken out of the book.

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::model::ids::StockNo;
use crate::model::piece::Piece;
use crate::record::RemovedRow;
use crate::vault;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Quiet;
use crate::work::proof::book_source::digest_of;
use crate::work::remove::FOLDER;
use crate::work::sidecars::put_back::put_back;

/// A photo that came back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PhotoBack {
    /// Its number, which is the one that it had.
    pub photo: u32,
    /// SHA-256 of the original, which is the one that was taken out.
    pub sha256: Digest,
    /// Where the original lies again.
    pub path: String,
    /// Sidecars of the piece that were not there and were written, by name in the piece.
    pub written: Vec<String>,
}

/// Brings a photo back under its old number; its original and sidecar come from the piece's `removed` folder.
///
/// # Errors
/// When no such photo was taken out, its original is not there with the bytes that it had, another file lies in its place, or the
/// book cannot be written.
pub fn put_back_photo(
    book: &mut OpenBook,
    stock_no: &StockNo,
    photo: u32,
) -> Result<PhotoBack, WorkError> {
    let _lock = book.lock(&Quiet)?;
    let piece = book.piece(stock_no)?;
    let rows = book.record.removed_photos(stock_no)?;
    let aside = book.piece_folder(&piece).join(FOLDER);
    let Some(row) = rows.iter().find(|it| it.no == photo) else {
        return match cut_off(book, &piece, &aside, photo)? {
            Some(back) => Ok(back),
            None => Err(not_out(stock_no, photo, &rows)),
        };
    };
    let place = book.piece_folder(&piece).join(&row.folder).join(&row.name);
    let there = digest_of(&place);
    let from = set_aside(&aside, photo, &row.name, row.digest)?;
    if there != Some(row.digest) {
        if place.exists() {
            return Err(WorkError::asked_with(
                format!("another file lies at `{}`", place.display()),
                "move it away, then run the same command again",
            ));
        }
        let from = from
            .original
            .as_ref()
            .ok_or_else(|| not_whole(&aside, row))?;
        vault::restore(&place, &read(from)?)?;
    }
    let sidecar = place.with_file_name(format!("{}.toml", row.name));
    if let Some(text) = from.sidecar.as_ref().filter(|_| !sidecar.exists()) {
        make_folder(place.parent().unwrap_or(&place))?;
        write_whole(&sidecar, &read(text)?)?;
    }
    // The files before the row: a picture that is listed lies there.
    book.record.return_photo(stock_no, photo)?;
    for path in from.original.iter().chain(&from.sidecar) {
        vault::remove(path)?;
    }
    Ok(PhotoBack {
        photo,
        sha256: row.digest,
        path: place.display().to_string(),
        written: put_back(book, stock_no)?,
    })
}

/// A photo that is back in its place, with its files still set aside: the program died in between. They are taken away; `None`
/// when none is left, or the photo is not in its place.
fn cut_off(
    book: &mut OpenBook,
    piece: &Piece,
    aside: &Path,
    photo: u32,
) -> Result<Option<PhotoBack>, WorkError> {
    let photos = book.record.photos(&piece.stock_no)?;
    let Some(it) = photos.iter().find(|it| it.no == photo) else {
        return Ok(None);
    };
    let place = book.original(piece, it);
    let left = set_aside(aside, photo, &it.name, it.digest)?;
    let own = format!("{photo:04} ");
    let is_own = |path: &&PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.starts_with(&own)
    };
    let left = left.original.into_iter().chain(left.sidecar);
    let left: Vec<PathBuf> = left.filter(|it| is_own(&it)).collect();
    if left.is_empty() || digest_of(&place) != Some(it.digest) {
        return Ok(None);
    }
    for path in &left {
        vault::remove(path)?;
    }
    Ok(Some(PhotoBack {
        photo,
        sha256: it.digest,
        path: place.display().to_string(),
        written: put_back(book, &piece.stock_no)?,
    }))
}

/// What lies in the `removed` folder of a photo.
struct SetAside {
    original: Option<PathBuf>,
    sidecar: Option<PathBuf>,
}

/// The original is known by its bytes, whatever it is called there; of several texts the newest is the one.
fn set_aside(folder: &Path, no: u32, name: &str, digest: Digest) -> Result<SetAside, WorkError> {
    let mut found = SetAside {
        original: None,
        sidecar: None,
    };
    if !folder.exists() {
        return Ok(found);
    }
    let text = format!("{no:04} {name}");
    let mut newest = None;
    for entry in fs::read_dir(folder).at("list", folder)? {
        let path = entry.at("list", folder)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.ends_with(".toml") {
            let changed = fs::metadata(&path).and_then(|it| it.modified()).ok();
            if name.starts_with(&text) && changed >= newest {
                (newest, found.sidecar) = (changed, Some(path));
            }
        } else if digest_of(&path) == Some(digest) {
            found.original = Some(path);
        }
    }
    Ok(found)
}

fn not_whole(folder: &Path, row: &RemovedRow) -> WorkError {
    WorkError::asked_with(
        format!(
            "the original of picture {}, `{}`, does not lie in `{}` with the bytes that it had",
            row.no,
            row.name,
            folder.display()
        ),
        format!(
            "put the file with the SHA-256 {} into that folder, under any name, and run the same command again",
            row.digest
        ),
    )
}

fn not_out(stock_no: &StockNo, photo: u32, rows: &[RemovedRow]) -> WorkError {
    let out: Vec<String> = rows.iter().map(|it| it.no.to_string()).collect();
    let what = format!("{stock_no} has no picture {photo} that was taken out");
    match out.is_empty() {
        true => WorkError::asked_with(what, "none of its pictures was taken out"),
        false => WorkError::asked_with(what, format!("taken out are {}", out.join(", "))),
    }
}
