//! The ledger's beginning: its first line, and, in a book that is older than its ledger, a line for all that it holds. In a book
//! that is older than the lines for shoots, findings and stamps: these lines, once, each marked as later than what it tells.

use rusqlite::Connection;

use crate::evidence::ledger::entry::Begun;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry_rows::SealStamped;
use crate::kit::clock::Moment;
use crate::model::ids::StockNo;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::edition;
use crate::record::finding;
use crate::record::from_json;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::shoot;

impl Record {
    /// Begins the ledger of a book that has none, in one transaction.
    pub(in crate::record) fn begin_ledger(&mut self) -> Result<(), RecordError> {
        let begun = |db: &Connection| -> Result<bool, Fault> {
            let ask = "SELECT EXISTS (SELECT 1 FROM ledger)";
            Ok(db.query_row(ask, [], |row| row.get(0))?)
        };
        if self.look(begun)? {
            return Ok(());
        }
        let (now, book) = (self.now, self.name());
        self.change(|db| {
            // Asked again inside the lock: another window may have begun it meanwhile.
            if begun(db)? {
                return Ok(());
            }
            let pieces = pieces(db)?;
            let first = EntryKind::Begun(Begun {
                book,
                built_later: !pieces.is_empty(),
            });
            ledger::enter(db, now, "", first, None)?;
            pieces
                .iter()
                .try_for_each(|(row, no)| all_of(db, now, *row, no))
        })
    }

    /// The name of the book's folder.
    fn name(&self) -> String {
        let folder = self.path.parent().and_then(|it| it.file_name());
        folder.map_or_else(String::new, |it| it.to_string_lossy().into_owned())
    }
}

fn pieces(db: &Connection) -> Result<Vec<(i64, StockNo)>, Fault> {
    let mut ask = db.prepare("SELECT id, stock_no FROM piece ORDER BY id")?;
    let rows = ask.query_map([], |row| Ok((row.get(0)?, row.get::<_, String>(1)?)))?;
    rows.map(|row| {
        let (id, no) = row?;
        Ok((id, parsed(&no)?))
    })
    .collect()
}

/// Everything that a piece holds.
fn all_of(db: &Connection, now: Moment, piece: i64, no: &StockNo) -> Result<(), Fault> {
    let told: String = db.query_row("SELECT told FROM piece WHERE id = ?1", [piece], |row| {
        row.get(0)
    })?;
    ledger::piece(db, now, &from_json(&told)?)?;
    shoots_and_findings(db, now, piece, no)?;
    let mut ask = db.prepare("SELECT id, no FROM photo WHERE piece = ?1 ORDER BY no")?;
    let photos = ask.query_map([piece], |row| Ok((row.get(0)?, row.get(1)?)))?;
    for photo in photos {
        let (row, photo): (i64, u32) = photo?;
        ledger::photo(db, now, no, row)?;
        let mut ask = db.prepare("SELECT text FROM sidecar_text WHERE photo = ?1 ORDER BY id")?;
        let texts = ask.query_map([row], |row| row.get::<_, String>(0))?;
        for text in texts {
            ledger::sidecar(db, now, no, photo, &text?)?;
        }
    }
    let mut ask = db.prepare("SELECT told FROM repair WHERE piece = ?1 ORDER BY no")?;
    for told in ask.query_map([piece], |row| row.get::<_, String>(0))? {
        ledger::repair(db, now, no, &from_json(&told?)?)?;
    }
    for (reader, edition) in edition::all(db, piece)? {
        edition::enter(db, now, no, &reader, &edition)?;
    }
    Ok(())
}

/// Gives the shoots, findings and stamps of a book their lines, unless they have them.
pub(in crate::record) fn cover(db: &Connection, now: Moment) -> Result<(), Fault> {
    if !is_uncovered(db)? {
        return Ok(());
    }
    for (row, no) in pieces(db)? {
        shoots_and_findings(db, now, row, &no)?;
    }
    let mut ask = db.prepare(
        "SELECT no, reply, stamped FROM seal WHERE reply IS NOT NULL AND stamped IS NOT NULL ORDER BY no",
    )?;
    let mut rows = ask.query([])?;
    while let Some(row) = rows.next()? {
        let at = parsed(&row.get::<_, String>(2)?)?;
        let reply: Vec<u8> = row.get(1)?;
        let known = EntryKind::Stamp(SealStamped::of(row.get(0)?, &reply, at, true));
        ledger::enter(db, now, "", known, None)?;
    }
    Ok(())
}

/// Whether there are shoots or stamps, and no line of these kinds. All of them get their lines at once, so the first shoot's piece
/// and the lines about the book tell; a book without a first line is begun with all its lines.
fn is_uncovered(db: &Connection) -> Result<bool, Fault> {
    let ask = "SELECT EXISTS (SELECT 1 FROM ledger)
          AND (EXISTS (SELECT 1 FROM shoot) OR EXISTS (SELECT 1 FROM seal WHERE reply IS NOT NULL AND stamped IS NOT NULL))
          AND NOT EXISTS (SELECT 1 FROM ledger WHERE piece = '' AND line LIKE '%,\"what\":\"stamp\"}')
          AND NOT EXISTS (SELECT 1 FROM ledger WHERE line LIKE '%,\"what\":\"shoot\"}'
               AND piece = (SELECT stock_no FROM piece WHERE id = (SELECT piece FROM shoot ORDER BY id LIMIT 1)))";
    Ok(db.query_row(ask, [], |row| row.get(0))?)
}

fn shoots_and_findings(
    db: &Connection,
    now: Moment,
    piece: i64,
    no: &StockNo,
) -> Result<(), Fault> {
    for it in shoot::all(db, piece)? {
        ledger::shoot(db, now, no, &it, true)?;
    }
    for it in finding::all(db, piece)? {
        ledger::finding(db, now, no, &it, true)?;
    }
    Ok(())
}
