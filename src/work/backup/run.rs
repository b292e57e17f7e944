//! What a run of a backup wrote down.

use std::fs;
use std::time::UNIX_EPOCH;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::copies::Sum;
use crate::kit::digest::Digest;

/// One run: the book as it was then. Its lists of files are objects, so that a folder that did not change costs one line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct Run {
    /// Its number, from 1.
    pub(in crate::work) run: u32,
    /// When it was made.
    pub(in crate::work) at: Moment,
    /// Hash of the first line of the book's ledger: which book it is.
    pub(in crate::work) book: Digest,
    /// How many lines the ledger had.
    pub(in crate::work) lines: u64,
    /// The sum of these lines; `None` in a run of an earlier version of this program.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) ledger: Option<Digest>,
    /// A run of another copy of the book that the person set aside: this book goes on without what that one has.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) set_aside: Option<u32>,
    /// The copy of the database.
    pub(in crate::work) database: Object,
    /// The key files.
    pub(in crate::work) keys: Vec<StoredKey>,
    /// The lists of files, by folder.
    pub(in crate::work) folders: Vec<Folder>,
}

/// Bytes that lie in a backup under their digest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct Object {
    /// Their SHA-256.
    pub(in crate::work) sha256: Digest,
    /// How many they are.
    pub(in crate::work) bytes: u64,
}

/// A key file of the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct StoredKey {
    /// Its name in the book.
    pub(in crate::work) path: String,
    /// The public half of the key, under which it lies in the backup.
    pub(in crate::work) public: Digest,
}

/// A folder at the top of the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct Folder {
    /// Its name; empty for the files at the top itself.
    pub(in crate::work) name: String,
    /// The list of its files: JSON of [`StoredFile`]s.
    pub(in crate::work) list: Object,
}

/// A file of the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct StoredFile {
    /// Its path in the book, with `/`.
    pub(in crate::work) path: String,
    /// Its bytes.
    #[serde(flatten)]
    pub(in crate::work) object: Object,
    /// Whether it must not be written to.
    pub(in crate::work) read_only: bool,
    /// When a file that had the bytes it must have was last changed, in ns since 1970: one that was not is not read again. Not of short
    /// files that the record does not know, nor of what was amiss.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) changed: Option<u64>,
    /// Its number in the file system, where it has one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) inode: Option<u64>,
    /// How its bytes lay in the backup when they were read there last.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) kept: Option<Changed>,
    /// When both its bytes in the book and those in the backup had been read, by this run or those before.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) read: Option<Day>,
}

impl StoredFile {
    /// How it lay there; `None` where it is read each time.
    pub(in crate::work) fn changed(&self) -> Option<Changed> {
        Some(Changed {
            at: self.changed?,
            inode: self.inode,
            bytes: self.object.bytes,
        })
    }
}

/// By what is seen that a file changed, without reading it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct Changed {
    /// The later of the times at which its bytes and its entry changed, in ns since 1970; 0 in a bucket.
    pub(in crate::work) at: u64,
    /// Its number in the file system, where it has one; in a bucket, a number made of the tag that the server gave its bytes.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub(in crate::work) inode: Option<u64>,
    /// Its length.
    pub(in crate::work) bytes: u64,
}

impl Changed {
    /// Of a file; `None` on a system that keeps no times.
    pub(in crate::work) fn of(found: &fs::Metadata) -> Option<Self> {
        let since = found.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
        let modified = u64::try_from(since.as_nanos()).ok()?;
        #[cfg(unix)]
        let (at, inode) = {
            use std::os::unix::fs::MetadataExt as _;
            // A time that was set back by hand shows in the time of the entry.
            let entry = found.ctime().checked_mul(1_000_000_000)?;
            let entry = u64::try_from(entry.checked_add(found.ctime_nsec())?).ok()?;
            (modified.max(entry), Some(found.ino()))
        };
        #[cfg(not(unix))]
        let (at, inode) = (modified, None);
        let bytes = found.len();
        Some(Self { at, inode, bytes })
    }

    /// Of an object in a bucket, by the tag that it has while its bytes are the same.
    /// `None` where the server gives none.
    pub(in crate::work) fn of_tag(tag: &str, bytes: u64) -> Option<Self> {
        let mut first = [0; 8];
        first.copy_from_slice(&Digest::of(tag.as_bytes()).0[..8]);
        let inode = Some(u64::from_le_bytes(first));
        let at = 0;
        (!tag.is_empty()).then_some(Self { at, inode, bytes })
    }
}

impl From<Sum> for Object {
    fn from(it: Sum) -> Self {
        Self {
            sha256: it.sha256,
            bytes: it.bytes,
        }
    }
}

impl From<Object> for Sum {
    fn from(it: Object) -> Self {
        Self {
            sha256: it.sha256,
            bytes: it.bytes,
        }
    }
}

/// A file of a book or backup that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Amiss {
    /// Its path in the book.
    pub file: String,
    /// What is wrong, and what was done.
    pub why: String,
}
