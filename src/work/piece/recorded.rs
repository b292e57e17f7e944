//! A piece as the record holds it, and what that means.

use crate::assess;
use crate::assess::assessment::Assessment;
use crate::assess::piece_record::PieceRecord;
use crate::model::ids::StockNo;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// The piece as the record holds it.
pub(in crate::work) fn piece_record(
    book: &OpenBook,
    stock_no: &StockNo,
    settings: Settings,
) -> Result<PieceRecord, WorkError> {
    let complaints = book
        .record
        .sidecars(stock_no)?
        .into_iter()
        .flat_map(|it| it.complaints);
    let piece = book.record.piece(stock_no)?;
    Ok(PieceRecord {
        lacks_told: match piece.absent.is_empty() {
            true => Vec::new(),
            false => book.record.lacks_told(stock_no)?,
        },
        piece,
        shoots: book.record.shoots(stock_no)?,
        photos: book.record.photos(stock_no)?,
        removed: book.record.taken_out(stock_no)?,
        findings: book.record.findings(stock_no)?,
        repairs: book.record.repairs(stock_no)?,
        complaints: complaints.collect(),
        settings,
    })
}

/// What the record means, as last read.
pub(in crate::work) fn assessment(
    book: &OpenBook,
    stock_no: &StockNo,
) -> Result<Assessment, WorkError> {
    let case = piece_record(book, stock_no, book.settings()?)?;
    Ok(assess::assess(&case, &book.trade))
}

/// The other pieces of a piece's set, without withdrawn ones.
pub(in crate::work) fn of_set(book: &OpenBook, piece: &Piece) -> Result<Vec<StockNo>, WorkError> {
    let mut found = Vec::new();
    if piece.set.is_none() {
        return Ok(found);
    }
    for no in book.record.stock_numbers()? {
        let is_other = no != piece.stock_no && book.record.withdrawal(&no)?.is_none();
        if is_other && book.record.piece(&no)?.set == piece.set {
            found.push(no);
        }
    }
    Ok(found)
}
