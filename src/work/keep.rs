//! Putting papers and messages by with a piece: the listing as it stood, the thread with the buyer, a delivery note.

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::evidence::paths;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::open_book::OpenBook;

/// Name of the folder in a piece's folder.
const FOLDER: &str = "kept";

/// One paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KeptLine {
    /// Its name in the piece's `kept` folder.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: Digest,
    /// Whether the piece had these bytes before.
    pub already: bool,
}

/// Copies files into the piece's `kept` folder, byte for byte and read-only, and enters them; the same bytes are kept once.
///
/// # Errors
/// When there is no such piece, or a file cannot be read or written.
pub fn keep(
    book: &mut OpenBook,
    stock_no: &StockNo,
    files: &[PathBuf],
) -> Result<Vec<KeptLine>, WorkError> {
    let piece = book.piece(stock_no)?;
    let folder = book.piece_folder(&piece).join(FOLDER);
    let mut lines = Vec::new();
    for file in files {
        let bytes = read(file)?;
        let sha256 = Digest::of(&bytes);
        let known = book.record.kept(stock_no)?;
        if let Some((name, _)) = known.iter().find(|it| it.1 == sha256) {
            lines.push(KeptLine {
                name: name.clone(),
                sha256,
                already: true,
            });
            continue;
        }
        let name = free(&known, &folder, file);
        make_folder(&folder)?;
        let path = folder.join(&name);
        write_whole(&path, &bytes)?;
        let mut rights = fs::metadata(&path).at("look at", &path)?.permissions();
        rights.set_readonly(true);
        fs::set_permissions(&path, rights).at("protect", &path)?;
        book.record.add_kept(stock_no, &name, sha256)?;
        lines.push(KeptLine {
            name,
            sha256,
            already: false,
        });
    }
    Ok(lines)
}

/// A name that is not taken, capitals aside, and that every system can carry.
fn free(known: &[(String, Digest)], folder: &Path, file: &Path) -> String {
    let given = file
        .file_name()
        .map_or_else(String::new, |it| it.to_string_lossy().into_owned());
    let plain = given.replace('%', "_");
    let safe = paths::safe(&format!("data/{FOLDER}/{plain}")).is_ok() && !plain.is_empty();
    let plain = if safe { plain } else { "paper".to_owned() };
    let (stem, ending) = match plain.rsplit_once('.') {
        Some((stem, ending)) if !stem.is_empty() => (stem.to_owned(), format!(".{ending}")),
        _ => (plain.clone(), String::new()),
    };
    let taken = |name: &str| {
        let listed = known
            .iter()
            .any(|it| it.0.to_lowercase() == name.to_lowercase());
        listed || folder.join(name).exists()
    };
    let names = (1_u32..).map(|n| match n {
        1 => plain.clone(),
        n => format!("{stem} {n}{ending}"),
    });
    names
        .into_iter()
        .find(|it| !taken(it))
        .unwrap_or_else(|| plain.clone())
}
