//! The pieces that the letter of a seal names.

use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::seal::letter::NamedPiece;
use crate::evidence::seal::statement::Statement;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::record::StoredSeal;
use crate::report;
use crate::tongue::Saying;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::recorded::assessment;

/// More pieces than this a letter names only when they were told: a buyer wants to read of their own.
const MOST_NAMED: usize = 12;

/// The pieces that a letter is about: those that were told, else those of which the seal is the first to cover something.
pub(in crate::work) fn named_pieces(
    book: &OpenBook,
    seal: &StoredSeal,
    told: &[StockNo],
) -> Result<Vec<NamedPiece>, WorkError> {
    let size = |it: &StoredSeal| Statement::read(&it.statement).map_or(0, |it| it.size);
    let seals = book.record.seals()?;
    let before = seals
        .iter()
        .rev()
        .find(|it| it.no < seal.no)
        .map_or(0, size);
    let mut names: Vec<StockNo> = told.to_vec();
    if told.is_empty() {
        let lines = book.record.lines_from(before)?;
        let lines = lines.iter().filter(|it| it.no < size(seal));
        let pieces = lines.filter_map(|it| LedgerLine::read(&it.text).ok()?.piece.parse().ok());
        names.extend(pieces);
    }
    names.sort();
    names.dedup();
    if told.is_empty() && names.len() > MOST_NAMED {
        return Ok(Vec::new());
    }
    let named = |stock_no: StockNo| {
        let shoots = book.record.shoots(&stock_no)?;
        Ok(NamedPiece {
            title: match assessment(book, &stock_no) {
                Ok(it) => report::name_of(&it),
                // A letter is written also where the record cannot be judged.
                Err(_) => Saying::Own(book.record.piece(&stock_no)?.title),
            },
            has_left: match shoots.iter().any(|it| it.stage >= Stage::Handover) {
                true => Some(true),
                false if book.record.sale(&stock_no)?.is_some() => None,
                false => Some(false),
            },
            stock_no,
        })
    };
    names.into_iter().map(named).collect()
}
