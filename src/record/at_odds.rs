//! Rows that contradict each other: a column that repeats, for looking up, what the row's own text says; a row that belongs to none;
//! a database that is damaged. What a row says is held against its line of the ledger elsewhere; these are the columns that no
//! line tells of.

use rusqlite::Connection;

use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;

/// What each query finds is at odds; its first column says whose it is, and its second what, in words that end the sentence.
const QUERIES: [&str; 10] = [
    "SELECT stock_no, 'the piece''s stock number, title, form, folder or day is not the one in what was told of it' FROM piece
     WHERE CASE WHEN json_valid(told) THEN stock_no IS NOT told ->> 'stock_no' OR title IS NOT told ->> 'title'
       OR form IS NOT told ->> 'form' OR folder IS NOT told ->> 'folder' OR taken_in IS NOT told ->> 'taken_in' END",
    "SELECT stock_no, 'the number or day of repair ' || no || ' is not the one in what was told of it'
     FROM repair JOIN piece ON piece.id = repair.piece
     WHERE CASE WHEN json_valid(repair.told) THEN no IS NOT repair.told ->> 'no' OR day IS NOT repair.told ->> 'day' END",
    "SELECT stock_no, 'the day of its sale is not the one in what was told of it' FROM sale JOIN piece ON piece.id = sale.piece
     WHERE CASE WHEN json_valid(sale.told) THEN day IS NOT sale.told ->> 'day' END",
    "SELECT piece, 'line ' || no || ' is kept for this piece, but is about another' FROM ledger
     WHERE CASE WHEN json_valid(line) THEN piece IS NOT line ->> 'piece' END",
    "SELECT stock_no, 'picture ' || gone.no || ' is said to be taken out, and its row says otherwise'
     FROM removed_photo AS gone JOIN piece ON piece.id = gone.piece LEFT JOIN photo ON photo.piece = gone.piece AND photo.no = gone.no
     WHERE photo.name IS NOT gone.name OR photo.digest IS NOT gone.digest",
    "SELECT stock_no, 'nothing is kept of the file beside picture ' || photo.no || ', so that it would not be read'
     FROM photo JOIN piece ON piece.id = photo.piece WHERE NOT EXISTS (SELECT 1 FROM sidecar_seen WHERE sidecar_seen.photo = photo.id)",
    "SELECT stock_no, 'picture ' || photo.no || ' is of a shoot of another piece'
     FROM photo JOIN piece ON piece.id = photo.piece JOIN shoot ON shoot.id = photo.shoot WHERE shoot.piece IS NOT photo.piece",
    "SELECT stock_no, 'picture ' || moved_photo.no || ' is of a shoot of another piece'
     FROM moved_photo JOIN piece ON piece.id = moved_photo.piece JOIN shoot ON shoot.id = moved_photo.shoot
     WHERE shoot.piece IS NOT moved_photo.piece",
    "SELECT stock_no, 'picture ' || moved_photo.no || ' is said to be of another shoot, and is not there'
     FROM moved_photo JOIN piece ON piece.id = moved_photo.piece
     WHERE NOT EXISTS (SELECT 1 FROM photo WHERE photo.piece = moved_photo.piece AND photo.no = moved_photo.no)",
    "SELECT stock_no, 'the text in force beside picture ' || photo.no || ' is one of another picture'
     FROM sidecar_seen JOIN photo ON photo.id = sidecar_seen.photo JOIN piece ON piece.id = photo.piece
     JOIN sidecar_text ON sidecar_text.id = in_force WHERE sidecar_text.photo IS NOT sidecar_seen.photo",
];

impl Record {
    /// What rows contradict each other, in sentences without a full stop.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn at_odds(&self) -> Result<Vec<String>, RecordError> {
        self.look(|db| {
            let mut found = Vec::new();
            for query in QUERIES {
                let of = |(piece, what): (String, String)| match piece.as_str() {
                    "" => format!("the book: {what}"),
                    piece => format!("{piece}: {what}"),
                };
                let rows = pairs(db, query)?;
                found.extend(rows.into_iter().map(of));
            }
            let orphans = "SELECT \"table\", coalesce(parent, '') FROM pragma_foreign_key_check";
            for (table, parent) in pairs(db, orphans)? {
                found.push(format!(
                    "a row of `{table}` belongs to a row of `{parent}` that is not there"
                ));
            }
            for (_, what) in pairs(db, "SELECT '', integrity_check FROM pragma_integrity_check")? {
                if what != "ok" {
                    found.push(format!("the database is damaged: {what}"));
                }
            }
            Ok(found)
        })
    }
}

fn pairs(db: &Connection, ask: &str) -> Result<Vec<(String, String)>, Fault> {
    let mut ask = db.prepare(ask)?;
    let rows = ask.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}
