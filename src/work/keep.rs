//! Putting papers and messages by with a piece: the listing as it stood, the thread with the buyer, a delivery note.

use std::collections::BTreeSet;
use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::kit::digest::Digest;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::model::ids::StockNo;
use crate::trade::TradeBook;
use crate::vault;
use crate::vault::names;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// Name of the folder in a piece's folder.
pub(in crate::work) const FOLDER: &str = "kept";

/// One paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KeptLine {
    /// Its name in the piece's `kept` folder.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: Digest,
    /// Whether the piece had these bytes before.
    pub already: bool,
    /// Words in its name that claim something about the piece: whoever gets the dossier reads them.
    pub claims: Vec<String>,
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
                claims: claims(&book.trade, name),
            });
            continue;
        }
        make_folder(&folder)?;
        let name = vault::keep(
            &folder,
            &free(&known, file),
            &BTreeSet::new(),
            &bytes,
            sha256,
        )?;
        book.record.add_kept(stock_no, &name, sha256)?;
        lines.push(KeptLine {
            claims: claims(&book.trade, &name),
            name,
            sha256,
            already: false,
        });
    }
    Ok(lines)
}

/// The words of a name that claim something, each once.
fn claims(book: &TradeBook, name: &str) -> Vec<String> {
    let stem = name.rsplit_once('.').map_or(name, |it| it.0);
    let text = stem.replace('_', " ");
    let found = book.claims.in_text(&text);
    let mut words: Vec<String> = Vec::new();
    for word in found.iter().map(|it| text[it.start..it.end].to_owned()) {
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words
}

/// A name that no paper of the piece has, capitals aside, and that a dossier can carry.
fn free(known: &[(String, Digest)], file: &Path) -> String {
    let name = names::safe(file.file_name().unwrap_or_default()).replace('%', "_");
    let taken = |name: &String| {
        known
            .iter()
            .any(|it| it.0.to_lowercase() == name.to_lowercase())
    };
    let mut numbered = (1..).map(|turn| names::numbered(&name, turn));
    numbered.find(|it| !taken(it)).unwrap_or(name)
}
