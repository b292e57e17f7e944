//! The changed sidecars of all pieces, before the ledger is sealed or checked.

use serde::Serialize;

use crate::model::ids::StockNo;
use crate::record::RecordError;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::sync_sidecars::WhyUnread;
use crate::work::sidecars::sync_sidecars::sync_or_name;

/// What became of the changed sidecars of a book.
#[derive(Clone, Debug, Default)]
pub(in crate::work) struct AllTexts {
    /// How many texts were taken in, each with a line of the ledger.
    pub(in crate::work) taken: usize,
    /// Sidecars that were changed and are in no line.
    pub(in crate::work) unread: Vec<LeftText>,
    /// Sidecars whose newest text is in a line, and has mistakes: the one before it stays in force.
    pub(in crate::work) faulty: Vec<LeftText>,
}

/// A sidecar whose text does not count, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftText {
    /// Its path in the book; of a piece that could not be looked at, the piece's folder.
    pub file: String,
    /// Why.
    pub why: String,
}

/// Takes in what the user changed in the sidecars of every piece; names what cannot be taken in.
///
/// # Errors
/// When the book cannot be read, or could be written and now is full or busy.
pub(in crate::work) fn sync_all(book: &mut OpenBook) -> Result<AllTexts, WorkError> {
    let mut all = AllTexts::default();
    for no in book.record.stock_numbers()? {
        match of_piece(book, &no, &mut all) {
            // Rows that make no sense do not keep the sidecars of other pieces out.
            Err(WorkError::Record(error @ RecordError::Nonsense(_))) => all.unread.push(LeftText {
                file: no.to_string(),
                why: error.to_string(),
            }),
            done => done?,
        }
    }
    Ok(all)
}

fn of_piece(book: &mut OpenBook, no: &StockNo, all: &mut AllTexts) -> Result<(), WorkError> {
    let folder = book.piece(no)?.folder;
    let done = sync_or_name(book, no)?;
    all.taken += done.taken;
    let left = |name: &str, why: String| LeftText {
        file: format!("{folder}/{name}"),
        why,
    };
    let unread = done.unread.iter();
    all.unread
        .extend(unread.map(|it| left(&it.shown, words(&it.why))));
    for row in book.record.sidecars(no)? {
        if let Some(first) = row.complaints.first() {
            let name = row.shown();
            all.faulty.push(left(&name, first.message.clone()));
        }
    }
    Ok(())
}

fn words(why: &WhyUnread) -> String {
    match why {
        WhyUnread::ReadOnly => "the book cannot be written to here".to_owned(),
        WhyUnread::Words => "`words.toml` has mistakes, which come first".to_owned(),
        WhyUnread::File(error) => error.to_string(),
    }
}
