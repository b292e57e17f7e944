//! Editions of reports.

use rusqlite::Connection;
use rusqlite::params;
use serde_json::Value;
use serde_json::json;

use crate::evidence::ledger::entry::EditionMade;
use crate::evidence::ledger::entry::EntryKind;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::piece::row_of;

/// One issue of a report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edition {
    /// Number, from 1, for each kind of reader.
    pub no: u32,
    /// The day it was made.
    pub made: Day,
    /// SHA-256 of the page.
    pub digest: Digest,
    /// Where it was written.
    pub path: String,
    /// JSON of what it states; `None` of one that was made before that was kept.
    pub stated: Option<String>,
}

impl Record {
    /// All editions of a piece with their readers, by reader and number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn editions(&self, stock_no: &StockNo) -> Result<Vec<(String, Edition)>, RecordError> {
        self.look(|db| all(db, row_of(db, stock_no)?))
    }

    /// Enters an edition.
    ///
    /// # Errors
    /// When its number is taken, or the database cannot be written.
    pub fn add_edition(
        &mut self,
        stock_no: &StockNo,
        reader: &str,
        edition: &Edition,
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            db.execute(
                "INSERT INTO edition (piece, reader, no, made, digest, path) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    row_of(db, stock_no)?,
                    reader,
                    edition.no,
                    edition.made.to_string(),
                    edition.digest.0,
                    edition.path
                ],
            )?;
            if let Some(stated) = &edition.stated {
                db.execute(
                    "INSERT INTO edition_stated (piece, reader, no, stated) VALUES (?1, ?2, ?3, ?4)",
                    params![row_of(db, stock_no)?, reader, edition.no, stated],
                )?;
            }
            enter(db, now, stock_no, reader, edition)
        })
    }
}

/// All editions of the piece of this row, with their readers, by reader and number.
pub(super) fn all(db: &Connection, piece: i64) -> Result<Vec<(String, Edition)>, Fault> {
    let mut ask = db.prepare(
        "SELECT reader, no, made, digest, path, stated FROM edition LEFT JOIN edition_stated USING (piece, reader, no)
         WHERE piece = ?1 ORDER BY reader, no",
    )?;
    let mut rows = ask.query([piece])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let edition = Edition {
            no: row.get(1)?,
            made: parsed(&row.get::<_, String>(2)?)?,
            digest: Digest(row.get(3)?),
            path: row.get(4)?,
            stated: row.get(5)?,
        };
        found.push((row.get(0)?, edition));
    }
    Ok(found)
}

/// An edition of a report; what the next one is compared with stands beside it.
pub(super) fn enter(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    reader: &str,
    edition: &Edition,
) -> Result<(), Fault> {
    let known = EntryKind::Edition(EditionMade {
        reader: reader.to_owned(),
        no: edition.no,
        sha256: edition.digest,
        made: edition.made,
    });
    let stated = edition.stated.as_deref().map(from_json).transpose()?;
    let private = stated.map(|it: Value| json!({ "stated": it }));
    ledger::enter(db, at, stock_no.as_str(), known, private)
}
