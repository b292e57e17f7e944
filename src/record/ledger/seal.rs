//! Seals of the ledger.

use rusqlite::params;

use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry_rows::KeyChanged;
use crate::evidence::ledger::entry_rows::SealStamped;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::Moment;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::StoredLine;
use crate::record::ledger;
use crate::record::parsed;

/// A seal as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredSeal {
    /// Its number, from 1.
    pub no: u32,
    /// The statement, to the byte what was signed.
    pub statement: String,
    /// Its signature, 64 bytes.
    pub signature: Vec<u8>,
    /// The time-stamp request, DER.
    pub request: Vec<u8>,
    /// The reply to it, DER.
    pub reply: Option<Vec<u8>>,
    /// The time in the reply, once checked.
    pub stamped: Option<Moment>,
}

impl Record {
    /// All seals, by number.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn seals(&self) -> Result<Vec<StoredSeal>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT no, statement, signature, request, reply, stamped FROM seal ORDER BY no",
            )?;
            let mut rows = ask.query([])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                let stamped: Option<String> = row.get(5)?;
                found.push(StoredSeal {
                    no: row.get(0)?,
                    statement: row.get(1)?,
                    signature: row.get(2)?,
                    request: row.get(3)?,
                    reply: row.get(4)?,
                    stamped: stamped.map(|it| parsed(&it)).transpose()?,
                });
            }
            Ok(found)
        })
    }

    /// Enters a seal under the next number, whatever number it carries; gives that number.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn add_seal(&mut self, seal: &StoredSeal) -> Result<u32, RecordError> {
        self.change(|db| {
            let next = "SELECT coalesce(max(no), 0) + 1 FROM seal";
            let no: u32 = db.query_row(next, [], |row| row.get(0))?;
            db.execute(
                "INSERT INTO seal (no, statement, signature, request, reply, stamped) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    no,
                    seal.statement,
                    seal.signature,
                    seal.request,
                    seal.reply,
                    seal.stamped.map(|it| it.to_string())
                ],
            )?;
            Ok(no)
        })
    }

    /// Enters that the book has another key.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn change_key(&mut self, it: &KeyChanged) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| ledger::enter(db, now, "", EntryKind::Key(it.clone()), None))
    }

    /// When the book got another key, oldest first, each with its line; what is no such line, though it says so, is passed over.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn key_changes(&self) -> Result<Vec<(StoredLine, KeyChanged)>, RecordError> {
        self.look(|db| {
            let ask = "SELECT no, line, leaf, private FROM ledger WHERE piece = '' AND line LIKE '%,\"what\":\"key\"}' ORDER BY no";
            let mut ask = db.prepare(ask)?;
            let mut rows = ask.query([])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                let stored = ledger::stored(row)?;
                let line = LedgerLine::read(&stored.text).ok();
                let entry = line.and_then(|it| Entry::read(&it).ok());
                if let Some(Entry::Known(EntryKind::Key(it))) = entry {
                    found.push((stored, it));
                }
            }
            Ok(found)
        })
    }

    /// Adds the time-stamp reply to a seal, with its line; the same reply again changes nothing.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn stamp_seal(
        &mut self,
        no: u32,
        reply: &[u8],
        stamped: Moment,
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let changed = db.execute(
                "UPDATE seal SET reply = ?2, stamped = ?3 WHERE no = ?1 AND (reply IS NOT ?2 OR stamped IS NOT ?3)",
                params![no, reply, stamped.to_string()],
            )?;
            if changed == 0 {
                return Ok(());
            }
            let known = EntryKind::Stamp(SealStamped::of(no, reply, stamped, false));
            ledger::enter(db, now, "", known, None)
        })
    }
}
