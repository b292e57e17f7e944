//! Pieces that were withdrawn.

use rusqlite::OptionalExtension as _;
use rusqlite::params;
use serde::Serialize;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry_rows::PieceReinstated;
use crate::evidence::ledger::entry_rows::PieceWithdrawn;
use crate::kit::clock::Moment;
use crate::model::ids::StockNo;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::piece::row_of;

/// That a piece was withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Withdrawal {
    /// Why, in the owner's words.
    pub why: String,
    /// When.
    pub at: Moment,
}

impl Record {
    /// Withdraws a piece that is not withdrawn; all that was told of it stays.
    ///
    /// # Errors
    /// When there is no such piece, it is withdrawn, or the database cannot be written.
    pub fn withdraw_piece(&mut self, stock_no: &StockNo, why: &str) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            db.execute(
                "INSERT INTO withdrawn_piece (piece, why, withdrawn) VALUES (?1, ?2, ?3)",
                params![row_of(db, stock_no)?, why, now.to_string()],
            )?;
            let why = why.to_owned();
            let known = EntryKind::Withdrawn(PieceWithdrawn { why });
            ledger::enter(db, now, stock_no.as_str(), known, None)
        })
    }

    /// Brings a withdrawn piece back; `false` when it was not withdrawn.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn reinstate_piece(&mut self, stock_no: &StockNo) -> Result<bool, RecordError> {
        let now = self.now;
        self.change(|db| {
            let take = "DELETE FROM withdrawn_piece WHERE piece = ?1";
            let done = db.execute(take, [row_of(db, stock_no)?])?;
            if done > 0 {
                let known = EntryKind::Reinstated(PieceReinstated {});
                ledger::enter(db, now, stock_no.as_str(), known, None)?;
            }
            Ok(done > 0)
        })
    }

    /// That a piece is withdrawn; `None` when it is not.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn withdrawal(&self, stock_no: &StockNo) -> Result<Option<Withdrawal>, RecordError> {
        self.look(|db| {
            let ask = "SELECT why, withdrawn FROM withdrawn_piece WHERE piece = ?1";
            let row: Option<(String, String)> = db
                .query_row(ask, [row_of(db, stock_no)?], |row| {
                    Ok((row.get(0)?, row.get(1)?))
                })
                .optional()?;
            row.map(|(why, at)| {
                Ok(Withdrawal {
                    why,
                    at: parsed(&at)?,
                })
            })
            .transpose()
        })
    }
}
