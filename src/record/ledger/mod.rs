//! The ledger: one line for everything that enters the book, written in the same transaction as the thing itself.
//!
//! In: what was entered, by each kind of row. Out: the lines, those that a book from before its ledger lacks, and the seals over them.

mod history;
mod seal;

use rusqlite::Connection;
use rusqlite::OptionalExtension as _;
use rusqlite::params;
use serde_json::Value;
use serde_json::json;

pub(super) use history::cover;
pub use seal::StoredSeal;

use crate::evidence::ledger::entry::ClockCorrected;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::ledger::entry::SaleRecorded;
use crate::evidence::ledger::entry::SaleWithdrawn;
use crate::evidence::ledger::entry::SidecarRead;
use crate::evidence::ledger::entry_rows::FindingNumbered;
use crate::evidence::ledger::entry_rows::ShootBegun;
use crate::evidence::ledger::entry_rows::TakenIn;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::line::VERSION;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::json::canonical::canonical;
use crate::kit::random;
use crate::model::facts::Facts;
use crate::model::finding::NumberedFinding;
use crate::model::ids::StockNo;
use crate::model::photo::Shoot;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::sale::Sale;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::parsed;

/// A line as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredLine {
    /// Its place in the ledger, from 0.
    pub no: u64,
    /// Its canonical text.
    pub text: String,
    /// Its hash as a leaf.
    pub leaf: Digest,
    /// The text of its private part, if it has one.
    pub private: Option<String>,
}

impl Record {
    /// The hashes of all lines, in order.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn leaves(&self) -> Result<Vec<Digest>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare("SELECT leaf FROM ledger ORDER BY no")?;
            let rows = ask.query_map([], |row| Ok(Digest(row.get(0)?)))?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// All lines, in order.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn lines(&self) -> Result<Vec<StoredLine>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare("SELECT no, line, leaf, private FROM ledger ORDER BY no")?;
            let rows = ask.query_map([], stored)?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// The lines from this place on, in order.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn lines_from(&self, no: u64) -> Result<Vec<StoredLine>, RecordError> {
        self.look(|db| {
            let ask = "SELECT no, line, leaf, private FROM ledger WHERE no >= ?1 ORDER BY no";
            let mut ask = db.prepare(ask)?;
            let rows = ask.query_map([no], stored)?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// The lines of a piece, in order.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn lines_of(&self, stock_no: &StockNo) -> Result<Vec<StoredLine>, RecordError> {
        self.look(|db| of_piece(db, stock_no))
    }

    /// The first line, which names the book.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn first_line(&self) -> Result<Option<StoredLine>, RecordError> {
        self.look(|db| {
            let ask = "SELECT no, line, leaf, private FROM ledger WHERE no = 0";
            Ok(db.query_row(ask, [], stored).optional()?)
        })
    }
}

/// The lines of a piece, in order.
pub(super) fn of_piece(db: &Connection, stock_no: &StockNo) -> Result<Vec<StoredLine>, Fault> {
    let ask = "SELECT no, line, leaf, private FROM ledger WHERE piece = ?1 ORDER BY no";
    let mut ask = db.prepare(ask)?;
    let rows = ask.query_map([stock_no.as_str()], stored)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// When the ledger of an older book began: what the book held then was put into lines in one go. `None` of a book that always had one.
pub(super) fn built_later(db: &Connection) -> Result<Option<Moment>, Fault> {
    let ask = "SELECT line FROM ledger WHERE no = 0";
    let first: Option<String> = db.query_row(ask, [], |row| row.get(0)).optional()?;
    let Some(Ok(line)) = first.map(|it| LedgerLine::read(&it)) else {
        return Ok(None);
    };
    Ok(match Entry::read(&line) {
        Ok(Entry::Known(EntryKind::Begun(it))) if it.built_later => Some(line.at),
        _ => None,
    })
}

pub(super) fn stored(row: &rusqlite::Row<'_>) -> rusqlite::Result<StoredLine> {
    Ok(StoredLine {
        no: row.get(0)?,
        text: row.get(1)?,
        leaf: Digest(row.get(2)?),
        private: row.get(3)?,
    })
}

/// Writes the next line.
pub(super) fn enter(
    db: &Connection,
    at: Moment,
    piece: &str,
    known: EntryKind,
    private: Option<Value>,
) -> Result<(), Fault> {
    let no: u64 = db.query_row("SELECT coalesce(max(no) + 1, 0) FROM ledger", [], |row| {
        row.get(0)
    })?;
    let private = private.map(salted).transpose()?;
    let entry = Entry::from(known);
    let line = LedgerLine {
        v: VERSION,
        no,
        in_piece: Some(next_of_piece(db, piece)?),
        at,
        what: entry.kind(),
        piece: piece.to_owned(),
        open: entry.public(),
        private: private.as_ref().map(|it| Digest::of(it.as_bytes())),
    };
    let mut write = db.prepare_cached(
        "INSERT INTO ledger (no, line, leaf, piece, private) VALUES (?1, ?2, ?3, ?4, ?5)",
    )?;
    write.execute(params![no, line.text(), line.leaf().0, piece, private])?;
    Ok(())
}

/// The running number of the next line about a piece; lines from before there were such numbers count too.
fn next_of_piece(db: &Connection, piece: &str) -> Result<u64, Fault> {
    let ask = "SELECT line FROM ledger WHERE piece = ?1 ORDER BY no DESC LIMIT 1";
    let mut ask = db.prepare_cached(ask)?;
    let last: Option<String> = ask.query_row([piece], |row| row.get(0)).optional()?;
    let Some(last) = last else { return Ok(0) };
    match LedgerLine::read(&last).map_err(Fault::nonsense)?.in_piece {
        Some(it) => Ok(it + 1),
        None => {
            let ask = "SELECT count(*) FROM ledger WHERE piece = ?1";
            Ok(db.query_row(ask, [piece], |row| row.get(0))?)
        }
    }
}

/// A private part with random salt before it, so that nobody can guess it from its digest.
fn salted(told: Value) -> Result<String, Fault> {
    let salt: [u8; 16] = random::draw()?;
    let salt: String = salt.iter().map(|it| format!("{it:02x}")).collect();
    canonical(&json!({"salt": salt, "told": told})).map_err(Fault::nonsense)
}

/// What was told of a piece; all of it is private but its name, its form, and which parts it lacks.
pub(super) fn piece(db: &Connection, at: Moment, piece: &Piece) -> Result<(), Fault> {
    let known = EntryKind::Piece(TakenIn::from(piece));
    let told = serde_json::to_value(piece).map_err(Fault::nonsense)?;
    enter(db, at, piece.stock_no.as_str(), known, Some(told))
}

/// The photo of this row; what its bytes say of camera and place is private.
pub(super) fn photo(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    row: i64,
) -> Result<(), Fault> {
    let ask = "SELECT photo.no, shoot.no, shoot.stage, photo.name, photo.digest, photo.bytes, photo.facts,
                      photo.clock_off, photo.imported
               FROM photo JOIN shoot ON shoot.id = photo.shoot WHERE photo.id = ?1";
    let mut ask = db.prepare_cached(ask)?;
    let mut rows = ask.query([row])?;
    let row = rows
        .next()?
        .ok_or_else(|| Fault::nonsense("a photo without a shoot"))?;
    let facts: String = row.get(6)?;
    let camera_time = from_json::<Facts>(&facts)?.camera_time;
    let known = EntryKind::Photo(PhotoTaken {
        photo: row.get(0)?,
        shoot: row.get(1)?,
        stage: parsed(&row.get::<_, String>(2)?)?,
        name: row.get(3)?,
        sha256: Digest(row.get(4)?),
        bytes: row.get(5)?,
        camera_time,
        clock_off: ClockOff {
            seconds: row.get(7)?,
        },
        imported: parsed(&row.get::<_, String>(8)?)?,
    });
    enter(db, at, stock_no.as_str(), known, Some(from_json(&facts)?))
}

/// The text of a photo's sidecar, good or bad.
pub(super) fn sidecar(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    photo: u32,
    text: &str,
) -> Result<(), Fault> {
    let sha256 = Digest::of(text.as_bytes());
    let known = EntryKind::Sidecar(SidecarRead { photo, sha256 });
    enter(db, at, stock_no.as_str(), known, None)
}

/// A repair as told, at first or anew; its hours, cost and private note stay private.
pub(super) fn repair(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    repair: &Repair,
) -> Result<(), Fault> {
    let known = EntryKind::Repair(repair.into());
    let private = json!({
        "minutes": repair.minutes,
        "cost": repair.cost,
        "private_note": repair.private_note,
    });
    enter(db, at, stock_no.as_str(), known, Some(private))
}

/// A sale as told, at first or anew; price, buyer and note stay private.
pub(super) fn sale(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    sale: &Sale,
) -> Result<(), Fault> {
    let known = EntryKind::Sale(SaleRecorded { day: sale.day });
    let private = json!({"price": sale.price, "to": sale.to, "note": sale.note});
    enter(db, at, stock_no.as_str(), known, Some(private))
}

/// A sale that did not come about, and the day on which it was taken back.
pub(super) fn unsold(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    sale: &Sale,
    on: Day,
    why: Option<&str>,
) -> Result<(), Fault> {
    let known = EntryKind::Unsold(SaleWithdrawn {
        day: sale.day,
        on: Some(on),
    });
    enter(
        db,
        at,
        stock_no.as_str(),
        known,
        Some(json!({ "on": on, "why": why })),
    )
}

/// A finding with its number; `later`: it had the number before findings had lines.
pub(super) fn finding(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    it: &NumberedFinding,
    later: bool,
) -> Result<(), Fault> {
    let known = EntryKind::Finding(FindingNumbered::of(it, later));
    enter(db, at, stock_no.as_str(), known, None)
}

/// A shoot as it is; `later`: it was there before shoots had lines.
pub(super) fn shoot(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    it: &Shoot,
    later: bool,
) -> Result<(), Fault> {
    let known = EntryKind::Shoot(ShootBegun::of(it, later));
    enter(db, at, stock_no.as_str(), known, None)
}

/// A clock correction of photos that were in already.
pub(super) fn clock(
    db: &Connection,
    at: Moment,
    stock_no: &StockNo,
    photos: &[u32],
    clock_off: ClockOff,
) -> Result<(), Fault> {
    let known = EntryKind::Clock(ClockCorrected {
        photos: photos.to_vec(),
        clock_off,
    });
    enter(db, at, stock_no.as_str(), known, None)
}
