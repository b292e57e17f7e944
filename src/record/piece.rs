//! Pieces.

use rusqlite::Connection;
use rusqlite::OptionalExtension as _;
use rusqlite::params;
use serde::Deserialize;

use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::piece::Lack;
use crate::model::piece::LackTold;
use crate::model::piece::Piece;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::json;
use crate::record::ledger;
use crate::record::parsed;

impl Record {
    /// Enters a piece.
    ///
    /// # Errors
    /// When its stock number or folder is taken, or the database cannot be written.
    pub fn add_piece(&mut self, piece: &Piece) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let taken = db
                .query_row(
                    "SELECT 1 FROM piece WHERE stock_no = ?1",
                    [piece.stock_no.as_str()],
                    |_| Ok(()),
                )
                .optional()?;
            if taken.is_some() {
                return Err(RecordError::Taken(piece.stock_no.clone()).into());
            }
            db.execute(
                "INSERT INTO piece (stock_no, title, form, folder, taken_in, told) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    piece.stock_no.as_str(),
                    piece.title,
                    piece.form,
                    piece.folder,
                    piece.taken_in.to_string(),
                    json(piece)?
                ],
            )?;
            ledger::piece(db, now, piece)
        })
    }

    /// Replaces what was told of a piece; its stock number and folder stay. The same again changes nothing.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn change_piece(&mut self, piece: &Piece) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let done = db.execute(
                "UPDATE piece SET title = ?2, form = ?3, told = ?4 WHERE stock_no = ?1 AND told IS NOT ?4",
                params![
                    piece.stock_no.as_str(),
                    piece.title,
                    piece.form,
                    json(piece)?
                ],
            )?;
            if done == 0 {
                return row_of(db, &piece.stock_no).map(|_| ());
            }
            ledger::piece(db, now, piece)
        })
    }

    /// One piece.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn piece(&self, stock_no: &StockNo) -> Result<Piece, RecordError> {
        self.look(|db| {
            let told: Option<String> = db
                .query_row(
                    "SELECT told FROM piece WHERE stock_no = ?1",
                    [stock_no.as_str()],
                    |row| row.get(0),
                )
                .optional()?;
            let told = told.ok_or_else(|| RecordError::NoPiece(stock_no.clone()))?;
            from_json(&told)
        })
    }

    /// Which parts a piece was told to lack, change by change in the order of the lines; of what an older book held when its ledger
    /// began nothing, as no line tells when that was told.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn lacks_told(&self, stock_no: &StockNo) -> Result<Vec<LackTold>, RecordError> {
        self.look(|db| lacks_told(db, stock_no))
    }

    /// All stock numbers, in order.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn stock_numbers(&self) -> Result<Vec<StockNo>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare("SELECT stock_no FROM piece ORDER BY stock_no")?;
            let rows = ask.query_map([], |row| row.get::<_, String>(0))?;
            rows.map(|row| parsed(&row?)).collect()
        })
    }

    /// The running number that the next piece of `year` gets.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn next_running(&self, year: i16) -> Result<u32, RecordError> {
        let prefix = format!("{:02}-", year.rem_euclid(100));
        let numbers = self.stock_numbers()?;
        let running = numbers
            .iter()
            .filter_map(|it| it.as_str().strip_prefix(&prefix)?.parse::<u32>().ok());
        Ok(running.max().unwrap_or(0) + 1)
    }
}

fn lacks_told(db: &Connection, stock_no: &StockNo) -> Result<Vec<LackTold>, Fault> {
    let mut now = [Vec::new(), Vec::new()];
    let mut changes = Vec::new();
    let in_one_go = ledger::built_later(db)?;
    for line in ledger::of_piece(db, stock_no)? {
        let private = line.private;
        let Ok(line) = LedgerLine::read(&line.text) else {
            continue;
        };
        let Ok(Entry::Known(EntryKind::Piece(it))) = Entry::read(&line) else {
            continue;
        };
        // A line from before that was told to anybody tells it privately.
        let (absent, never_had) = match (it.absent, it.never_had, private) {
            (Some(absent), Some(never_had), _) => (absent, never_had),
            (_, _, Some(private)) => {
                let private: Private = from_json(&private)?;
                (private.told.absent, private.told.never_had)
            }
            _ => continue,
        };
        let told = [(Lack::Absent, absent), (Lack::NeverHad, never_had)];
        for ((lack, told), now) in told.into_iter().zip(&mut now) {
            let was = std::mem::replace(now, told);
            let only = |these: &[PartId], others: &[PartId]| -> Vec<PartId> {
                let only = these.iter().filter(|it| !others.contains(it));
                only.cloned().collect()
            };
            let (told, no_more) = (only(now, &was), only(&was, now));
            if in_one_go != Some(line.at) && !(told.is_empty() && no_more.is_empty()) {
                changes.push(LackTold {
                    line: line.no,
                    at: line.at,
                    lack,
                    told,
                    no_more,
                });
            }
        }
    }
    Ok(changes)
}

/// The private part of a line about a piece.
#[derive(Deserialize)]
struct Private {
    told: Piece,
}

/// The row id of a piece.
pub(super) fn row_of(db: &Connection, stock_no: &StockNo) -> Result<i64, Fault> {
    let found = db
        .query_row(
            "SELECT id FROM piece WHERE stock_no = ?1",
            [stock_no.as_str()],
            |row| row.get(0),
        )
        .optional()?;
    found.ok_or_else(|| RecordError::NoPiece(stock_no.clone()).into())
}
