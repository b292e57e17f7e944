//! A book into a backup.

use std::collections::BTreeMap;
use std::path::Path;
use std::path::PathBuf;

use crate::kit::copies;
use crate::kit::files::At as _;
use crate::record::Record;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::backed_up::BackedUp;
use crate::work::backup::book_files::Lying;
use crate::work::backup::book_files::lying;
use crate::work::backup::book_files::recorded;
use crate::work::backup::marker::Marker;
use crate::work::backup::other_copy::OtherCopy;
use crate::work::backup::other_copy::other_copy;
use crate::work::backup::other_copy::sums;
use crate::work::backup::place::Place;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Run;
use crate::work::backup::store::Store;
use crate::work::backup::storing::Storing;
use crate::work::book::open_book::DATABASE;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::keys::KEY_FILES;

/// Whether a backup that is begun is to be under a passphrase, and the passphrase.
#[derive(Clone, Copy, Debug, Default)]
pub struct Encryption<'a> {
    /// Whether one was asked for; a backup that is there stays as it was begun.
    pub wanted: bool,
    /// The passphrase, where there is one.
    pub passphrase: Option<&'a str>,
}

/// Stores in the backup `target`, begun where there is none, what it does not hold yet, and writes down the run; `set_aside` is a run of
/// another copy of the book that is told no more from then on.
///
/// # Errors
/// When something else lies there, it is the backup of another book, the run to be set aside is not that of another copy, or it cannot be
/// written to.
pub fn back_up(
    book: &OpenBook,
    target: &Place,
    encryption: Encryption<'_>,
    set_aside: Option<u32>,
    progress: &dyn Progress,
) -> Result<BackedUp, WorkError> {
    if let Place::Folder(target) = target {
        refuse_inside(book, target)?;
    }
    let marker = marker(book, encryption.wanted)?;
    let (store, _lock) = Store::open_or_begin(target, marker, encryption.passphrase, progress)?;
    let before = store.whole_runs()?;
    let draft = store.plain_draft(DATABASE)?;
    let (listed, database) = {
        // Nothing enters or leaves the book between its database and the list of its files.
        let _book = match book.record.is_read_only() {
            true => None,
            false => Some(book.lock(progress)?),
        };
        book.record.copy_to(&draft.path)?;
        (Listed::of(book)?, copies::sum(&draft.path)?)
    };
    let leaves = Record::open_copy(&draft.path, book.now)?.leaves()?;
    let other = |aside| other_copy(&store, before.iter(), aside, (u32::MAX, &leaves), book.now);
    let mut told = other(None)?;
    if let Some(no) = set_aside {
        if told.map(|it| it.run) != Some(no) {
            vault::remove(&draft.path)?;
            return Err(not_another(no, told));
        }
        told = other(set_aside)?;
    }
    let mut job = Storing {
        store: &store,
        known: Storing::known(&store, before.last())?,
        today: book.now.local_day(),
        done: BackedUp {
            backup: store.shown().display().to_string(),
            encrypted: store.is_encrypted(),
            bytes: database.bytes,
            other_copy: told,
            amiss: listed.amiss,
            ..BackedUp::default()
        },
    };
    if store.put_sure(&draft.path, database)? {
        job.done.new_bytes += database.bytes;
    }
    vault::remove(&draft.path)?;
    let keys = job.keys(&listed.keys)?;
    let folders = job.files(&listed.files, progress)?;
    // Where nothing locks, another run may have ended meanwhile.
    job.done.run = store.runs()?.last().map_or(0, |it| it.no) + 1;
    store.add_run(&Run {
        run: job.done.run,
        at: book.now,
        book: store.marker.book,
        lines: leaves.len() as u64,
        ledger: sums(&leaves).pop(),
        set_aside,
        database: database.into(),
        keys,
        folders,
    })?;
    Ok(job.done)
}

/// That a run is not the one that is told of another copy.
fn not_another(no: u32, told: Option<OtherCopy>) -> WorkError {
    let what = format!("run {no} is not told of as that of another copy of this book");
    match told {
        Some(it) => WorkError::asked_with(what, format!("run {} is", it.run)),
        None => WorkError::asked_with(what, "nothing was stored: no run is"),
    }
}

fn refuse_inside(book: &OpenBook, target: &Path) -> Result<(), WorkError> {
    let here = std::path::absolute(target).at("look for", target)?;
    let root = book.root.canonicalize().at("open", &book.root)?;
    let there = here.ancestors().find_map(|it| it.canonicalize().ok());
    match there.is_some_and(|it| it.starts_with(&root)) {
        true => Err(WorkError::asked_with(
            "a backup inside the book is lost with the book",
            "name a folder on another disk",
        )),
        false => Ok(()),
    }
}

fn marker(book: &OpenBook, encrypted: bool) -> Result<Marker, WorkError> {
    let first = book.record.first_line()?;
    let first = first.ok_or_else(|| WorkError::asked("the ledger of this book has no line"))?;
    let root = book.root.canonicalize().at("open", &book.root)?;
    let name = root.file_name().unwrap_or_default().to_string_lossy();
    Ok(Marker::new(name.into_owned(), first.leaf, encrypted))
}

/// What is to be stored.
struct Listed {
    files: BTreeMap<String, Lying>,
    keys: Vec<(String, PathBuf)>,
    amiss: Vec<Amiss>,
}

impl Listed {
    fn of(book: &OpenBook) -> Result<Self, WorkError> {
        let (found, amiss) = lying(&book.root);
        let mut recorded = recorded(book)?;
        let mut files = BTreeMap::new();
        let mut keys = Vec::new();
        for (name, path) in found {
            if KEY_FILES.contains(&name.as_str()) {
                keys.push((name, path));
                continue;
            }
            let recorded = recorded.remove(&name);
            files.insert(name, Lying { path, recorded });
        }
        for (name, digest) in recorded {
            let path = book.root.join(&name);
            let recorded = Some(digest);
            files.insert(name, Lying { path, recorded });
        }
        Ok(Self { files, keys, amiss })
    }
}
