//! Reading the sidecars that changed since they were last read, and numbering what is new in them.

use std::path::Path;

use crate::assess;
use crate::kit::clock::Moment;
use crate::kit::files::At as _;
use crate::kit::files::read;
use crate::mark;
use crate::mark::Words;
use crate::model::complaint::Complaint;
use crate::model::ids::StockNo;
use crate::model::mark::Sidecar;
use crate::record::Text;
use crate::work::WorkError;
use crate::work::advice::survey;
use crate::work::book::open_book::OpenBook;
use crate::work::book::user_text::not_utf8;
use crate::work::photos::scan_sources::modified;
use crate::work::sidecars::vocabulary;

/// A sidecar's text as it was read from its file.
pub(in crate::work) struct ReadText {
    text: String,
    read: Result<Sidecar, Vec<Complaint>>,
    modified_ns: i64,
    bytes: u64,
}

impl ReadText {
    pub(in crate::work) fn text(&self, absorbed: Moment) -> Text<'_> {
        Text {
            text: &self.text,
            read: self.read.as_ref().map_err(Vec::as_slice),
            absorbed,
            modified_ns: self.modified_ns,
            bytes: self.bytes,
        }
    }
}

/// Reads a sidecar's file; `shown` is what complaints call it.
pub(in crate::work) fn read_text(
    path: &Path,
    shown: &str,
    words: &Words,
) -> Result<ReadText, WorkError> {
    // The stamp is taken before the text: a change in between is read again next time.
    let (modified_ns, bytes) = stamp(path)?;
    let raw = read(path)?;
    let (text, read) = match String::from_utf8(raw) {
        Ok(text) => {
            let read = mark::read(shown, &text, words);
            (text, read)
        }
        Err(error) => {
            let complaint = not_utf8(shown, error.as_bytes(), error.utf8_error().valid_up_to());
            (
                String::from_utf8_lossy(error.as_bytes()).into_owned(),
                Err(vec![complaint]),
            )
        }
    };
    Ok(ReadText {
        text,
        read,
        modified_ns,
        bytes,
    })
}

/// Absorbs what the user changed in the sidecars of a piece; gives the sidecars that are gone, as paths in the piece.
///
/// # Errors
/// When a file cannot be read or the book cannot be written.
pub(in crate::work) fn absorb(
    book: &mut OpenBook,
    stock_no: &StockNo,
) -> Result<Vec<String>, WorkError> {
    let piece = book.record.piece(stock_no)?;
    let folder = book.piece_folder(&piece);
    let mut gone = Vec::new();
    // While the user's own words have mistakes, a sidecar that uses them would seem wrong: it waits.
    let readable = book.trade().is_ok();
    // Twice at most: a text that names a finding may wait for a number given in the first round.
    for _ in 0..2 {
        let words = vocabulary::of_piece(&book.trade, &piece, &book.record.findings(stock_no)?);
        let mut changed = Vec::new();
        gone.clear();
        for row in book.record.sidecars(stock_no)? {
            let shown = format!("{}/{}.toml", row.folder, row.name);
            let path = folder.join(&row.folder).join(format!("{}.toml", row.name));
            if !path.exists() {
                gone.push(shown);
                continue;
            }
            if !readable {
                continue;
            }
            let same = stamp(&path)? == (row.modified_ns, row.bytes);
            if same && row.complaints.is_empty() {
                continue;
            }
            let text = read_text(&path, &shown, &words)?;
            if same && text.read.as_ref().err() == Some(&row.complaints) {
                continue;
            }
            changed.push((row.photo, text));
        }
        if !readable {
            break;
        }
        let now = book.now;
        let texts: Vec<_> = changed.iter().map(|(no, it)| (*no, it.text(now))).collect();
        if !texts.is_empty() {
            book.record.absorb(stock_no, &texts)?;
        }
        // Numbering findings asks nothing of the settings; a mistake in them must not hold it up.
        let (settings, _) = book.settings_or_usual()?;
        let case = survey::case(book, stock_no, settings)?;
        let new = assess::new_keys(&case, &book.trade);
        if !new.is_empty() {
            book.record.number_findings(stock_no, &new)?;
        }
        if new.is_empty() {
            break;
        }
    }
    Ok(gone)
}

/// The time a file was last changed and its length, for the sidecar table.
fn stamp(path: &Path) -> Result<(i64, u64), WorkError> {
    let it = std::fs::metadata(path).at("look at", path)?;
    Ok((modified(&it), it.len()))
}
