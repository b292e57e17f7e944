//! The stock list, from the record alone: nobody waits while every sidecar of every piece is looked at.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// One piece of the stock list, as printed and as `--json` gives it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StockLine {
    /// Stock number.
    pub stock_no: String,
    /// Short description.
    pub title: String,
    /// Form of the trade book.
    pub form: String,
    /// How many photos it has.
    pub photos: u64,
    /// How many findings were numbered.
    pub findings: u64,
    /// Stage of its newest shoot; `None` when it has none.
    pub stage: Option<String>,
    /// The day it was sold, as told; `None` when it was not.
    pub sold: Option<Day>,
}

/// Lists the pieces, by stock number, as their sidecars were last read; whatever is done with one piece reads its own.
///
/// # Errors
/// When the book cannot be read.
pub fn stock(book: &OpenBook) -> Result<Vec<StockLine>, WorkError> {
    let line = |it: crate::record::StockLine| StockLine {
        stock_no: it.stock_no,
        title: it.title,
        form: it.form,
        photos: it.photos,
        findings: it.findings,
        stage: it.stage,
        sold: it.sold,
    };
    Ok(book.record.stock()?.into_iter().map(line).collect())
}
