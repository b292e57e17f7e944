//! The format of the database, step by step. A step once released is never edited.

use std::path::Path;

use rusqlite::Connection;
use rusqlite::TransactionBehavior;

use crate::record::RecordError;

/// The steps, in order; the number of steps taken is the database's `user_version`.
pub const STEPS: &[&str] = &[
    include_str!("migrations/0001_first.sql"),
    include_str!("migrations/0002_ledger.sql"),
    include_str!("migrations/0003_sale.sql"),
    include_str!("migrations/0004_withdrawn.sql"),
    include_str!("migrations/0005_moved.sql"),
];

/// `asfd` in ASCII: marks the file as a stock book of this program.
const APPLICATION_ID: i32 = 0x6173_6664;

/// How many steps were taken.
///
/// # Errors
/// When it is no stock book, is of a newer format, or cannot be read.
pub(super) fn taken(db: &Connection, path: &Path) -> Result<usize, RecordError> {
    let wrong = |source| RecordError::Database {
        path: path.to_owned(),
        source,
    };
    let number = |db: &Connection, name: &str| -> rusqlite::Result<i32> {
        db.pragma_query_value(None, name, |row| row.get(0))
    };
    let id = number(db, "application_id").map_err(|source| {
        if source.sqlite_error_code() == Some(rusqlite::ErrorCode::NotADatabase) {
            return RecordError::NotABook(path.to_owned());
        }
        wrong(source)
    })?;
    let tables: i64 = db
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
        .map_err(wrong)?;
    if id != APPLICATION_ID && (id != 0 || tables > 0) {
        return Err(RecordError::NotABook(path.to_owned()));
    }
    let version = number(db, "user_version").map_err(wrong)?;
    let taken = usize::try_from(version).map_err(|_| RecordError::NotABook(path.to_owned()))?;
    if taken > STEPS.len() {
        return Err(RecordError::Newer {
            path: path.to_owned(),
            found: taken,
            known: STEPS.len(),
        });
    }
    Ok(taken)
}

/// Takes the steps that are missing, each in one transaction, and sets up the connection.
pub(in crate::record) fn bring_up(db: &mut Connection, path: &Path) -> Result<(), RecordError> {
    let wrong = |source| RecordError::Database {
        path: path.to_owned(),
        source,
    };
    if taken(db, path)? < STEPS.len() {
        take_steps(db).map_err(wrong)?;
    }
    db.pragma_update(None, "foreign_keys", true)
        .map_err(wrong)?;
    db.pragma_update(None, "synchronous", "FULL").map_err(wrong)
}

fn take_steps(db: &mut Connection) -> rusqlite::Result<()> {
    db.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))?;
    loop {
        let step = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Asked again inside the lock: another window may have taken the step meanwhile.
        let taken: usize = step.pragma_query_value(None, "user_version", |row| row.get(0))?;
        let Some(sql) = STEPS.get(taken) else {
            return Ok(());
        };
        step.execute_batch(sql)?;
        step.pragma_update(None, "application_id", APPLICATION_ID)?;
        step.pragma_update(None, "user_version", taken + 1)?;
        step.commit()?;
    }
}
