//! Papers and messages put by with a piece.

use rusqlite::params;
use serde_json::json;

use crate::evidence::ledger::entry::Countersigned;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::Kept;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::piece::row_of;

/// A paper or message that was put by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptFile {
    /// Its name in the piece's `kept` folder.
    pub name: String,
    /// Its digest.
    pub sha256: Digest,
    /// When it was put by.
    pub kept: Moment,
}

impl Record {
    /// Enters a file that was put by under this name in the piece's `kept` folder, with its line in the ledger.
    ///
    /// # Errors
    /// When the piece has one of that name, or the database cannot be written.
    pub fn add_kept(
        &mut self,
        stock_no: &StockNo,
        name: &str,
        sha256: Digest,
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            let next = "SELECT coalesce(max(no), 0) + 1 FROM kept_file WHERE piece = ?1";
            let no: u32 = db.query_row(next, [piece], |row| row.get(0))?;
            db.execute(
                "INSERT INTO kept_file (piece, no, name, digest, kept) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![piece, no, name, sha256.0, now.to_string()],
            )?;
            let name = name.to_owned();
            let known = EntryKind::Kept(Kept { name, sha256 });
            ledger::enter(db, now, stock_no.as_str(), known, None)
        })
    }

    /// Enters that the other side confirmed a seal, in a paper or message that was put by before; who it was is private.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn add_countersigned(
        &mut self,
        stock_no: &StockNo,
        it: &Countersigned,
        who: Option<&str>,
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            row_of(db, stock_no)?;
            let private = who.map(|it| json!({ "who": it }));
            let known = EntryKind::Countersigned(it.clone());
            ledger::enter(db, now, stock_no.as_str(), known, private)
        })
    }

    /// What was put by with a piece, in the order in which it was.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn kept(&self, stock_no: &StockNo) -> Result<Vec<KeptFile>, RecordError> {
        self.look(|db| {
            let ask = "SELECT name, digest, kept FROM kept_file WHERE piece = ?1 ORDER BY no";
            let mut ask = db.prepare(ask)?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(KeptFile {
                    name: row.get(0)?,
                    sha256: Digest(row.get(1)?),
                    kept: parsed(&row.get::<_, String>(2)?)?,
                });
            }
            Ok(found)
        })
    }
}
