//! Small pictures, and what was found in pictures, in a database of their own that may be deleted and is made again.

use std::path::Path;
use std::path::PathBuf;

use rusqlite::Connection;
use rusqlite::OptionalExtension as _;
use rusqlite::params;

use crate::kit::digest::Digest;
use crate::model::picture::SmallPicture;
use crate::record::PATIENCE;
use crate::record::RecordError;

const TABLE: &str = "
CREATE TABLE IF NOT EXISTS small (
    digest  BLOB NOT NULL,     -- SHA-256 of the original, 32 bytes
    kind    TEXT NOT NULL,     -- preview, thumb, or how it was cut
    width   INTEGER NOT NULL,  -- pixels, upright
    height  INTEGER NOT NULL,
    jpeg    BLOB NOT NULL,
    PRIMARY KEY (digest, kind)
) STRICT;
CREATE TABLE IF NOT EXISTS found (
    asked   BLOB NOT NULL PRIMARY KEY,  -- SHA-256 of all that the answer rests on
    answer  TEXT NOT NULL               -- JSON
) STRICT, WITHOUT ROWID";

/// In which way small pictures are made, counted up when it changes what they show; those made otherwise are made again.
/// 1: in sRGB, whatever the colours of the original.
const WAY: i64 = 1;

/// The database of small pictures, open.
#[derive(Debug)]
pub struct Previews {
    db: Connection,
    path: PathBuf,
}

impl Previews {
    /// Opens the database, and makes it when it is not there or is broken: nothing in it is worth an error.
    ///
    /// # Errors
    /// When it can be neither opened nor made.
    pub fn open(path: &Path) -> Result<Self, RecordError> {
        let mut tries = 0;
        loop {
            match Self::connect(path) {
                // Who makes a new database with others at the same time is refused at once, whatever the patience.
                Err(error) if error.is_busy() && tries < 40 => {
                    tries += 1;
                    std::thread::sleep(PATIENCE / 200);
                }
                Err(error) => return Self::make_again(path, error),
                Ok(it) => return Ok(it),
            }
        }
    }

    /// Makes the database anew where `error` says that it is broken.
    fn make_again(path: &Path, error: RecordError) -> Result<Self, RecordError> {
        let broken = matches!(
            error.code(),
            Some(rusqlite::ErrorCode::NotADatabase | rusqlite::ErrorCode::DatabaseCorrupt)
        );
        if !broken || std::fs::remove_file(path).is_err() {
            return Err(error);
        }
        for ending in ["-wal", "-shm"] {
            let mut name = path.as_os_str().to_owned();
            name.push(ending);
            // Usually there is none; SQLite itself refuses one that does not belong to the new file.
            let _ = std::fs::remove_file(name);
        }
        Self::connect(path)
    }

    /// Puts a new database in the place of one found broken while in use.
    fn renew(&mut self, error: RecordError) -> Result<(), RecordError> {
        self.db = Connection::open_in_memory().map_err(|source| wrong(&self.path, source))?;
        self.db = Self::make_again(&self.path, error)?.db;
        Ok(())
    }

    fn connect(path: &Path) -> Result<Self, RecordError> {
        let open = || {
            let db = Connection::open(path)?;
            db.busy_timeout(PATIENCE)?;
            // Derived data: a lost write after a power cut is made again.
            db.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))?;
            db.pragma_update(None, "synchronous", "OFF")?;
            db.execute_batch(TABLE)?;
            let way: i64 = db.pragma_query_value(None, "user_version", |row| row.get(0))?;
            if way != WAY {
                db.execute("DELETE FROM small", [])?;
                db.pragma_update(None, "user_version", WAY)?;
            }
            Ok(db)
        };
        let db = open().map_err(|source| wrong(path, source))?;
        Ok(Self {
            db,
            path: path.to_owned(),
        })
    }

    /// A picture, if it is there. A database found broken is made anew, and nothing is there then.
    ///
    /// # Errors
    /// When the database cannot be read or made.
    pub fn get(&mut self, digest: Digest, kind: &str) -> Result<Option<SmallPicture>, RecordError> {
        match self.look_for(digest, kind) {
            Ok(found) => Ok(found),
            Err(error) => self.renew(error).map(|()| None),
        }
    }

    fn look_for(&self, digest: Digest, kind: &str) -> Result<Option<SmallPicture>, RecordError> {
        let ask = || {
            let mut ask = self.db.prepare_cached(
                "SELECT jpeg, width, height FROM small WHERE digest = ?1 AND kind = ?2",
            )?;
            ask.query_row(params![digest.0, kind], |row| {
                Ok(SmallPicture {
                    jpeg: row.get(0)?,
                    width: row.get(1)?,
                    height: row.get(2)?,
                })
            })
            .optional()
        };
        ask().map_err(|source| wrong(&self.path, source))
    }

    /// Stores pictures, in one transaction; one that is there is replaced. A database found broken is made anew.
    ///
    /// # Errors
    /// When the database cannot be written or made.
    pub fn put(
        &mut self,
        digest: Digest,
        pictures: &[(&str, &SmallPicture)],
    ) -> Result<(), RecordError> {
        self.store(digest, pictures).or_else(|error| {
            self.renew(error)?;
            self.store(digest, pictures)
        })
    }

    fn store(
        &mut self,
        digest: Digest,
        pictures: &[(&str, &SmallPicture)],
    ) -> Result<(), RecordError> {
        let mut store = || {
            let change = self.db.transaction()?;
            for (kind, it) in pictures {
                change.execute(
                    "INSERT OR REPLACE INTO small (digest, kind, jpeg, width, height) VALUES (?1, ?2, ?3, ?4, ?5)",
                    params![digest.0, kind, it.jpeg, it.width, it.height],
                )?;
            }
            change.commit()
        };
        store().map_err(|source| wrong(&self.path, source))
    }

    /// What was found when this was asked before; nothing where it was not, or the database cannot be read.
    pub fn found(&self, asked: Digest) -> Option<String> {
        let ask = "SELECT answer FROM found WHERE asked = ?1";
        let mut ask = self.db.prepare_cached(ask).ok()?;
        ask.query_row(params![asked.0], |row| row.get(0)).ok()
    }

    /// Keeps answers, in one transaction.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn keep_found(&mut self, answers: &[(Digest, String)]) -> Result<(), RecordError> {
        let mut store = || {
            let change = self.db.transaction()?;
            for (asked, answer) in answers {
                let put = "INSERT OR REPLACE INTO found (asked, answer) VALUES (?1, ?2)";
                change.execute(put, params![asked.0, answer])?;
            }
            change.commit()
        };
        store().map_err(|source| wrong(&self.path, source))
    }
}

fn wrong(path: &Path, source: rusqlite::Error) -> RecordError {
    RecordError::Database {
        path: path.to_owned(),
        source,
    }
}
