//! Reading the sidecars that changed since they were last read, and numbering what is new in them.

use std::cell::LazyCell;
use std::path::Path;

use crate::assess;
use crate::assess::faces::piece_shape::PieceShape;
use crate::kit::clock::Moment;
use crate::kit::files::At as _;
use crate::kit::files::read;
use crate::mark;
use crate::mark::FaceDoubt;
use crate::mark::Words;
use crate::model::complaint::Complaint;
use crate::model::face::LaidFace;
use crate::model::ids::StockNo;
use crate::model::mark::Sidecar;
use crate::record::Text;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::book::user_text::not_utf8;
use crate::work::photos::scan_sources::modified;
use crate::work::piece::recorded::piece_record;
use crate::work::sidecars::face_check;
use crate::work::sidecars::vocabulary;

/// A sidecar's text as it was read from its file.
pub(in crate::work) struct ReadText {
    text: String,
    read: Result<Sidecar, Vec<Complaint>>,
    modified_ns: i64,
    bytes: u64,
}

impl ReadText {
    pub(in crate::work) fn text(&self, entered: Moment) -> Text<'_> {
        Text {
            text: &self.text,
            read: self.read.as_ref().map_err(Vec::as_slice),
            entered,
            modified_ns: self.modified_ns,
            bytes: self.bytes,
        }
    }
}

/// Reads a sidecar's file; `shown` is what complaints call it, `check` holds its laid faces against the piece and the picture.
pub(in crate::work) fn read_text(
    path: &Path,
    shown: &str,
    words: &Words,
    check: &dyn Fn(&LaidFace) -> Option<FaceDoubt>,
) -> Result<ReadText, WorkError> {
    // The stamp is taken before the text: a change in between is read again next time.
    let (modified_ns, bytes) = stamp(path)?;
    let raw = read(path)?;
    let (text, read) = match String::from_utf8(raw) {
        Ok(text) => {
            let read = mark::read_with(shown, &text, words, check);
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
pub(in crate::work) struct Synced {
    /// Their files are gone.
    pub(in crate::work) gone: Vec<String>,
    /// They were changed and are not taken in.
    pub(in crate::work) unread: Vec<Unread>,
    /// How many texts were taken in, each with a line of the ledger.
    pub(in crate::work) taken: usize,
}

/// A sidecar that was changed and is not taken in.
#[derive(Debug)]
pub(in crate::work) struct Unread {
    /// Its path in the piece.
    pub(in crate::work) shown: String,
    /// Why not.
    pub(in crate::work) why: WhyUnread,
}

/// Why a sidecar that was changed is not taken in.
#[derive(Debug)]
pub(in crate::work) enum WhyUnread {
    /// The book cannot be written to.
    ReadOnly,
    /// The user's own words have mistakes, so that a good text might seem wrong.
    Words,
    /// Its file cannot be read.
    File(Box<WorkError>),
}

/// Takes in what the user changed in the sidecars of a piece; gives the sidecars that are gone, as paths in the piece.
///
/// # Errors
/// When a file cannot be read, or something has to be written and the book cannot be.
pub(in crate::work) fn sync_piece(
    book: &mut OpenBook,
    stock_no: &StockNo,
) -> Result<Vec<String>, WorkError> {
    let done = sync_or_name(book, stock_no)?;
    match waiting(done.unread)?.into_iter().next() {
        None => Ok(done.gone),
        Some(first) => Err(WorkError::Unread(first)),
    }
}

/// Of the sidecars that were not taken in, those that wait for a book that can be written to. Mistakes in the user's own words
/// are told by every command that needs the words.
///
/// # Errors
/// When the file of one could not be read.
pub(in crate::work) fn waiting(unread: Vec<Unread>) -> Result<Vec<String>, WorkError> {
    let mut names = Vec::new();
    for it in unread {
        match it.why {
            WhyUnread::ReadOnly => names.push(it.shown),
            WhyUnread::File(error) => return Err(*error),
            WhyUnread::Words => {}
        }
    }
    Ok(names)
}

/// The same where it can be done; where it cannot, names what was changed and leaves it.
///
/// # Errors
/// When the book can be neither written nor read.
pub(in crate::work) fn sync_or_name(
    book: &mut OpenBook,
    stock_no: &StockNo,
) -> Result<Synced, WorkError> {
    let mut done = Synced::default();
    // Twice at most: a text that names a finding may wait for a number given in the first round.
    for _ in 0..2 {
        let changed = changed(book, stock_no, &mut done)?;
        // While the user's own words have mistakes, a sidecar that uses them would seem wrong: it waits.
        if book.record.is_read_only() || book.trade().is_err() {
            leave(book, stock_no, changed, &mut done)?;
            break;
        }
        let now = book.now;
        let texts: Vec<_> = changed
            .iter()
            .map(|it| (it.photo, it.text.text(now)))
            .collect();
        if !texts.is_empty() {
            done.taken += book.record.enter_texts(stock_no, &texts)?;
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

/// Names what waits. Copied onto another medium a file has another time and the same text: nothing waits there.
fn leave(
    book: &OpenBook,
    stock_no: &StockNo,
    changed: Vec<Changed>,
    done: &mut Synced,
) -> Result<(), WorkError> {
    if changed.is_empty() {
        return Ok(());
    }
    let known = book.record.newest_texts(stock_no)?;
    let read_only = book.record.is_read_only();
    for it in changed {
        let mut known = known.iter();
        if known.any(|row| row.0 == it.photo && row.1 == it.text.text) {
            continue;
        }
        let why = match read_only {
            true => WhyUnread::ReadOnly,
            false => WhyUnread::Words,
        };
        let shown = it.shown;
        done.unread.push(Unread { shown, why });
    }
    Ok(())
}

/// A sidecar that was changed since it was last read.
struct Changed {
    photo: u32,
    /// What complaints call it.
    shown: String,
    text: ReadText,
}

/// The sidecars of a piece that were changed; those whose files are not there or cannot be read are named anew in `done`.
fn changed(
    book: &OpenBook,
    stock_no: &StockNo,
    done: &mut Synced,
) -> Result<Vec<Changed>, WorkError> {
    let piece = book.record.piece(stock_no)?;
    let folder = book.piece_folder(&piece);
    let is_left = book.trade().is_err() || book.record.is_read_only();
    let words = vocabulary::of_piece(&book.trade, &piece, &book.record.findings(stock_no)?);
    let shape = PieceShape::of(&book.trade, &piece, &vocabulary::parts(&book.trade, &piece));
    // Asked for only when a text that lays a face is read.
    let photos = LazyCell::new(|| book.record.photos(stock_no));
    let facts = |no: u32| {
        let photos = photos.as_ref().ok()?;
        photos.iter().find(|it| it.no == no).map(|it| &it.facts)
    };
    let mut changed = Vec::new();
    done.gone.clear();
    done.unread.clear();
    for row in book.record.sidecars(stock_no)? {
        let shown = row.shown();
        let path = folder.join(&row.folder).join(format!("{}.toml", row.name));
        if !path.exists() {
            done.gone.push(shown);
            continue;
        }
        let text = stamp(&path).and_then(|it| {
            let same = it == (row.modified_ns, row.bytes);
            let is_done = same && (row.complaints.is_empty() || is_left);
            (!is_done)
                .then(|| {
                    let check =
                        |laid: &LaidFace| face_check::doubt(&shape, facts(row.photo)?, laid);
                    Ok((same, read_text(&path, &shown, &words, &check)?))
                })
                .transpose()
        });
        let (same, text) = match text {
            Ok(None) => continue,
            Ok(Some(it)) => it,
            Err(error) => {
                let why = WhyUnread::File(Box::new(error));
                done.unread.push(Unread { shown, why });
                continue;
            }
        };
        if same && text.read.as_ref().err() == Some(&row.complaints) {
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
