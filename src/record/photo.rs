//! Photos.

use rusqlite::Connection;
use rusqlite::params;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoRemoved;
use crate::evidence::ledger::entry_rows::PhotoReturned;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::facts::Facts;
use crate::model::ids::StockNo;
use crate::model::photo::Moved;
use crate::model::photo::Photo;
use crate::model::photo::RemovedPhoto;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::Text;
use crate::record::from_json;
use crate::record::json;
use crate::record::ledger;
use crate::record::parsed;
use crate::record::piece::row_of;
use crate::record::shoot;
use crate::record::shoot::tell_moves;
use crate::record::sidecar;

/// A photo to enter; it gets the next number of its piece.
#[derive(Clone, Debug)]
pub struct NewPhoto<'a> {
    /// Number of its shoot.
    pub shoot: u32,
    /// Name of the original in the shoot's folder.
    pub name: &'a str,
    /// Name it had where it came from.
    pub source_name: &'a str,
    /// SHA-256 of the original.
    pub digest: Digest,
    /// Length of the original, bytes.
    pub bytes: u64,
    /// What its bytes say.
    pub facts: &'a Facts,
    /// Correction of the camera's clock.
    pub clock_off: ClockOff,
    /// When it was taken in.
    pub imported: Moment,
    /// Its sidecar as it was taken along or made.
    pub sidecar: Text<'a>,
    /// The file it was read from.
    pub source: &'a SourceFile,
}

/// A file in the source, as it lay there.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct SourceFile {
    /// Its path as the system spells it.
    pub path: Vec<u8>,
    /// Its length, bytes.
    pub bytes: u64,
    /// Time of its last change, ns since 1970.
    pub modified_ns: i64,
}

/// A photo that was taken out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RemovedRow {
    /// Its number within the piece.
    pub no: u32,
    /// Its name in its shoot's folder.
    pub name: String,
    /// SHA-256 of the original.
    pub digest: Digest,
    /// Why it was taken out, in the owner's words.
    pub why: String,
    /// When.
    pub removed: Moment,
    /// Its shoot's folder.
    pub folder: String,
}

impl Record {
    /// Enters a photo and its sidecar in one transaction; gives its number.
    ///
    /// # Errors
    /// When the piece already has these bytes, or the database cannot be written.
    pub fn add_photo(
        &mut self,
        stock_no: &StockNo,
        new: &NewPhoto<'_>,
    ) -> Result<u32, RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            let no: u32 = db.query_row(
                "SELECT coalesce(max(no), 0) + 1 FROM photo WHERE piece = ?1",
                [piece],
                |row| row.get(0),
            )?;
            db.execute(
                "INSERT INTO photo (piece, shoot, no, name, source_name, digest, bytes, facts, clock_off, imported)
                 VALUES (?1, (SELECT id FROM shoot WHERE piece = ?1 AND no = ?2), ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                params![
                    piece,
                    new.shoot,
                    no,
                    new.name,
                    new.source_name,
                    new.digest.0,
                    new.bytes,
                    json(new.facts)?,
                    new.clock_off.seconds,
                    new.imported.to_string()
                ],
            )?;
            let row = db.last_insert_rowid();
            ledger::photo(db, now, stock_no, row)?;
            sidecar::enter(db, row, &new.sidecar)?;
            ledger::sidecar(db, now, stock_no, no, new.sidecar.text)?;
            remember(db, piece, new.source, new.digest)?;
            Ok(no)
        })
    }

    /// Digest and length of every photo of a piece, to know again what was taken.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn taken(&self, stock_no: &StockNo) -> Result<Vec<(Digest, u64)>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare("SELECT digest, bytes FROM photo WHERE piece = ?1")?;
            let rows = ask.query_map([row_of(db, stock_no)?], |row| {
                Ok((Digest(row.get(0)?), row.get(1)?))
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Remembers files whose bytes the piece already has.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn remember_sources(
        &mut self,
        stock_no: &StockNo,
        sources: &[(SourceFile, Digest)],
    ) -> Result<(), RecordError> {
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            sources
                .iter()
                .try_for_each(|(source, digest)| remember(db, piece, source, *digest))
        })
    }

    /// The files remembered for a piece, with the digest of what was read.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn sources(&self, stock_no: &StockNo) -> Result<Vec<(SourceFile, Digest)>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT path, bytes, modified_ns, digest FROM source_seen WHERE piece = ?1",
            )?;
            let rows = ask.query_map([row_of(db, stock_no)?], |row| {
                let source = SourceFile {
                    path: row.get(0)?,
                    bytes: row.get(1)?,
                    modified_ns: row.get(2)?,
                };
                Ok((source, Digest(row.get(3)?)))
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Sets the clock correction of photos of a piece, by number, and the days of their `shoots`, by number, that follow
    /// from it.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn correct_clock(
        &mut self,
        stock_no: &StockNo,
        photos: &[u32],
        off: ClockOff,
        shoots: &[(u32, Day)],
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            for no in photos {
                db.execute(
                    "UPDATE photo SET clock_off = ?3 WHERE piece = ?1 AND no = ?2",
                    params![piece, no, off.seconds],
                )?;
            }
            ledger::clock(db, now, stock_no, photos, off)?;
            shoot::begin_on(db, now, stock_no, shoots)
        })
    }

    /// Takes a photo out of the piece: it is listed no more, its number is never given again, and the ledger says why.
    ///
    /// # Errors
    /// When the piece has no such photo, or the database cannot be written.
    pub fn remove_photo(
        &mut self,
        stock_no: &StockNo,
        photo: &Photo,
        why: &str,
    ) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            db.execute(
                "INSERT INTO removed_photo (piece, no, name, digest, why, removed) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    row_of(db, stock_no)?,
                    photo.no,
                    photo.name,
                    photo.digest.0,
                    why,
                    now.to_string()
                ],
            )?;
            let known = EntryKind::Removed(PhotoRemoved {
                photo: photo.no,
                sha256: photo.digest,
                why: why.to_owned(),
            });
            ledger::enter(db, now, stock_no.as_str(), known, None)
        })
    }

    /// Brings a photo that was taken out back into the piece, under its old number.
    ///
    /// # Errors
    /// When no such photo was taken out, or the database cannot be written.
    pub fn return_photo(&mut self, stock_no: &StockNo, photo: u32) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            let sha256 = Digest(db.query_row(
                "DELETE FROM removed_photo WHERE piece = ?1 AND no = ?2 RETURNING digest",
                params![piece, photo],
                |row| row.get(0),
            )?);
            let known = EntryKind::Returned(PhotoReturned { photo, sha256 });
            ledger::enter(db, now, stock_no.as_str(), known, None)
        })
    }

    /// The photos that were taken out of a piece, by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn removed_photos(&self, stock_no: &StockNo) -> Result<Vec<RemovedRow>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT gone.no, gone.name, gone.digest, gone.why, gone.removed, shoot.folder
                 FROM removed_photo AS gone
                 JOIN photo ON photo.piece = gone.piece AND photo.no = gone.no
                 JOIN shoot ON shoot.id = photo.shoot
                 WHERE gone.piece = ?1 ORDER BY gone.no",
            )?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(RemovedRow {
                    no: row.get(0)?,
                    name: row.get(1)?,
                    digest: Digest(row.get(2)?),
                    why: row.get(3)?,
                    removed: parsed(&row.get::<_, String>(4)?)?,
                    folder: row.get(5)?,
                });
            }
            Ok(found)
        })
    }

    /// The other pieces, by stock number, that have a photo of these bytes, with its number there.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn elsewhere(
        &self,
        stock_no: &StockNo,
        digests: &[Digest],
    ) -> Result<Vec<(Digest, String, u32)>, RecordError> {
        self.look(|db| {
            // The index on photos begins with the piece.
            let mut ask = db.prepare(
                "SELECT piece.stock_no, photo.no FROM piece JOIN photo ON photo.piece = piece.id AND photo.digest = ?1
                 WHERE piece.stock_no IS NOT ?2
                   AND NOT EXISTS (SELECT 1 FROM removed_photo AS gone WHERE gone.piece = photo.piece AND gone.no = photo.no)
                 ORDER BY piece.stock_no",
            )?;
            let mut found = Vec::new();
            for digest in digests {
                let mut rows = ask.query(params![digest.0, stock_no.as_str()])?;
                while let Some(row) = rows.next()? {
                    found.push((*digest, row.get(0)?, row.get(1)?));
                }
            }
            Ok(found)
        })
    }

    /// The photos of a piece with what is written beside them, by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn photos(&self, stock_no: &StockNo) -> Result<Vec<Photo>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(&format!("{PHOTOS} AND gone.no IS NULL ORDER BY photo.no"))?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(from_row(row)?);
            }
            tell_moves(db, stock_no, found.iter_mut())?;
            Ok(found)
        })
    }

    /// The photos that were taken out of a piece with what is written beside them, by number.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn taken_out(&self, stock_no: &StockNo) -> Result<Vec<RemovedPhoto>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(&format!(
                "{PHOTOS} AND gone.no IS NOT NULL ORDER BY photo.no"
            ))?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(RemovedPhoto {
                    photo: from_row(row)?,
                    why: row.get(10)?,
                    removed: parsed(&row.get::<_, String>(11)?)?,
                });
            }
            tell_moves(db, stock_no, found.iter_mut().map(|it| &mut it.photo))?;
            Ok(found)
        })
    }
}

/// Every photo of a piece, with what is in force beside it, and, of those that were taken out, why and when.
const PHOTOS: &str =
    "SELECT photo.no, shoot.no, photo.name, source_name, photo.digest, photo.bytes, facts, clock_off, imported,
            sidecar_text.content, gone.why, gone.removed, shoot.folder, now.no
     FROM photo JOIN shoot ON shoot.id = photo.shoot
     LEFT JOIN moved_photo ON moved_photo.piece = photo.piece AND moved_photo.no = photo.no
     LEFT JOIN shoot AS now ON now.id = moved_photo.shoot
     LEFT JOIN sidecar_seen ON sidecar_seen.photo = photo.id
     LEFT JOIN sidecar_text ON sidecar_text.id = sidecar_seen.in_force
     LEFT JOIN removed_photo AS gone ON gone.piece = photo.piece AND gone.no = photo.no
     WHERE photo.piece = ?1";

fn remember(db: &Connection, piece: i64, source: &SourceFile, digest: Digest) -> Result<(), Fault> {
    db.execute(
        "INSERT OR REPLACE INTO source_seen (piece, path, bytes, modified_ns, digest) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![piece, source.path, source.bytes, source.modified_ns, digest.0],
    )?;
    Ok(())
}

fn from_row(row: &rusqlite::Row<'_>) -> Result<Photo, Fault> {
    let content: Option<String> = row.get(9)?;
    let taken_in_with: u32 = row.get(1)?;
    let now: Option<u32> = row.get(13)?;
    Ok(Photo {
        no: row.get(0)?,
        shoot: now.unwrap_or(taken_in_with),
        moved: now.map(|_| Moved {
            taken_in_with,
            steps: Vec::new(),
        }),
        folder: row.get(12)?,
        name: row.get(2)?,
        source_name: row.get(3)?,
        digest: Digest(row.get(4)?),
        bytes: row.get(5)?,
        facts: from_json(&row.get::<_, String>(6)?)?,
        clock_off: ClockOff {
            seconds: row.get(7)?,
        },
        imported: parsed(&row.get::<_, String>(8)?)?,
        sidecar: content.map_or(Ok(Default::default()), |it| from_json(&it))?,
    })
}
