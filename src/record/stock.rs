//! The stock list.

use std::collections::BTreeMap;

use rusqlite::Connection;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Money;
use crate::model::ids::StockNo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::photo::in_time;
use crate::model::piece::Piece;
use crate::model::piece_state::PieceState;
use crate::record::Fault;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::parsed;
use crate::record::shoot;
use crate::record::shoot::HAS_PHOTOS;

/// One line of the stock list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StockLine {
    /// Stock number.
    pub stock_no: StockNo,
    /// Short description.
    pub title: String,
    /// Form of the trade book.
    pub form: String,
    /// How many photos it has.
    pub photos: u64,
    /// How many findings were numbered.
    pub findings: u64,
    /// Stage of its newest shoot, if it has one.
    pub stage: Option<String>,
    /// The day it was sold, if it was.
    pub sold: Option<Day>,
    /// Where it stands in the shop.
    pub state: PieceState,
    /// Private: what is asked for it.
    pub asking: Option<Money>,
}

impl Record {
    /// The stock list, by stock number; withdrawn pieces too.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn stock(&self) -> Result<Vec<StockLine>, RecordError> {
        self.look(|db| {
            let newest = newest_stages(db)?;
            let mut ask = db.prepare(
                "SELECT stock_no, title, form,
                        (SELECT count(*) FROM photo WHERE photo.piece = piece.id)
                          - (SELECT count(*) FROM removed_photo WHERE removed_photo.piece = piece.id),
                        (SELECT count(*) FROM finding WHERE finding.piece = piece.id),
                        id,
                        (SELECT day FROM sale WHERE sale.piece = piece.id),
                        told,
                        EXISTS (SELECT 1 FROM repair WHERE repair.piece = piece.id),
                        EXISTS (SELECT 1 FROM withdrawn_piece AS gone WHERE gone.piece = piece.id)
                 FROM piece ORDER BY stock_no",
            )?;
            let mut rows = ask.query([])?;
            let mut lines = Vec::new();
            while let Some(row) = rows.next()? {
                let sold: Option<String> = row.get(6)?;
                let newest = newest.get(&row.get(5)?).copied();
                let told: Piece = from_json(&row.get::<_, String>(7)?)?;
                lines.push(StockLine {
                    state: match row.get(9)? {
                        true => PieceState::Withdrawn,
                        false => PieceState::of(&told, newest, row.get(8)?, sold.is_some()),
                    },
                    asking: told.asking,
                    stock_no: parsed(&row.get::<_, String>(0)?)?,
                    title: row.get(1)?,
                    form: row.get(2)?,
                    photos: row.get(3)?,
                    findings: row.get(4)?,
                    stage: newest.map(|it| it.word().to_owned()),
                    sold: sold.as_deref().map(parsed).transpose()?,
                });
            }
            Ok(lines)
        })
    }
}

/// The stage of the newest shoot of each piece that has one, by the piece's row.
fn newest_stages(db: &Connection) -> Result<BTreeMap<i64, Stage>, Fault> {
    let mut ask = db.prepare(&format!(
        "SELECT piece, no, stage, day, folder FROM shoot WHERE {HAS_PHOTOS}"
    ))?;
    let mut rows = ask.query([])?;
    let mut all: BTreeMap<i64, Vec<Shoot>> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let shoots = all.entry(row.get(0)?).or_default();
        shoots.push(shoot::read(row, 1)?);
    }
    let newest =
        |(piece, shoots): (i64, Vec<Shoot>)| Some((piece, in_time(&shoots).0.last()?.stage));
    Ok(all.into_iter().filter_map(newest).collect())
}
