//! The book's key: made at the first seal, kept beside the database, never in a piece's folder.

use std::ops::Deref;
use std::path::PathBuf;

use crate::evidence::key::file;
use crate::evidence::key::pair::Key;
use crate::evidence::seal::statement::Statement;
use crate::kit::files::read_secret;
use crate::kit::files::write_new_secret;
use crate::kit::files::write_secret;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// Name of the secret file in the book's folder.
pub const KEY_FILE: &str = "book.key";

/// Where the secret lies.
fn path(book: &OpenBook) -> PathBuf {
    book.root.join(KEY_FILE)
}

/// Whether the book has a key, and a passphrase must be given to use it.
///
/// # Errors
/// When the file cannot be used.
pub fn needs_passphrase(book: &OpenBook) -> Result<bool, WorkError> {
    if !path(book).exists() {
        return Ok(false);
    }
    Ok(file::is_locked(&text(book)?)?)
}

fn text(book: &OpenBook) -> Result<String, WorkError> {
    Ok(String::from_utf8_lossy(&read_secret(&path(book))?).into_owned())
}

/// The key that is there; `None` when there is none.
///
/// # Errors
/// When the file cannot be used, or the passphrase does not open it.
pub(in crate::work) fn stored(
    book: &OpenBook,
    passphrase: Option<&str>,
) -> Result<Option<Key>, WorkError> {
    match path(book).exists() {
        true => Ok(Some(file::read(&text(book)?, passphrase)?)),
        false => Ok(None),
    }
}

/// The key of the book; made and stored when there is none. A passphrase locks a new one. The caller holds the book's lock.
///
/// # Errors
/// When the file cannot be used or written, when the passphrase does not open it, when the book has seals but no longer its key,
/// or when the key is not the one that made the newest seal: with another one, nobody could tell that the older seals are its own.
pub(in crate::work) fn key(book: &OpenBook, passphrase: Option<&str>) -> Result<Key, WorkError> {
    if let Some(key) = stored(book, passphrase)? {
        return own(book, key);
    }
    if !book.record.seals()?.is_empty() {
        return Err(WorkError::asked_with(
            format!("the book has seals, but its key `{KEY_FILE}` is gone"),
            "put it back from a backup of the book's folder",
        ));
    }
    let key = Key::new().map_err(file::KeyFileFault::from)?;
    match write_new_secret(&path(book), text_of(&key, passphrase)?.as_bytes()) {
        Ok(()) => Ok(key),
        // Another window was first; its key is the book's.
        Err(error) if error.is_there() => stored(book, passphrase)?.ok_or(error.into()),
        Err(error) => Err(error.into()),
    }
}

/// The key, when it is the one that made the newest seal, or there is none yet.
fn own(book: &OpenBook, key: Key) -> Result<Key, WorkError> {
    let newest = book.record.seals()?.pop();
    let signed = newest.and_then(|it| Some((it.no, Statement::read(&it.statement).ok()?.key)));
    match signed {
        Some((no, digest)) if digest != key.public().digest() => Err(WorkError::asked_with(
            format!("`{KEY_FILE}` is not the key that made seal {no} of this book"),
            "put the book's own key back from a backup of its folder; nothing was sealed",
        )),
        _ => Ok(key),
    }
}

/// Stores the key again: under a passphrase, or open without one.
///
/// # Errors
/// When the file cannot be written.
pub(in crate::work) fn store(
    book: &OpenBook,
    key: &Key,
    passphrase: Option<&str>,
) -> Result<(), WorkError> {
    Ok(write_secret(
        &path(book),
        text_of(key, passphrase)?.as_bytes(),
    )?)
}

/// The text of a key file: under a passphrase, or open without one.
fn text_of(
    key: &Key,
    passphrase: Option<&str>,
) -> Result<impl Deref<Target = String> + use<>, WorkError> {
    Ok(match passphrase {
        Some(passphrase) => {
            let lock = file::Lock::new().map_err(file::KeyFileFault::from)?;
            file::write_locked(key, passphrase, &lock)?
        }
        None => file::write_plain(key),
    })
}
