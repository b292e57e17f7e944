//! Repairs.

use rusqlite::params;

use crate::model::ids::StockNo;
use crate::model::repair::Repair;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::json;
use crate::record::ledger;
use crate::record::piece::row_of;

impl Record {
    /// Enters a repair under the next number, whatever number it carries; gives that number.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn add_repair(&mut self, stock_no: &StockNo, repair: &Repair) -> Result<u32, RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            let no: u32 = db.query_row(
                "SELECT coalesce(max(no), 0) + 1 FROM repair WHERE piece = ?1",
                [piece],
                |row| row.get(0),
            )?;
            let told = Repair {
                no,
                ..repair.clone()
            };
            db.execute(
                "INSERT INTO repair (piece, no, day, told) VALUES (?1, ?2, ?3, ?4)",
                params![piece, no, repair.day.to_string(), json(&told)?],
            )?;
            ledger::repair(db, now, stock_no, &told)?;
            Ok(no)
        })
    }

    /// Replaces what was told of a repair; its number stays. The same again changes nothing.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn change_repair(
        &mut self,
        stock_no: &StockNo,
        repair: &Repair,
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let done = db.execute(
                "UPDATE repair SET day = ?3, told = ?4 WHERE piece = ?1 AND no = ?2 AND told IS NOT ?4",
                params![
                    row_of(db, stock_no)?,
                    repair.no,
                    repair.day.to_string(),
                    json(repair)?
                ],
            )?;
            match done {
                0 => Ok(()),
                _ => ledger::repair(db, now, stock_no, repair),
            }
        })
    }

    /// The repairs of a piece, by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn repairs(&self, stock_no: &StockNo) -> Result<Vec<Repair>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare("SELECT told FROM repair WHERE piece = ?1 ORDER BY no")?;
            let rows = ask.query_map([row_of(db, stock_no)?], |row| row.get::<_, String>(0))?;
            rows.map(|row| from_json(&row?)).collect()
        })
    }
}
