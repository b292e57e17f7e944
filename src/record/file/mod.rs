//! The database as a file: made, opened to write or only to read, brought up to the newest format, copied.
//!
//! In: a path. Out: a [`Record`] over it, whose format is the newest. May not know: what its rows say.

mod copy;
mod read_only;
pub(super) mod steps;

use std::path::Path;

use rusqlite::Connection;
use rusqlite::OpenFlags;

pub use steps::STEPS;

use crate::kit::clock::Moment;
use crate::record::PATIENCE;
use crate::record::Record;
use crate::record::RecordError;

impl Record {
    /// Makes a new database; `now` is the moment of every line of the ledger that this command writes.
    ///
    /// # Errors
    /// When the file cannot be made.
    pub fn make(path: &Path, now: Moment) -> Result<Self, RecordError> {
        Self::connect(path, OpenFlags::default(), now)
    }

    /// Opens a database that is there, and brings it up to the newest format; one that cannot be written to is opened for
    /// reading alone, as it is.
    ///
    /// # Errors
    /// When it is no stock book, is of a newer format, or cannot be read; where it cannot be written to, also when it is of an
    /// older format.
    pub fn open(path: &Path, now: Moment) -> Result<Self, RecordError> {
        if !read_only::is_writable(path) {
            return Self::open_to_read(path, now);
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_URI
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        match Self::connect(path, flags, now) {
            // The file may be written to, but nothing may be laid beside it.
            Err(error) if error.is_read_only() => Self::open_to_read(path, now),
            done => done,
        }
    }

    fn open_to_read(path: &Path, now: Moment) -> Result<Self, RecordError> {
        let db = read_only::connect(path)?;
        if steps::taken(&db, path)? < STEPS.len() {
            return Err(RecordError::Older(path.to_owned()));
        }
        Ok(Self {
            db,
            path: path.to_owned(),
            now,
            read_only: true,
            is_covered: false,
        })
    }

    /// Whether it was opened for reading alone, because it cannot be written to.
    #[must_use]
    pub fn is_read_only(&self) -> bool {
        self.read_only
    }

    fn connect(path: &Path, flags: OpenFlags, now: Moment) -> Result<Self, RecordError> {
        let wrong = |source| RecordError::Database {
            path: path.to_owned(),
            source,
        };
        let mut db = Connection::open_with_flags(path, flags).map_err(wrong)?;
        db.busy_timeout(PATIENCE).map_err(wrong)?;
        steps::bring_up(&mut db, path)?;
        let mut record = Self {
            db,
            path: path.to_owned(),
            now,
            read_only: false,
            is_covered: false,
        };
        record.begin_ledger()?;
        Ok(record)
    }

    /// Asks for a database that can be written to, before anything else is written.
    ///
    /// # Errors
    /// When it was opened for reading alone.
    pub fn needs_writable(&self) -> Result<(), RecordError> {
        if self.read_only {
            return Err(RecordError::ReadOnly(self.path.clone()));
        }
        Ok(())
    }
}
