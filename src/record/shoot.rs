//! Shoots, and photos that were put into another one than they were taken in with.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use rusqlite::Connection;
use rusqlite::params;

use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry_rows::PhotoMoved;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::shoots_told::ShootsTold;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::model::photo::MoveStep;
use crate::model::photo::Moved;
use crate::model::photo::Photo;
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
        self.change(|db| begin(db, now, stock_no, shoot))
    }

    /// Puts photos into another shoot of their piece, which begins with them where it is not there; with the days of the shoots, by
    /// number, that follow from it. The originals stay where they lie.
    ///
    /// # Errors
    /// When there is no such piece or photo, or the database cannot be written.
    pub fn move_photos(
        &mut self,
        stock_no: &StockNo,
        photos: &[&Photo],
        shoot: &Shoot,
        days: &[(u32, Day)],
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            if !all(db, piece)?.iter().any(|it| it.no == shoot.no) {
                begin(db, now, stock_no, shoot)?;
            }
            for photo in photos {
                db.execute(
                    "INSERT OR REPLACE INTO moved_photo (piece, no, shoot, moved)
                     VALUES (?1, ?2, (SELECT id FROM shoot WHERE piece = ?1 AND no = ?3), ?4)",
                    params![piece, photo.no, shoot.no, now.to_string()],
                )?;
                let known = EntryKind::Moved(PhotoMoved {
                    photo: photo.no,
                    sha256: photo.digest,
                    shoot: shoot.no,
                });
                ledger::enter(db, now, stock_no.as_str(), known, None)?;
            }
            begin_on(db, now, stock_no, days)
        })
    }

    /// The photos that were put into another shoot, also those that are out of the piece now; by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn moved_photos(&self, stock_no: &StockNo) -> Result<Vec<MovedRow>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT moved_photo.no, photo.digest, shoot.no, moved_photo.moved
                 FROM moved_photo JOIN photo ON photo.piece = moved_photo.piece AND photo.no = moved_photo.no
                 JOIN shoot ON shoot.id = moved_photo.shoot
                 WHERE moved_photo.piece = ?1 ORDER BY moved_photo.no",
            )?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(MovedRow {
                    photo: row.get(0)?,
                    digest: Digest(row.get(1)?),
                    shoot: row.get(2)?,
                    at: parsed(&row.get::<_, String>(3)?)?,
                });
            }
            Ok(found)
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

    /// The shoots of a piece, by number: those that a photo is of, in the piece or taken out of it.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn shoots(&self, stock_no: &StockNo) -> Result<Vec<Shoot>, RecordError> {
        self.look(|db| {
            let piece = row_of(db, stock_no)?;
            let ask = format!("SELECT no FROM shoot WHERE piece = ?1 AND {HAS_PHOTOS}");
            let mut ask = db.prepare(&ask)?;
            let rows = ask.query_map([piece], |row| row.get(0))?;
            let own: BTreeSet<u32> = rows.collect::<Result<_, _>>()?;
            let mut shoots = all(db, piece)?;
            shoots.retain(|it| own.contains(&it.no));
            Ok(shoots)
        })
    }

    /// All shoots that a piece ever had, by number: also one whose photos were all put into others, or that was begun and got none.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn all_shoots(&self, stock_no: &StockNo) -> Result<Vec<Shoot>, RecordError> {
        self.look(|db| all(db, row_of(db, stock_no)?))
    }
}

/// Whether a photo is of a shoot.
pub(super) const HAS_PHOTOS: &str =
    "(EXISTS (SELECT 1 FROM moved_photo AS here WHERE here.shoot = shoot.id)
      OR EXISTS (SELECT 1 FROM photo WHERE photo.shoot = shoot.id
           AND NOT EXISTS (SELECT 1 FROM moved_photo AS away WHERE away.piece = photo.piece AND away.no = photo.no)))";

/// A photo that was put into another shoot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MovedRow {
    /// Its number within the piece.
    pub photo: u32,
    /// SHA-256 of the original.
    pub digest: Digest,
    /// Number of the shoot that it is of now.
    pub shoot: u32,
    /// When it was put there.
    pub at: Moment,
}

/// Enters a shoot, with its line.
fn begin(db: &Connection, now: Moment, stock_no: &StockNo, shoot: &Shoot) -> Result<(), Fault> {
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
}

/// Tells of each photo that was put into another shoot all that the lines say of that.
pub(super) fn tell_moves<'p>(
    db: &Connection,
    stock_no: &StockNo,
    photos: impl Iterator<Item = &'p mut Photo>,
) -> Result<(), Fault> {
    let mut moved: BTreeMap<u32, &mut Moved> = BTreeMap::new();
    for it in photos {
        moved.extend(it.moved.as_mut().map(|moved| (it.no, moved)));
    }
    if moved.is_empty() {
        return Ok(());
    }
    let mut shoots = ShootsTold::default();
    for line in ledger::of_piece(db, stock_no)? {
        let Ok(line) = LedgerLine::read(&line.text) else {
            continue;
        };
        let Ok(Entry::Known(kind)) = Entry::read(&line) else {
            continue;
        };
        if let Some(placed) = shoots.read(&kind)
            && let Some(it) = moved.get_mut(&placed.photo)
        {
            it.steps.push(MoveStep {
                stage: placed.is.1,
                on: line.at.local_day(),
                line: line.no,
            });
        }
    }
    Ok(())
}

/// Sets the first days of shoots, by number; of one that begins on that day already nothing is entered.
pub(super) fn begin_on(
    db: &Connection,
    now: Moment,
    stock_no: &StockNo,
    days: &[(u32, Day)],
) -> Result<(), Fault> {
    let piece = row_of(db, stock_no)?;
    for (no, day) in days {
        let changed = db.execute(
            "UPDATE shoot SET day = ?3 WHERE piece = ?1 AND no = ?2 AND day IS NOT ?3",
            params![piece, no, day.to_string()],
        )?;
        let all = all(db, piece)?;
        if let Some(it) = all.iter().find(|it| changed > 0 && it.no == *no) {
            ledger::shoot(db, now, stock_no, it, false)?;
        }
    }
    Ok(())
}

/// The shoots of the piece of this row, by number.
pub(super) fn all(db: &Connection, piece: i64) -> Result<Vec<Shoot>, Fault> {
    let mut ask =
        db.prepare("SELECT no, stage, day, folder FROM shoot WHERE piece = ?1 ORDER BY no")?;
    let mut rows = ask.query([piece])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push(read(row, 0)?);
    }
    Ok(found)
}

/// The shoot in a row, from this column on: number, stage, day, folder.
pub(super) fn read(row: &rusqlite::Row<'_>, first: usize) -> Result<Shoot, Fault> {
    Ok(Shoot {
        no: row.get(first)?,
        stage: parsed(&row.get::<_, String>(first + 1)?)?,
        day: parsed(&row.get::<_, String>(first + 2)?)?,
        folder: row.get(first + 3)?,
    })
}
