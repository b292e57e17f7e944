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
use crate::work::book::open_book::OpenBook;
use crate::work::book::user_text::not_utf8;
use crate::work::photos::scan_sources::modified;
use crate::work::piece::recorded::piece_record;
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

/// What became of the sidecars of a piece, as paths in the piece.
#[derive(Debug, Default)]
pub(in crate::work) struct Absorbed {
    /// Their files are gone.
    pub(in crate::work) gone: Vec<String>,
    /// They were changed and are not taken in, because the book cannot be written to.
    pub(in crate::work) unread: Vec<String>,
}

/// Absorbs what the user changed in the sidecars of a piece; gives the sidecars that are gone, as paths in the piece.
///
/// # Errors
/// When a file cannot be read, or something has to be written and the book cannot be.
pub(in crate::work) fn absorb(
    book: &mut OpenBook,
    stock_no: &StockNo,
) -> Result<Vec<String>, WorkError> {
    let done = absorb_or_name(book, stock_no)?;
    match done.unread.first() {
        None => Ok(done.gone),
        Some(first) => Err(WorkError::Unread(first.clone())),
    }
}

/// The same where the book can be written to; where it cannot, names what was changed and leaves it.
///
/// # Errors
/// When a file cannot be read, or the book can be neither written nor read.
pub(in crate::work) fn absorb_or_name(
    book: &mut OpenBook,
    stock_no: &StockNo,
) -> Result<Absorbed, WorkError> {
    let mut done = Absorbed::default();
    // Twice at most: a text that names a finding may wait for a number given in the first round.
    for _ in 0..2 {
        let changed = changed(book, stock_no, &mut done.gone)?;
        if book.record.is_read_only() {
            for it in changed {
                // Copied onto another medium a file has another time, and the same text.
                let known = book.record.sidecar_text(stock_no, it.photo)?;
                if known.as_deref() != Some(&it.text.text) {
                    done.unread.push(it.shown);
                }
            }
            break;
        }
        // While the user's own words have mistakes, a sidecar that uses them would seem wrong: it waits.
        if book.trade().is_err() {
            break;
        }
        let now = book.now;
        let texts: Vec<_> = changed
            .iter()
            .map(|it| (it.photo, it.text.text(now)))
            .collect();
        if !texts.is_empty() {
            book.record.absorb(stock_no, &texts)?;
        }
        // Numbering findings asks nothing of the settings; a mistake in them must not hold it up.
        let (settings, _) = book.settings_or_usual()?;
        let case = piece_record(book, stock_no, settings)?;
        let new = assess::new_keys(&case, &book.trade);
        if new.is_empty() {
            break;
        }
        book.record.number_findings(stock_no, &new)?;
    }
    Ok(done)
}

/// A sidecar that was changed since it was last read.
struct Changed {
    photo: u32,
    /// What complaints call it.
    shown: String,
    text: ReadText,
}

/// The sidecars of a piece that were changed; `gone` becomes those whose files are not there.
fn changed(
    book: &OpenBook,
    stock_no: &StockNo,
    gone: &mut Vec<String>,
) -> Result<Vec<Changed>, WorkError> {
    let piece = book.record.piece(stock_no)?;
    let folder = book.piece_folder(&piece);
    let readable = book.trade().is_ok();
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
        let is_known = same || book.record.is_read_only();
        if is_known && text.read.as_ref().err() == Some(&row.complaints) {
            continue;
        }
        changed.push(Changed {
            photo: row.photo,
            shown,
            text,
        });
    }
    Ok(changed)
}

/// The time a file was last changed and its length, for the sidecar table.
fn stamp(path: &Path) -> Result<(i64, u64), WorkError> {
    let it = std::fs::metadata(path).at("look at", path)?;
    Ok((modified(&it), it.len()))
}
