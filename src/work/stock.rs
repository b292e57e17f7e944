//! The stock list.

use serde::Serialize;

use crate::work::WorkError;
use crate::work::absorb::absorb;
use crate::work::open_book::OpenBook;

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
}

/// Reads what changed and lists the pieces, by stock number.
///
/// # Errors
/// When the book cannot be read or written.
pub fn stock(book: &mut OpenBook) -> Result<Vec<StockLine>, WorkError> {
    for stock_no in book.record.stock_numbers()? {
        absorb(book, &stock_no)?;
    }
    let line = |it: crate::record::StockLine| StockLine {
        stock_no: it.stock_no,
        title: it.title,
        form: it.form,
        photos: it.photos,
        findings: it.findings,
        stage: it.stage,
    };
    Ok(book.record.stock()?.into_iter().map(line).collect())
}
