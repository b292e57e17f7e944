//! The database as a whole: copied as it stands at one moment, and such a copy read.

use std::path::Path;

use crate::kit::clock::Moment;
use crate::record::Record;
use crate::record::RecordError;

impl Record {
    /// Writes all of it to a new file, as it stands at one moment, while others may read and write; equal contents give equal bytes.
    ///
    /// # Errors
    /// When there is a file already, no room for one, or the database cannot be read.
    pub fn copy_to(&self, path: &Path) -> Result<(), RecordError> {
        let name = path.to_str().ok_or_else(|| RecordError::Database {
            path: path.to_owned(),
            source: rusqlite::Error::InvalidPath(path.to_owned()),
        })?;
        self.look(|db| {
            db.execute("VACUUM INTO ?1", [name])?;
            Ok(())
        })
    }

    /// Opens such a copy, which nobody may write to; nothing is laid beside it.
    ///
    /// # Errors
    /// When it is no stock book, is of another format, or cannot be read.
    pub fn open_copy(path: &Path, now: Moment) -> Result<Self, RecordError> {
        Self::open_to_read(path, now)
    }
}
