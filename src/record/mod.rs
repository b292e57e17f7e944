//! Values <-> rows of the stock book.
//!
//! In and out: values of the model. May not know: files beside its own database, rules.

mod at_odds;
mod edition;
mod file;
mod finding;
mod kept;
mod ledger;
mod photo;
mod piece;
mod previews;
mod repair;
mod sale;
mod shoot;
mod sidecar;
mod stock;
mod withdrawal;

use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

use rusqlite::Connection;
use rusqlite::Transaction;
use rusqlite::TransactionBehavior;

pub use edition::Edition;
pub use file::STEPS;
pub use kept::KeptFile;
pub use ledger::StoredLine;
pub use ledger::StoredSeal;
pub use photo::NewPhoto;
pub use photo::RemovedRow;
pub use photo::SourceFile;
pub use previews::Previews;
pub use shoot::MovedRow;
pub use sidecar::KeptText;
pub use sidecar::SidecarRow;
pub use sidecar::Text;
pub use stock::StockLine;
pub use withdrawal::Withdrawal;

use crate::kit::clock::Moment;
use crate::model::ids::StockNo;

/// How long a command waits for another that is writing.
const PATIENCE: Duration = Duration::from_secs(20);

/// Why the record could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// The database's own word.
    #[error("the stock book `{}` could not be read or written", path.display())]
    Database {
        /// Its file.
        path: PathBuf,
        /// Why.
        source: rusqlite::Error,
    },
    /// Not one of ours.
    #[error("`{}` is not a stock book of this program", .0.display())]
    NotABook(PathBuf),
    /// From a newer version of this program.
    #[error("the stock book `{}` was written by a newer asfound (format {found}; this one knows up to {known})", path.display())]
    Newer {
        /// Its file.
        path: PathBuf,
        /// Its format.
        found: usize,
        /// The newest format this program knows.
        known: usize,
    },
    /// From an older version of this program, where it cannot be brought up to date.
    #[error("the stock book `{}` was written by an older asfound and must be brought up to date where it can be written to", .0.display())]
    Older(PathBuf),
    /// Nobody may write to it here.
    #[error("the stock book `{}` can only be read here", .0.display())]
    ReadOnly(PathBuf),
    /// Changes lie beside the database that only somebody who may write there can take into it.
    #[error("the stock book `{}` was not closed properly, and cannot be written to here", .0.display())]
    Unfinished(PathBuf),
    /// A row that says what no version of this program wrote.
    #[error("the stock book holds a value that makes no sense: {0}")]
    Nonsense(String),
    /// No random numbers for the salt of a private part.
    #[error(transparent)]
    NoChance(crate::kit::random::RandomError),
    /// No such piece.
    #[error("there is no piece {0} in this book")]
    NoPiece(StockNo),
    /// The stock number is taken.
    #[error("the stock number {0} is taken")]
    Taken(StockNo),
}

impl RecordError {
    /// Whether the cause is a disk without room.
    #[must_use]
    pub fn is_full_disk(&self) -> bool {
        self.code() == Some(rusqlite::ErrorCode::DiskFull)
    }

    /// Whether the cause is a book that may not be written to.
    #[must_use]
    pub fn is_read_only(&self) -> bool {
        let code = self.code();
        let refused = Some(rusqlite::ErrorCode::ReadOnly);
        let not_opened = Some(rusqlite::ErrorCode::CannotOpen);
        let told = matches!(
            self,
            Self::Older(_) | Self::ReadOnly(_) | Self::Unfinished(_)
        );
        told || code == refused || code == not_opened
    }

    /// Whether another program kept the book busy for too long.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        matches!(
            self.code(),
            Some(rusqlite::ErrorCode::DatabaseBusy | rusqlite::ErrorCode::DatabaseLocked)
        )
    }

    fn code(&self) -> Option<rusqlite::ErrorCode> {
        let Self::Database { source, .. } = self else {
            return None;
        };
        source.sqlite_error_code()
    }
}

/// The stock book's database, open.
#[derive(Debug)]
pub struct Record {
    db: Connection,
    path: PathBuf,
    now: Moment,
    read_only: bool,
    /// Whether it is known that shoots, findings and stamps have their lines.
    is_covered: bool,
}

impl Record {
    /// Runs `job` in one transaction that takes the write lock at once.
    fn change<T>(
        &mut self,
        job: impl FnOnce(&Transaction<'_>) -> Result<T, Fault>,
    ) -> Result<T, RecordError> {
        let (now, is_covered) = (self.now, self.is_covered);
        let run = |db: &mut Connection| -> Result<T, Fault> {
            let change = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
            if !is_covered {
                ledger::cover(&change, now)?;
            }
            let done = job(&change)?;
            change.commit()?;
            Ok(done)
        };
        let done = run(&mut self.db).map_err(|fault| fault.at(&self.path))?;
        self.is_covered = true;
        Ok(done)
    }

    /// Runs `job` on the database for reading.
    fn look<T>(&self, job: impl FnOnce(&Connection) -> Result<T, Fault>) -> Result<T, RecordError> {
        job(&self.db).map_err(|fault| fault.at(&self.path))
    }
}

/// An error inside the room, before it is known where.
enum Fault {
    Sqlite(rusqlite::Error),
    Record(RecordError),
}

impl Fault {
    fn at(self, path: &Path) -> RecordError {
        match self {
            Self::Sqlite(source) => RecordError::Database {
                path: path.to_owned(),
                source,
            },
            Self::Record(error) => error,
        }
    }

    fn nonsense(about: impl std::fmt::Display) -> Self {
        Self::Record(RecordError::Nonsense(about.to_string()))
    }
}

impl From<crate::kit::random::RandomError> for Fault {
    fn from(error: crate::kit::random::RandomError) -> Self {
        Self::Record(RecordError::NoChance(error))
    }
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sqlite(error)
    }
}

impl From<RecordError> for Fault {
    fn from(error: RecordError) -> Self {
        Self::Record(error)
    }
}

/// A value as JSON text for a column.
fn json(value: &impl serde::Serialize) -> Result<String, Fault> {
    serde_json::to_string(value).map_err(Fault::nonsense)
}

/// A value from the JSON text of a column.
fn from_json<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, Fault> {
    serde_json::from_str(text).map_err(Fault::nonsense)
}

/// A value from its printed form in a column.
fn parsed<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str) -> Result<T, Fault> {
    text.parse().map_err(Fault::nonsense)
}

#[cfg(test)]
mod tests;
