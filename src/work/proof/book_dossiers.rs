//! The dossiers that lie in a book: whether each is still what was handed out.

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Tools;
use crate::evidence::verify::verdict::Verdict;
use crate::kit::files::UNFINISHED;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::bag_files;
use crate::work::proof::book_rows::Rows;

/// Name of the folder in a piece's folder.
pub(in crate::work) const FOLDER: &str = "dossiers";

/// Judges the dossiers of the pieces. One that lacks something is told; it may have been made so. One that was altered is wrong.
pub(in crate::work) fn check<'a>(
    book: &OpenBook,
    pieces: impl Iterator<Item = &'a Rows>,
    tools: &dyn Tools,
    notes: &mut Notes,
) {
    const CODE: &str = "dossiers";
    for rows in pieces {
        for path in dossiers(&book.piece_folder(&rows.piece).join(FOLDER)) {
            let shown = path.strip_prefix(&book.root).unwrap_or(&path).display();
            match bag_files::judge(&path, tools) {
                Err(why) => notes.missing(CODE, format!("`{shown}` cannot be read: {why}")),
                Ok(found) if found.verdict == Verdict::Altered => {
                    let bad = found.checks.iter().filter(|it| !it.ok());
                    let bad: Vec<&str> = bad.map(|it| it.about.as_str()).take(3).collect();
                    notes.wrong(CODE, format!("`{shown}` is altered: {}", bad.join("; ")));
                }
                Ok(found) => {
                    notes.told(CODE, format!("`{shown}` is {}.", found.verdict.word()));
                }
            }
        }
    }
}

/// Zips and folders with a bag in them, by name.
fn dossiers(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let is_one = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let zip = path.extension().is_some_and(|it| it == "zip") && path.is_file();
        let litter = name.starts_with("._") || name.starts_with(UNFINISHED);
        !litter && (zip || path.join("bagit.txt").is_file())
    };
    let mut found: Vec<PathBuf> = entries.map(|it| it.path()).filter(is_one).collect();
    found.sort();
    found
}
