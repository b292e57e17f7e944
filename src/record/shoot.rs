//! Shoots.

use rusqlite::Connection;
use rusqlite::params;

use crate::model::ids::StockNo;
use crate::model::photo::Shoot;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::piece::row_of;

impl Record {
    /// Enters a shoot, with its line.
    ///
    /// # Errors
    /// When its number is taken, or the database cannot be written.
    pub fn add_shoot(&mut self, stock_no: &StockNo, shoot: &Shoot) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            db.execute(
                "INSERT INTO shoot (piece, no, stage, day, folder) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    row_of(db, stock_no)?,
                    shoot.no,
                    shoot.stage.word(),
                    shoot.day.to_string(),
                    shoot.folder
                ],
            )?;
            ledger::shoot(db, now, stock_no, shoot, false)
        })
    }

    /// Puts right the occasion and the day of a shoot; its folder stays. The same again changes nothing.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn change_shoot(&mut self, stock_no: &StockNo, shoot: &Shoot) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let done = db.execute(
                "UPDATE shoot SET stage = ?3, day = ?4 WHERE piece = ?1 AND no = ?2 AND (stage IS NOT ?3 OR day IS NOT ?4)",
                params![
                    row_of(db, stock_no)?,
                    shoot.no,
                    shoot.stage.word(),
                    shoot.day.to_string()
                ],
            )?;
            match done {
                0 => Ok(()),
                _ => ledger::shoot(db, now, stock_no, shoot, false),
            }
        })
    }

    /// The shoots of a piece, by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn shoots(&self, stock_no: &StockNo) -> Result<Vec<Shoot>, RecordError> {
        self.look(|db| all(db, row_of(db, stock_no)?))
    }
}

/// The shoots of the piece of this row, by number.
pub(super) fn all(db: &Connection, piece: i64) -> Result<Vec<Shoot>, Fault> {
    let mut ask =
        db.prepare("SELECT no, stage, day, folder FROM shoot WHERE piece = ?1 ORDER BY no")?;
    let mut rows = ask.query([piece])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push(Shoot {
            no: row.get(0)?,
            stage: parsed(&row.get::<_, String>(1)?)?,
            day: parsed(&row.get::<_, String>(2)?)?,
            folder: row.get(3)?,
        });
    }
    Ok(found)
}
