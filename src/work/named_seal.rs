//! The seal that a report can name: the newest one, if it covers something of the piece.

use crate::evidence::seal::statement::Statement;
use crate::model::ids::StockNo;
use crate::report::SealNamed;
use crate::work::WorkError;
use crate::work::open_book::OpenBook;

/// The newest seal over lines of a piece; `None` when there is none, or the newest is older than the piece.
pub(in crate::work) fn named_seal(
    book: &OpenBook,
    stock_no: &StockNo,
) -> Result<Option<SealNamed>, WorkError> {
    let Some(newest) = book.record.seals()?.pop() else {
        return Ok(None);
    };
    let statement = Statement::read(&newest.statement)
        .map_err(|why| WorkError::asked(format!("seal {} cannot be read: {why}", newest.no)))?;
    let lines = book.record.lines_of(stock_no)?;
    let covers = lines.iter().filter(|it| it.no < statement.size).count() as u64;
    Ok((covers > 0).then_some(SealNamed {
        no: newest.no,
        size: statement.size,
        root: statement.root,
        at: statement.at,
        stamped: newest.stamped,
        covers,
        lines: lines.len() as u64,
    }))
}
