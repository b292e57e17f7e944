//! A book into a backup.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::time::UNIX_EPOCH;

use serde::Serialize;

use crate::evidence::key::file;
use crate::kit::clock::Moment;
use crate::kit::copies;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::read;
use crate::record::Record;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::book_files::lying;
use crate::work::backup::book_files::recorded;
use crate::work::backup::lay_out::Scratch;
use crate::work::backup::marker::Marker;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Folder;
use crate::work::backup::run::Object;
use crate::work::backup::run::Run;
use crate::work::backup::run::StoredFile;
use crate::work::backup::run::StoredKey;
use crate::work::backup::store::Store;
use crate::work::backup::store::object;
use crate::work::book::open_book::DATABASE;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::keys::KEY_FILES;

/// From how many bytes on a file that the record does not know is not read again while its length and time stay.
const LONG: u64 = 1024 * 1024;

/// What was stored.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct BackedUp {
    /// The backup's folder.
    pub backup: String,
    /// Whether all in it is under a passphrase.
    pub encrypted: bool,
    /// Number of the run.
    pub run: u32,
    /// Files of the book in this run, beside its database.
    pub files: usize,
    /// Their bytes and those of the database.
    pub bytes: u64,
    /// Bytes that the backup did not hold before.
    pub new_bytes: u64,
    /// The key's file: `locked` with a passphrase or `open`; `None` where the book has none.
    pub key: Option<&'static str>,
    /// Files that are not as they should be.
    pub amiss: Vec<Amiss>,
    /// Where the run before is not of an earlier state of this book.
    pub other_copy: Option<OtherCopy>,
}

/// How two copies of one book stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct OtherCopy {
    /// Number of the run before.
    pub run: u32,
    /// When it was made.
    pub at: Moment,
    /// Lines of its ledger.
    pub its_lines: usize,
    /// Lines of the ledger of this book.
    pub lines: usize,
    /// How many lines, from the first on, both have.
    pub same_lines: usize,
}

/// Whether a backup that is begun is to be under a passphrase, and the passphrase.
#[derive(Clone, Copy, Debug, Default)]
pub struct Encryption<'a> {
    /// Whether one was asked for; a backup that is there stays as it was begun.
    pub wanted: bool,
    /// The passphrase, where there is one.
    pub passphrase: Option<&'a str>,
}

/// Stores in the backup `target`, begun where there is none, what it does not hold yet, and writes down the run.
///
/// # Errors
/// When something else lies there, it is the backup of another book, or it cannot be written to.
pub fn back_up(
    book: &OpenBook,
    target: &Path,
    encryption: Encryption<'_>,
    progress: &dyn Progress,
) -> Result<BackedUp, WorkError> {
    refuse_inside(book, target)?;
    let marker = marker(book, encryption.wanted)?;
    let (store, _lock) = Store::open_or_begin(target, marker, encryption.passphrase, progress)?;
    let before = store.runs()?.iter().rev().find_map(|it| store.run(it));
    // Nothing lies on the medium of an encrypted backup that is not encrypted, not even for a while.
    let scratch = store.is_encrypted().then(Scratch::new).transpose()?;
    let draft = match &scratch {
        Some(scratch) => scratch.0.join(DATABASE),
        None => store.draft("database"),
    };
    let (listed, database) = {
        // Nothing enters or leaves the book between its database and the list of its files.
        let _book = match book.record.is_read_only() {
            true => None,
            false => Some(book.lock(progress)?),
        };
        book.record.copy_to(&draft)?;
        (Listed::of(book)?, copies::sum(&draft)?)
    };
    let leaves = Record::open_copy(&draft, book.now)?.leaves()?;
    let mut job = Job {
        store: &store,
        known: known_long(&store, before.as_ref()),
        done: BackedUp {
            backup: store.root.display().to_string(),
            encrypted: store.is_encrypted(),
            run: store.runs()?.last().map_or(0, |it| it.no) + 1,
            bytes: database.bytes,
            other_copy: before
                .as_ref()
                .and_then(|it| other(&store, it, &leaves, book.now)),
            amiss: listed.amiss,
            ..BackedUp::default()
        },
    };
    if store.put_sure(&draft, database)? {
        job.done.new_bytes += database.bytes;
    }
    vault::remove(&draft)?;
    let keys = job.keys(&listed.keys)?;
    let folders = job.files(&listed.files, progress)?;
    store.add_run(&Run {
        run: job.done.run,
        at: book.now,
        book: store.marker.book,
        lines: leaves.len() as u64,
        database: database.into(),
        keys,
        folders,
    })?;
    Ok(job.done)
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

/// A file of the book.
struct Lying {
    path: PathBuf,
    /// What the record says that it is.
    recorded: Option<Digest>,
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

/// Long files of the run before, by path.
fn known_long(store: &Store, before: Option<&Run>) -> BTreeMap<String, StoredFile> {
    let folders = before.iter().flat_map(|it| &it.folders);
    let files = folders.flat_map(|it| store.files(it).unwrap_or_default());
    let long = files.filter(|it| it.changed.is_some());
    long.map(|it| (it.path.clone(), it)).collect()
}

/// How the run before stands to this book, where it is not simply an earlier state of it.
fn other(store: &Store, before: &Run, leaves: &[Digest], now: Moment) -> Option<OtherCopy> {
    let database = before.database.sha256;
    let scratch = store.is_encrypted().then(Scratch::new).transpose().ok()?;
    let path = match &scratch {
        Some(scratch) => scratch.0.join(DATABASE),
        None => object(&store.root, database),
    };
    if scratch.is_some() {
        store.copy_out(database, &path, false).ok()?;
    }
    // A copy that cannot be read, or is of an older format, cannot be compared; `verify` tells of the first.
    let its = Record::open_copy(&path, now)
        .and_then(|it| it.leaves())
        .ok()?;
    let same = its.iter().zip(leaves).take_while(|(a, b)| a == b).count();
    (same < its.len()).then_some(OtherCopy {
        run: before.run,
        at: before.at,
        its_lines: its.len(),
        lines: leaves.len(),
        same_lines: same,
    })
}

struct Job<'a> {
    store: &'a Store,
    known: BTreeMap<String, StoredFile>,
    done: BackedUp,
}

impl Job<'_> {
    fn keys(&mut self, keys: &[(String, PathBuf)]) -> Result<Vec<StoredKey>, WorkError> {
        let mut stored = Vec::new();
        for (name, path) in keys {
            let text = read(path)?;
            let shown = String::from_utf8_lossy(&text);
            let (public, locked) = match (file::public_of(&shown), file::is_locked(&shown)) {
                (Ok(public), Ok(locked)) => (public, locked),
                (Err(why), _) | (_, Err(why)) => {
                    self.amiss(name, format!("left out: {why}"));
                    continue;
                }
            };
            self.store.put_key(public, &text)?;
            if !locked {
                self.done.key = Some("open");
            }
            self.done.key.get_or_insert("locked");
            stored.push(StoredKey {
                path: name.clone(),
                public,
            });
        }
        Ok(stored)
    }

    fn files(
        &mut self,
        files: &BTreeMap<String, Lying>,
        progress: &dyn Progress,
    ) -> Result<Vec<Folder>, WorkError> {
        let mut by_folder: BTreeMap<&str, Vec<StoredFile>> = BTreeMap::new();
        progress.begin("storing", files.len());
        for (name, it) in files {
            progress.step();
            let Some(object) = self.file(name, it)? else {
                continue;
            };
            self.done.files += 1;
            self.done.bytes += object.bytes;
            let found = fs::metadata(&it.path).ok();
            let folder = name.split_once('/').map_or("", |it| it.0);
            by_folder.entry(folder).or_default().push(StoredFile {
                path: name.clone(),
                object,
                read_only: match &found {
                    Some(found) => found.permissions().readonly(),
                    None => true,
                },
                changed: match it.recorded {
                    Some(_) => None,
                    None => found.as_ref().and_then(changed),
                },
            });
        }
        progress.end();
        let mut folders = Vec::new();
        for (name, files) in by_folder {
            let text = serde_json::to_vec(&files).unwrap_or_default();
            folders.push(Folder {
                name: name.to_owned(),
                list: self.store.put_bytes(&text)?.into(),
            });
        }
        Ok(folders)
    }

    /// Stores a file; `None` where there is nothing to store.
    fn file(&mut self, name: &str, it: &Lying) -> Result<Option<Object>, WorkError> {
        let found = fs::metadata(&it.path).ok().filter(fs::Metadata::is_file);
        if let Some(sha256) = it.recorded
            && let Some(bytes) = self.store.long(sha256)
        {
            if found.is_none_or(|it| it.len() != bytes) {
                let why = "is gone or has another length; the backup has the right one, which `verify --heal` puts back";
                self.amiss(name, why);
            }
            return Ok(Some(Object { sha256, bytes }));
        }
        let Some(found) = found else {
            self.amiss(name, "is not there, and the backup has none");
            return Ok(None);
        };
        if let Some(known) = self.known.get(name)
            && known.changed == changed(&found)
            && known.object.bytes == found.len()
            && self.store.long(known.object.sha256) == Some(found.len())
        {
            return Ok(Some(known.object));
        }
        let done = copies::sum(&it.path).and_then(|sum| Ok((sum, self.store.put(&it.path, sum)?)));
        match done {
            Ok((sum, new)) => {
                if new {
                    self.done.new_bytes += sum.bytes;
                }
                if it.recorded.is_some_and(|it| it != sum.sha256) {
                    let why =
                        "has other bytes than the record names; it is stored as it lies there";
                    self.amiss(name, why);
                }
                Ok(Some(sum.into()))
            }
            Err(why) if why.path == it.path => {
                self.amiss(name, format!("left out: {}", why.source));
                Ok(None)
            }
            Err(why) => Err(why.into()),
        }
    }

    fn amiss(&mut self, file: &str, why: impl Into<String>) {
        self.done.amiss.push(Amiss {
            file: file.to_owned(),
            why: why.into(),
        });
    }
}

/// When a long file was changed, in ns since 1970.
fn changed(found: &fs::Metadata) -> Option<u64> {
    let since = found.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    let since = u64::try_from(since.as_nanos()).ok()?;
    (found.len() >= LONG).then_some(since)
}
