//! Sidecars: every text, and which one is in force.

use std::collections::BTreeMap;

use rusqlite::Connection;
use rusqlite::OptionalExtension as _;
use rusqlite::params;

use crate::kit::clock::Moment;
use crate::model::complaint::Complaint;
use crate::model::ids::StockNo;
use crate::model::mark::Sidecar;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::json;
use crate::record::ledger;
use crate::record::piece::row_of;

/// A sidecar's text as read from its file, and what came of it.
#[derive(Clone, Debug)]
pub struct Text<'a> {
    /// As the user wrote it; bytes that are no UTF-8 replaced.
    pub text: &'a str,
    /// What it says, or what is wrong with it.
    pub read: Result<&'a Sidecar, &'a [Complaint]>,
    /// When it was read.
    pub entered: Moment,
    /// Time of the file's last change, ns since 1970.
    pub modified_ns: i64,
    /// Length of the file, bytes.
    pub bytes: u64,
}

/// A sidecar's file as last seen.
#[derive(Clone, Debug)]
pub struct SidecarRow {
    /// Number of its photo.
    pub photo: u32,
    /// Name of the photo.
    pub name: String,
    /// Folder of the photo's shoot.
    pub folder: String,
    /// Time of the file's last change, ns since 1970.
    pub modified_ns: i64,
    /// Length of the file, bytes.
    pub bytes: u64,
    /// What is wrong with its newest text; empty when that is in force.
    pub complaints: Vec<Complaint>,
}

impl SidecarRow {
    /// Its path in the piece, as complaints call it.
    #[must_use]
    pub fn shown(&self) -> String {
        format!("{}/{}.toml", self.folder, self.name)
    }
}

/// A text that a sidecar has or had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptText {
    /// As the user wrote it.
    pub text: String,
    /// JSON of what it was read as; `None` when it could not be read.
    pub content: Option<String>,
    /// Whether it is the one that counts.
    pub in_force: bool,
}

impl Record {
    /// The sidecars of a piece as last seen, by photo.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn sidecars(&self, stock_no: &StockNo) -> Result<Vec<SidecarRow>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT photo.no, photo.name, shoot.folder, modified_ns, sidecar_seen.bytes, complaints
                 FROM photo JOIN shoot ON shoot.id = photo.shoot
                 JOIN sidecar_seen ON sidecar_seen.photo = photo.id
                 WHERE photo.piece = ?1
                   AND NOT EXISTS (SELECT 1 FROM removed_photo AS gone WHERE gone.piece = photo.piece AND gone.no = photo.no)
                 ORDER BY photo.no",
            )?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(SidecarRow {
                    photo: row.get(0)?,
                    name: row.get(1)?,
                    folder: row.get(2)?,
                    modified_ns: row.get(3)?,
                    bytes: row.get(4)?,
                    complaints: from_json(&row.get::<_, String>(5)?)?,
                });
            }
            Ok(found)
        })
    }

    /// Enters newly read texts of sidecars, all in one transaction. A text that is the newest one already, such as after
    /// a book was copied, changes nothing but how its file was last seen; read otherwise, as after a change of the
    /// user's own words, its reading is put in place of the former; the ledger, which holds the text, gains no line.
    /// Gives how many lines it gained.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn enter_texts(
        &mut self,
        stock_no: &StockNo,
        texts: &[(u32, Text<'_>)],
    ) -> Result<usize, RecordError> {
        let now = self.now;
        self.change(|db| {
            let piece = row_of(db, stock_no)?;
            let mut new = 0;
            for (no, text) in texts {
                let photo = db.query_row(
                    "SELECT id FROM photo WHERE piece = ?1 AND no = ?2",
                    params![piece, no],
                    |row| row.get(0),
                )?;
                match newest(db, photo)? {
                    Some((row, known)) if known == text.text => reread(db, photo, row, text)?,
                    _ => {
                        enter(db, photo, text)?;
                        ledger::sidecar(db, now, stock_no, *no, text.text)?;
                        new += 1;
                    }
                }
            }
            Ok(new)
        })
    }

    /// The newest text of each sidecar, good or bad, with its photo and what it says; `None` for a bad one. By photo.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn newest_texts(
        &self,
        stock_no: &StockNo,
    ) -> Result<Vec<(u32, String, Option<Sidecar>)>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT photo.no, text, content FROM photo JOIN sidecar_text ON sidecar_text.id =
                   (SELECT max(id) FROM sidecar_text WHERE sidecar_text.photo = photo.id)
                 WHERE photo.piece = ?1 ORDER BY photo.no",
            )?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                let content: Option<String> = row.get(2)?;
                let content = content.map(|it| from_json(&it)).transpose()?;
                found.push((row.get(0)?, row.get(1)?, content));
            }
            Ok(found)
        })
    }

    /// Every text that the sidecars of a piece have or had, by photo, oldest first; of photos that were taken out too.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn kept_texts(
        &self,
        stock_no: &StockNo,
    ) -> Result<BTreeMap<u32, Vec<KeptText>>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare(
                "SELECT photo.no, text, content, sidecar_text.id IS in_force
                 FROM sidecar_text JOIN photo ON photo.id = sidecar_text.photo
                 LEFT JOIN sidecar_seen ON sidecar_seen.photo = photo.id
                 WHERE photo.piece = ?1 ORDER BY photo.no, sidecar_text.id",
            )?;
            let mut rows = ask.query([row_of(db, stock_no)?])?;
            let mut found: BTreeMap<u32, Vec<KeptText>> = BTreeMap::new();
            while let Some(row) = rows.next()? {
                found.entry(row.get(0)?).or_default().push(KeptText {
                    text: row.get(1)?,
                    content: row.get(2)?,
                    in_force: row.get(3)?,
                });
            }
            Ok(found)
        })
    }

    /// The text in force of one photo's sidecar, as the user wrote it; `None` when none was ever good.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn sidecar_text(
        &self,
        stock_no: &StockNo,
        photo: u32,
    ) -> Result<Option<String>, RecordError> {
        self.look(|db| {
            let mut ask = db.prepare_cached(
                "SELECT sidecar_text.text FROM photo
                 JOIN sidecar_seen ON sidecar_seen.photo = photo.id
                 JOIN sidecar_text ON sidecar_text.id = sidecar_seen.in_force
                 WHERE photo.piece = ?1 AND photo.no = ?2",
            )?;
            let mut rows = ask.query(params![row_of(db, stock_no)?, photo])?;
            Ok(rows.next()?.map(|row| row.get(0)).transpose()?)
        })
    }
}

/// The newest text of a photo's sidecar, good or bad, with its row.
fn newest(db: &Connection, photo: i64) -> Result<Option<(i64, String)>, Fault> {
    let ask = "SELECT id, text FROM sidecar_text WHERE photo = ?1 ORDER BY id DESC LIMIT 1";
    let mut ask = db.prepare_cached(ask)?;
    let row = ask.query_row([photo], |row| Ok((row.get(0)?, row.get(1)?)));
    Ok(row.optional()?)
}

/// Writes down what a text that is known says now: a word that was none when it was read first may be one by now. One that was
/// read once and cannot be any more, since a word of it went, keeps its last reading, beside the complaint.
fn reread(db: &Connection, photo: i64, row: i64, text: &Text<'_>) -> Result<(), Fault> {
    let content = content_of(text)?;
    let in_force = content.is_some().then_some(row);
    db.execute(
        "UPDATE sidecar_text SET content = coalesce(?2, content) WHERE id = ?1",
        params![row, content],
    )?;
    seen(db, photo, text, in_force)
}

/// JSON of what a text says; `None` when it could not be read.
fn content_of(text: &Text<'_>) -> Result<Option<String>, Fault> {
    text.read.as_ref().ok().map(json).transpose()
}

/// Enters a text for the photo of row `photo`; a good one comes into force, a bad one is kept beside the last good one.
pub(super) fn enter(db: &Connection, photo: i64, text: &Text<'_>) -> Result<(), Fault> {
    let content = content_of(text)?;
    db.execute(
        "INSERT INTO sidecar_text (photo, absorbed, text, content) VALUES (?1, ?2, ?3, ?4)",
        params![photo, text.entered.to_string(), text.text, content],
    )?;
    let in_force = content.is_some().then(|| db.last_insert_rowid());
    seen(db, photo, text, in_force)
}

/// Writes down how the file was last seen; `in_force` is the row of a text that comes into force, if one does.
fn seen(db: &Connection, photo: i64, text: &Text<'_>, in_force: Option<i64>) -> Result<(), Fault> {
    let complaints = json(&text.read.as_ref().err().copied().unwrap_or_default())?;
    db.execute(
        "INSERT INTO sidecar_seen (photo, modified_ns, bytes, in_force, complaints) VALUES (?1, ?2, ?3, ?4, ?5)
         ON CONFLICT (photo) DO UPDATE SET modified_ns = ?2, bytes = ?3, in_force = coalesce(?4, in_force), complaints = ?5",
        params![photo, text.modified_ns, text.bytes, in_force, complaints],
    )?;
    Ok(())
}
