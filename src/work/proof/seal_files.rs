//! The files of the seals in the folder `seals` of a book, against the seals that the record knows.
//!
//! The files are written from the record, and never written over. So a file that differs, or is of a seal that the record does not know,
//! tells what the record alone cannot: that an older `book.db` was put back, or that a number was given twice.

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use crate::evidence::dossier::package::seal_number;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::seal::statement::Statement;
use crate::evidence::seal::statement::file_name;
use crate::evidence::verify::notes::Notes;
use crate::kit::files::FileError;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::record::StoredLine;
use crate::record::StoredSeal;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// Name of the folder in the book.
const FOLDER: &str = "seals";

/// Name of the book's public key among its seals.
pub(in crate::work) const PUBLIC_KEY: &str = "book-key.pem";

/// Folder of the seals.
pub(in crate::work) fn folder(book: &OpenBook) -> PathBuf {
    book.root.join(FOLDER)
}

/// How a file there stands to the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Odd {
    /// It is not there.
    Gone,
    /// It has other bytes than the record.
    Other,
    /// The record does not know its seal, and only older ones.
    Newer,
}

/// A file that is not as the record has it.
struct OddFile {
    no: u32,
    name: String,
    odd: Odd,
}

/// What the record has of a seal's files, by ending; a reply only where there is one.
fn parts(seal: &StoredSeal) -> Vec<(&'static str, &[u8])> {
    let mut parts = vec![
        ("json", seal.statement.as_bytes()),
        ("sig", &seal.signature),
        ("tsq", &seal.request),
    ];
    parts.extend(seal.reply.as_deref().map(|it| ("tsr", it)));
    parts
}

/// Compares them; what else lies in the folder is nobody's business. A reply that was laid there and not taken in is no fault.
fn odd(folder: &Path, seals: &[StoredSeal]) -> Vec<OddFile> {
    let mut found = Vec::new();
    for seal in seals {
        for (ending, bytes) in parts(seal) {
            let name = file_name(seal.no, ending);
            let path = folder.join(&name);
            let odd = match fs::symlink_metadata(&path) {
                Err(_) => Odd::Gone,
                Ok(_) if read(&path).is_ok_and(|it| it == bytes) => continue,
                Ok(_) => Odd::Other,
            };
            let no = seal.no;
            found.push(OddFile { no, name, odd });
        }
    }
    let newest = seals.last().map_or(0, |it| it.no);
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.map(|it| it.file_name().to_string_lossy().into_owned());
    let newer = names.filter_map(|name| {
        let no = seal_number(&format!("data/{FOLDER}/{name}")).filter(|it| *it > newest)?;
        let odd = Odd::Newer;
        Some(OddFile { no, name, odd })
    });
    let mut newer: Vec<OddFile> = newer.collect();
    newer.sort_by(|a, b| a.name.cmp(&b.name));
    found.extend(newer);
    found
}

impl OddFile {
    /// In words without a full stop.
    fn words(&self, folder: &Path) -> String {
        let (name, no) = (format!("`{FOLDER}/{}`", self.name), self.no);
        let signed = signed(folder, no);
        match (self.odd, signed) {
            (Odd::Gone, _) => {
                format!("{name} is not there; `asfound seal` writes it again from the record")
            }
            (Odd::Other, Some(it)) if self.name.ends_with("json") => format!(
                "{name} is another seal {no} than the one in the record, signed with the key that it names: {} lines, {}. The number was \
                 given twice, or an older `book.db` was put back before",
                it.size, it.at
            ),
            (Odd::Other, _) => {
                format!("{name} has other bytes than seal {no} of the record")
            }
            (Odd::Newer, Some(it)) => format!(
                "{name} is of a seal that the record does not know, signed with the key that it names: {} lines, {}. `book.db` is older than \
                 that seal: a former one was put back",
                it.size, it.at
            ),
            (Odd::Newer, None) => {
                format!("{name} is of a seal that the record does not know")
            }
        }
    }
}

/// What the files of a seal say, where the key that they name signed it.
fn signed(folder: &Path, no: u32) -> Option<Statement> {
    let part = |ending: &str| read(&folder.join(file_name(no, ending))).ok();
    let text = String::from_utf8(part("json")?).ok()?;
    let statement = Statement::read(&text).ok()?;
    let key = PublicKey::from_bytes(&statement.key.0).ok()?;
    key.verify(text.as_bytes(), &part("sig")?).ok()?;
    Some(statement)
}

/// Tells what is not as the record has it.
pub(in crate::work) fn check(book: &OpenBook, seals: &[StoredSeal], notes: &mut Notes) {
    const CODE: &str = "seals";
    let folder = folder(book);
    for it in odd(&folder, seals) {
        match it.odd {
            Odd::Gone => notes.missing(CODE, it.words(&folder)),
            Odd::Other | Odd::Newer => notes.wrong(CODE, it.words(&folder)),
        }
    }
}

/// Whether a line tells of a seal's time stamp, as the next seal covers it.
pub(in crate::work) fn is_stamp(it: &StoredLine) -> bool {
    let line = LedgerLine::read(&it.text).ok();
    let entry = line.and_then(|it| Entry::read(&it).ok());
    matches!(entry, Some(Entry::Known(EntryKind::Stamp(_))))
}

/// Asks that nothing lies there that a seal would have to write over, or whose number it would give again.
///
/// # Errors
/// When something does; says what to do.
pub(in crate::work) fn is_free(book: &OpenBook, seals: &[StoredSeal]) -> Result<(), WorkError> {
    let folder = folder(book);
    let mut all = odd(&folder, seals);
    all.retain(|it| it.odd != Odd::Gone);
    // A newer seal says more than a file that differs.
    let newer = all.iter().find(|it| it.odd == Odd::Newer);
    let Some(first) = newer.or(all.first()) else {
        return Ok(());
    };
    let hint = match first.odd {
        Odd::Newer => {
            "nothing was sealed. Put the newest `book.db` back, from the backup that has it. Where it is lost for good, move the files of the \
             newer seals out of `seals`, keep them, and tell whoever got a message that names one of them: what these seals covered, this \
             book cannot show any more"
        }
        _ => {
            "nothing was sealed. Move the file out of `seals`, keep it, and seal again: its place is then filled from the record"
        }
    };
    Err(WorkError::asked_with(first.words(&folder), hint))
}

/// Writes the files of a seal that are not there; gives the paths of all of them. None is ever written over.
///
/// # Errors
/// When one has other bytes, or cannot be written.
pub(in crate::work) fn write(
    book: &OpenBook,
    seal: &StoredSeal,
) -> Result<Vec<PathBuf>, WorkError> {
    let folder = folder(book);
    make_folder(&folder)?;
    let mut paths = Vec::new();
    for (ending, bytes) in parts(seal) {
        let path = folder.join(file_name(seal.no, ending));
        put(&path, bytes)?;
        paths.push(path);
    }
    Ok(paths)
}

/// Whether a reply may be laid beside its seal.
///
/// # Errors
/// When another lies there.
pub(in crate::work) fn has_room(book: &OpenBook, no: u32, reply: &[u8]) -> Result<(), WorkError> {
    let path = folder(book).join(file_name(no, "tsr"));
    match read(&path) {
        Ok(there) if there != reply => Err(in_the_way(&path)),
        _ => Ok(()),
    }
}

fn put(path: &Path, bytes: &[u8]) -> Result<(), WorkError> {
    match read(path) {
        Ok(there) if there == bytes => Ok(()),
        Ok(_) => Err(in_the_way(path)),
        Err(FileError { .. }) => Ok(write_whole(path, bytes)?),
    }
}

fn in_the_way(path: &Path) -> WorkError {
    WorkError::asked_with(
        format!("`{}` is there already, with other bytes", path.display()),
        "move it out of `seals`, keep it, and run the same command again: a file of a seal is never written over",
    )
}
