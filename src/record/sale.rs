//! Sales.

use rusqlite::OptionalExtension as _;
use rusqlite::params;
use serde_json::Value;

use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::sale::FallenSale;
use crate::model::sale::Sale;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::from_json;
use crate::record::json;
use crate::record::ledger;
use crate::record::piece::row_of;

impl Record {
    /// Enters the sale of a piece, in the place of what was told of it before. The same again changes nothing.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn tell_sale(&mut self, stock_no: &StockNo, sale: &Sale) -> Result<(), RecordError> {
        let now = self.now;
        self.change(|db| {
            let done = db.execute(
                "INSERT INTO sale (piece, day, told) VALUES (?1, ?2, ?3)
                 ON CONFLICT (piece) DO UPDATE SET day = excluded.day, told = excluded.told WHERE told IS NOT excluded.told",
                params![row_of(db, stock_no)?, sale.day.to_string(), json(sale)?],
            )?;
            match done {
                0 => Ok(()),
                _ => ledger::sale(db, now, stock_no, sale),
            }
        })
    }

    /// Takes back the sale of a piece on a day: it did not come about. Gives what was told of it; `None` when nothing was.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be written.
    pub fn withdraw_sale(
        &mut self,
        stock_no: &StockNo,
        on: Day,
        why: Option<&str>,
    ) -> Result<Option<Sale>, RecordError> {
        let now = self.now;
        self.change(|db| {
            let take = "DELETE FROM sale WHERE piece = ?1 RETURNING told";
            let piece = row_of(db, stock_no)?;
            let told: Option<String> = db.query_row(take, [piece], |row| row.get(0)).optional()?;
            let told: Option<Sale> = told.map(|it| from_json(&it)).transpose()?;
            if let Some(sale) = &told {
                ledger::unsold(db, now, stock_no, sale, on, why)?;
            }
            Ok(told)
        })
    }

    /// The sales of a piece that were told and did not come about, as the ledger keeps them, the earliest first.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn fallen_sales(&self, stock_no: &StockNo) -> Result<Vec<FallenSale>, RecordError> {
        let mut fallen = Vec::new();
        let mut sale = Value::Null;
        for row in self.lines_of(stock_no)? {
            let Ok(line) = LedgerLine::read(&row.text) else {
                continue;
            };
            let told = row.private;
            let mut told = told.and_then(|it| serde_json::from_str::<Value>(&it).ok());
            let told = told.as_mut().map_or(Value::Null, |it| it["told"].take());
            match Entry::read(&line) {
                Ok(Entry::Known(EntryKind::Sale(_))) => sale = told,
                Ok(Entry::Known(EntryKind::Unsold(it))) => {
                    let text = |it: &Value| it.as_str().map(str::to_owned);
                    let on = told["on"].as_str().and_then(|it| it.parse().ok());
                    fallen.push(FallenSale {
                        day: it.day,
                        price: serde_json::from_value(sale["price"].take()).unwrap_or(None),
                        to: text(&sale["to"]),
                        note: text(&sale["note"]),
                        taken_back: on.unwrap_or_else(|| line.at.local_day()),
                        why: text(&told["why"]),
                    });
                }
                _ => {}
            }
        }
        Ok(fallen)
    }

    /// The sale of a piece as told last; `None` when none was.
    ///
    /// # Errors
    /// When there is no such piece, or the database cannot be read.
    pub fn sale(&self, stock_no: &StockNo) -> Result<Option<Sale>, RecordError> {
        self.look(|db| {
            let piece = row_of(db, stock_no)?;
            let ask = "SELECT told FROM sale WHERE piece = ?1";
            let told: Option<String> = db.query_row(ask, [piece], |row| row.get(0)).optional()?;
            told.map(|it| from_json(&it)).transpose()
        })
    }
}
