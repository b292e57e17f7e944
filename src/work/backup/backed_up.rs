//! What a backup stored.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::work::backup::other_copy::OtherCopy;
use crate::work::backup::run::Amiss;

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
    /// Files that this run did not read both in the book and in the backup, because nothing there shows that they changed.
    pub not_read_again: usize,
    /// The day on which the longest unread of them was read last, by a run.
    pub not_read_since: Option<Day>,
    /// The newest run before that is not of an earlier state of this book.
    pub other_copy: Option<OtherCopy>,
}
