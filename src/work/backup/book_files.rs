//! The files of a book: what lies in its folder, and what its record says must lie there.

use std::collections::BTreeMap;
use std::path::Component;
use std::path::Path;
use std::path::PathBuf;

use walkdir::DirEntry;
use walkdir::WalkDir;

use crate::evidence::verify::notes::Notes;
use crate::kit::digest::Digest;
use crate::kit::files::UNFINISHED;
use crate::vault::ROTTEN;
use crate::work::WorkError;
use crate::work::backup::run::Amiss;
use crate::work::book::open_book::DATABASE;
use crate::work::book::open_book::LOCK;
use crate::work::book::open_book::OpenBook;
use crate::work::book::open_book::PREVIEWS;
use crate::work::keep::FOLDER;
use crate::work::proof::book_rows::Rows;

/// A file of the book.
pub(in crate::work) struct Lying {
    pub(in crate::work) path: PathBuf,
    /// What the record says that it is.
    pub(in crate::work) recorded: Option<Digest>,
}

/// The files that the record names: the digest of each by its path in the book, with `/`.
///
/// # Errors
/// When the database cannot be read.
pub(in crate::work) fn recorded(book: &OpenBook) -> Result<BTreeMap<String, Digest>, WorkError> {
    let mut all = BTreeMap::new();
    // `verify` tells of rows that make no sense; what such a row names is a file like others.
    let mut notes = Notes::default();
    for no in book.record.stock_numbers()? {
        let Some(rows) = Rows::read(book, &no, &mut notes)? else {
            continue;
        };
        let inside = |path: &Path| plain(path.strip_prefix(&book.root).ok()?);
        for photo in &rows.photos {
            let path = book.original(&rows.piece, photo);
            all.extend(inside(&path).map(|it| (it, photo.digest)));
        }
        let kept = book.piece_folder(&rows.piece).join(FOLDER);
        for it in &rows.kept {
            all.extend(inside(&kept.join(&it.name)).map(|path| (path, it.sha256)));
        }
        let editions = rows.editions.iter();
        all.extend(editions.filter_map(|(_, it)| Some((plain(Path::new(&it.path))?, it.digest))));
    }
    Ok(all)
}

/// Where the files of a book lie, by their paths in it; and what cannot be taken. The database, whose copy is taken otherwise, what
/// is worked out again, and what was set aside as rotten are left out.
pub(in crate::work) fn lying(root: &Path) -> (BTreeMap<String, PathBuf>, Vec<Amiss>) {
    let mut files = BTreeMap::new();
    let mut amiss = Vec::new();
    let walk = WalkDir::new(root).follow_links(true).min_depth(1);
    for entry in walk.into_iter().filter_entry(is_wanted) {
        match entry {
            Ok(it) if it.file_type().is_dir() => {}
            Ok(it) => {
                let inside = it.path().strip_prefix(root).unwrap_or(it.path());
                match plain(inside).filter(|_| it.file_type().is_file()) {
                    Some(name) => drop(files.insert(name, it.into_path())),
                    None => amiss.push(Amiss {
                        file: inside.display().to_string(),
                        why: "is no plain file with a name in plain letters; it is left out"
                            .to_owned(),
                    }),
                }
            }
            Err(why) => {
                let path = why.path().unwrap_or(root);
                let inside = path.strip_prefix(root).unwrap_or(path);
                amiss.push(Amiss {
                    file: inside.display().to_string(),
                    why: format!("cannot be read: {why}"),
                });
            }
        }
    }
    (files, amiss)
}

fn is_wanted(entry: &DirEntry) -> bool {
    let name = entry.file_name().to_string_lossy();
    let is_of = |database: &str| {
        let end = name.strip_prefix(database);
        end.is_some_and(|it| ["", "-wal", "-shm", "-journal"].contains(&it))
    };
    let ours = entry.depth() == 1 && (name == LOCK || is_of(DATABASE) || is_of(PREVIEWS));
    !ours && !name.starts_with(UNFINISHED) && !name.ends_with(ROTTEN)
}

/// A path inside a book with `/`; `None` for one that leads out of it, or is no text.
pub(in crate::work) fn plain(path: &Path) -> Option<String> {
    let steps = path.components().map(|it| match it {
        Component::Normal(step) => step.to_str(),
        _ => None,
    });
    let steps: Vec<&str> = steps.collect::<Option<_>>()?;
    (!steps.is_empty()).then(|| steps.join("/"))
}
