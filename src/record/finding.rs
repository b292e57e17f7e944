//! Numbers of findings, given out once.

use rusqlite::Connection;
use rusqlite::params;

use crate::model::finding::FindingKey;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::piece::row_of;

impl Record {
    /// Gives the next numbers to `keys`, in their order, each with its line; keys that have one keep it.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn number_findings(
        &mut self,
        stock_no: &StockNo,
        keys: &[FindingKey],
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            for key in keys {
                let new = db.execute(
                    "INSERT INTO finding (piece, no, part, tag, which)
                     VALUES (?1, (SELECT coalesce(max(no), 0) + 1 FROM finding WHERE piece = ?1), ?2, ?3, ?4)
                     ON CONFLICT (piece, part, tag, which) DO NOTHING",
                    params![piece, key.part.as_str(), key.tag, key.which],
                )?;
                if new == 0 {
                    continue;
                }
                let no = db.query_row(
                    "SELECT max(no) FROM finding WHERE piece = ?1",
                    [piece],
                    |row| row.get(0),
                )?;
                let it = NumberedFinding {
                    no: FindingNo(no),
                    key: key.clone(),
                };
                ledger::finding(db, now, stock_no, &it, false)?;
            }
            Ok(())
        })
    }

    /// The numbered findings of a piece, by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn findings(&self, stock_no: &StockNo) -> Result<Vec<NumberedFinding>, RecordError> {
        self.look(|db| all(db, row_of(db, stock_no)?))
    }
}

/// The numbered findings of the piece of this row, by number.
pub(super) fn all(db: &Connection, piece: i64) -> Result<Vec<NumberedFinding>, Fault> {
    let mut ask =
        db.prepare("SELECT no, part, tag, which FROM finding WHERE piece = ?1 ORDER BY no")?;
    let mut rows = ask.query([piece])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push(NumberedFinding {
            no: FindingNo(row.get(0)?),
            key: FindingKey {
                part: parsed(&row.get::<_, String>(1)?)?,
                tag: row.get(2)?,
                which: row.get(3)?,
            },
        });
    }
    Ok(found)
}
