//! The book's key: made at the first seal, kept beside the database, never in a piece's folder; its passphrase; another in its place.
//!
//! A key file is only ever replaced whole. Another key waits beside the old one under its own name until the line that names it is in the
//! ledger: killed before, the old key is the book's, killed after, the new one, which the next command puts in its place.

use std::fs;
use std::path::PathBuf;
use std::time::Duration;

use serde::Serialize;

use crate::evidence::key::file;
use crate::evidence::key::pair::Key;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::key::passphrase::NewPassphrase;
use crate::evidence::ledger::entry_rows::KeyChanged;
use crate::evidence::seal::statement::Statement;
use crate::evidence::verify::notes::Notes;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::Guard;
use crate::kit::files::read;
use crate::kit::files::read_secret_anywhere;
use crate::kit::files::write_new_secret;
use crate::kit::files::write_secret;
use crate::vault;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Quiet;
use crate::work::proof::seal_files::is_stamp;

/// Name of the secret file in the book's folder.
pub const KEY_FILE: &str = "book.key";

/// Name of the next key while it waits for its line in the ledger.
const NEXT: &str = "book.key.next";

/// The names of the secret files.
pub(in crate::work) const KEY_FILES: [&str; 2] = [KEY_FILE, NEXT];

/// Where the secret lies: the next key, once the ledger names it, else the usual file.
fn path(book: &OpenBook) -> Result<PathBuf, WorkError> {
    let next = book.root.join(NEXT);
    let is_next = next.exists() && public_at(&next)? == expected(book)?.map(|it| it.1);
    Ok(match is_next {
        true => next,
        false => book.root.join(KEY_FILE),
    })
}

/// The public half of a key file; `None` where it is damaged.
fn public_at(path: &std::path::Path) -> Result<Option<Digest>, WorkError> {
    let (bytes, _) = read_secret_anywhere(path)?;
    Ok(file::public_of(&String::from_utf8_lossy(&bytes)).ok())
}

/// The public half of the key that the book must have, and what names it; `None` before the first seal.
fn expected(book: &OpenBook) -> Result<Option<(String, Digest)>, WorkError> {
    if let Some((line, it)) = book.record.key_changes()?.pop() {
        return Ok(Some((
            format!("that line {} of this book names", line.no),
            it.new,
        )));
    }
    let newest = book.record.seals()?.pop();
    let statement = newest.and_then(|it| Some((it.no, Statement::read(&it.statement).ok()?)));
    Ok(statement.map(|(no, it)| (format!("that made seal {no} of this book"), it.key)))
}

/// Whether the book has a key, and a passphrase must be given to use it.
///
/// # Errors
/// When the file cannot be used.
pub fn needs_passphrase(book: &OpenBook) -> Result<bool, WorkError> {
    if !path(book)?.exists() {
        return Ok(false);
    }
    Ok(file::is_locked(&text(book)?.0)?)
}

/// Whether the key lies open where the medium keeps no rights, so that whoever reads the medium has the key.
///
/// # Errors
/// When the file cannot be used.
pub fn is_exposed(book: &OpenBook) -> Result<bool, WorkError> {
    if !path(book)?.exists() {
        return Ok(false);
    }
    let (text, guard) = text(book)?;
    Ok(guard == Guard::Medium && !file::is_locked(&text)?)
}

fn text(book: &OpenBook) -> Result<(String, Guard), WorkError> {
    let (bytes, guard) = read_secret_anywhere(&path(book)?)?;
    Ok((String::from_utf8_lossy(&bytes).into_owned(), guard))
}

/// The key that is there; `None` when there is none.
///
/// # Errors
/// When the file cannot be used, or the passphrase does not open it.
pub(in crate::work) fn stored(
    book: &OpenBook,
    passphrase: Option<&str>,
) -> Result<Option<Key>, WorkError> {
    match path(book)?.exists() {
        true => Ok(Some(file::read(&text(book)?.0, passphrase)?)),
        false => Ok(None),
    }
}

/// The key of the book; made and stored when there is none. A passphrase locks a new one. The caller holds the book's lock.
///
/// # Errors
/// When the file cannot be used or written, when the passphrase does not open it, when the book has seals but no longer its key,
/// or when the key is another than the book's: with that one, nobody could tell that the older seals are its own.
pub(in crate::work) fn key(book: &OpenBook, passphrase: Option<&str>) -> Result<Key, WorkError> {
    settle(book)?;
    if let Some(key) = stored(book, passphrase)? {
        return own(book, key);
    }
    if expected(book)?.is_some() {
        return Err(WorkError::asked_with(
            format!("the book has seals, but its key `{KEY_FILE}` is gone"),
            "put it back from a backup of the book's folder; where there is none, `asfound seal --new-key --old-key-lost` makes another, \
             openly not signed by the old one",
        ));
    }
    let key = Key::new().map_err(file::KeyFileFault::from)?;
    let path = book.root.join(KEY_FILE);
    match write_new_secret(&path, &text_of(&key, passphrase)?) {
        Ok(()) => Ok(key),
        // Another window was first; its key is the book's.
        Err(error) if error.is_there() => stored(book, passphrase)?.ok_or(error.into()),
        Err(error) => Err(error.into()),
    }
}

/// The key, when it is the book's, or there is no seal yet.
fn own(book: &OpenBook, key: Key) -> Result<Key, WorkError> {
    match expected(book)? {
        Some((whose, digest)) if digest != key.public().digest() => Err(WorkError::asked_with(
            format!("`{KEY_FILE}` is not the key {whose}"),
            "put the book's own key back from a backup of its folder; nothing was sealed",
        )),
        _ => Ok(key),
    }
}

/// Puts a key that waited in its place, once the ledger names it, and the one before beside it; one that no line names goes.
fn settle(book: &OpenBook) -> Result<(), WorkError> {
    let (next, usual) = (book.root.join(NEXT), book.root.join(KEY_FILE));
    if !next.exists() {
        return Ok(());
    }
    if path(book)? != next {
        return Ok(fs::remove_file(&next).at("remove", &next)?);
    }
    if let Some(before) = usual
        .exists()
        .then(|| public_at(&usual))
        .transpose()?
        .flatten()
    {
        let aside = book
            .root
            .join(format!("{KEY_FILE}.before-{}", before.short(8)));
        fs::rename(&usual, &aside).at("rename", &usual)?;
    }
    Ok(fs::rename(&next, &usual).at("rename", &next)?)
}

/// Another key in the place of the book's.
#[derive(Clone, Debug, Default)]
pub struct NewKey {
    /// Whether the one before is lost, or its passphrase is forgotten: then nobody signs for the new one, and that is told.
    pub old_is_lost: bool,
    /// From the seal of this number on, no seal of the one before is to be trusted.
    pub distrust_from: Option<u32>,
    /// The passphrase under which the new one is kept; open without one.
    pub passphrase: Option<String>,
}

/// Gives the book another key, with its line; the caller holds the book's lock, and seals at once. Said twice with nothing between, as
/// after a run that was killed, it gives no second one.
///
/// # Errors
/// When the book has no seal yet, the key before cannot be used and is not said to be lost, or a file cannot be written.
pub(in crate::work) fn replace(
    book: &mut OpenBook,
    wanted: &NewKey,
    passphrase: Option<&str>,
) -> Result<Key, WorkError> {
    settle(book)?;
    let (Some((_, old)), Some(first)) = (expected(book)?, book.record.first_line()?) else {
        return Err(WorkError::asked_with(
            "the book has no seal yet, so that no key has to take the place of another",
            "make the first with `asfound seal`",
        ));
    };
    if is_begun(book, wanted)? {
        let passphrase = wanted.passphrase.as_deref().or(passphrase);
        return key(book, passphrase);
    }
    let new = Key::new().map_err(file::KeyFileFault::from)?;
    let mut line = KeyChanged {
        old,
        new: new.public().digest(),
        signature: None,
        distrust_from: wanted.distrust_from,
    };
    match key(book, passphrase) {
        // A chain is cut only where nothing else is left.
        Ok(_) if wanted.old_is_lost => {
            return Err(WorkError::asked_with(
                format!(
                    "`{KEY_FILE}` is here and can be used, so it is not lost; nothing was changed"
                ),
                "without `--old-key-lost` it signs for the new one; where somebody else may have a copy of it, tell `--distrust-from SEAL` as well",
            ));
        }
        Err(_) if wanted.old_is_lost => {}
        old => line.sign(first.leaf, &old?),
    }
    write_secret(
        &book.root.join(NEXT),
        &text_of(&new, wanted.passphrase.as_deref())?,
    )?;
    book.record.change_key(&line)?;
    settle(book)?;
    Ok(new)
}

/// Tells whether the secret file is the book's key. Where it cannot be read, or is not there, nobody can seal here; that is no fault.
pub(in crate::work) fn check(book: &OpenBook, notes: &mut Notes) -> Result<(), WorkError> {
    const CODE: &str = "key";
    let Some((whose, key)) = expected(book)? else {
        return Ok(());
    };
    let path = book.root.join(KEY_FILE);
    let next = book.root.join(NEXT);
    let here = [&next, &path].into_iter().filter(|it| it.exists());
    let mut found = Vec::new();
    for it in here {
        match read_secret_anywhere(it) {
            Ok((bytes, _)) => found.push(file::public_of(&String::from_utf8_lossy(&bytes))),
            Err(why) => {
                notes.told(CODE, format!("{why}: {}", why.source));
                // What is in it is looked at all the same.
                let Ok(bytes) = read(it) else { return Ok(()) };
                found.push(file::public_of(&String::from_utf8_lossy(&bytes)));
            }
        }
    }
    if found.iter().flatten().any(|it| *it == key) {
        return Ok(());
    }
    match found.pop() {
        None => notes.told(
            CODE,
            format!("`{KEY_FILE}` is not here: the book cannot be sealed without it"),
        ),
        Some(Ok(_)) => notes.wrong(CODE, format!("`{KEY_FILE}` is not the key {whose}")),
        Some(Err(why)) => notes.missing(CODE, format!("`{KEY_FILE}`: {why}")),
    }
    Ok(())
}

/// Whether such a key was given already and nothing but time stamps came into the ledger since: then a killed run is being repeated.
fn is_begun(book: &OpenBook, wanted: &NewKey) -> Result<bool, WorkError> {
    let Some((line, it)) = book.record.key_changes()?.pop() else {
        return Ok(false);
    };
    let same = it.signature.is_none() == wanted.old_is_lost;
    let newer = book.record.lines_from(line.no + 1)?;
    Ok(same && it.distrust_from == wanted.distrust_from && newer.iter().all(is_stamp))
}

/// Stores the key again: under a passphrase, or open without one.
///
/// # Errors
/// When the file cannot be written; what was there then still stands.
pub(in crate::work) fn store(
    book: &OpenBook,
    key: &Key,
    passphrase: Option<&str>,
) -> Result<(), WorkError> {
    Ok(write_secret(
        &book.root.join(KEY_FILE),
        &text_of(key, passphrase)?,
    )?)
}

/// The text of a key file: under a passphrase, or open without one. It was read back before it is given.
fn text_of(key: &Key, passphrase: Option<&str>) -> Result<Vec<u8>, WorkError> {
    let text = match passphrase {
        Some(passphrase) => {
            let lock = file::Lock::new().map_err(file::KeyFileFault::from)?;
            file::write_locked(key, NewPassphrase::new(passphrase)?, &lock)?
        }
        None => file::write_plain(key),
    };
    let again = file::read(&text, passphrase)?;
    match again.public() == key.public() {
        true => Ok(text.as_bytes().to_vec()),
        false => Err(file::KeyFileFault::Damaged.into()),
    }
}

/// The book's key as it may be shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KeyTold {
    /// Its fingerprint, as it may be printed on an invoice.
    pub fingerprint: String,
    /// Whether its secret half is here; without it nothing can be sealed.
    pub here: bool,
    /// Whether a passphrase must be given to use it.
    pub locked: bool,
    /// Whether whoever reads the medium has it.
    pub exposed: bool,
    /// Those before it, oldest first.
    pub before: Vec<FormerKey>,
}

/// A key that was the book's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FormerKey {
    /// Its fingerprint.
    pub fingerprint: String,
    /// The line that names the one after it.
    pub until_line: u64,
    /// Whether it signed for the one after it.
    pub signed: bool,
    /// From this seal on it is not to be trusted; `None` when it is.
    pub distrust_from: Option<u32>,
}

/// What can be told of the book's key; `None` before the first seal.
///
/// # Errors
/// When the record or the file cannot be read.
pub fn told(book: &OpenBook) -> Result<Option<KeyTold>, WorkError> {
    let Some((_, now)) = expected(book)? else {
        return Ok(None);
    };
    let print = |it: &Digest| {
        let key = PublicKey::from_bytes(&it.0);
        key.map_or_else(|why| why.to_string(), |it| it.fingerprint())
    };
    let before = book.record.key_changes()?;
    let before = before.iter().map(|(line, it)| FormerKey {
        fingerprint: print(&it.old),
        until_line: line.no,
        signed: it.signature.is_some(),
        distrust_from: it.distrust_from,
    });
    Ok(Some(KeyTold {
        fingerprint: print(&now),
        here: path(book)?.exists(),
        locked: needs_passphrase(book)?,
        exposed: is_exposed(book)?,
        before: before.collect(),
    }))
}

/// Keeps the book's key under another passphrase, or open without one.
///
/// # Errors
/// When there is no key, the passphrase does not open it, or the file cannot be written; the key is then kept as it was.
pub fn keep_under(
    book: &OpenBook,
    passphrase: Option<&str>,
    new: Option<&str>,
) -> Result<(), WorkError> {
    let _lock = book.lock(&Quiet)?;
    settle(book)?;
    let key = match stored(book, passphrase) {
        // A killed run had done it already.
        Err(error) => stored(book, new).ok().flatten().ok_or(error)?,
        Ok(key) => key.ok_or_else(no_key)?,
    };
    // A run that was killed may have left a draft with the secret in it; with the lock held nobody else writes here.
    vault::sweep(&book.root, Duration::ZERO)?;
    store(book, &own(book, key)?, new)
}

fn no_key() -> WorkError {
    WorkError::asked_with(
        "the book has no key yet",
        "`asfound seal` makes one, with `--lock` under a passphrase",
    )
}
