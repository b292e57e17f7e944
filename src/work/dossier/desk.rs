//! What the book has of a piece that goes into a dossier, and whose it is.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::ops::Range;

use crate::evidence::ledger::entry::EntryKind;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::model::mark::Sidecar;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::piece::Piece;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// What of the owner's own business may be shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shown {
    /// Private parts of lines, sidecars with a private note, the owner's copies of the report.
    pub private: bool,
    /// Originals and papers in which a place is written.
    pub places: bool,
    /// Copies in the place of the originals and sidecars that tell a place, a name, a serial number or words of other programs.
    pub copies: bool,
    /// Reports that were made while a picture was in that was taken out since.
    pub older_reports: bool,
}

/// The book's side: where what a line names is looked up.
pub(in crate::work) struct Desk<'a> {
    pub(in crate::work) book: &'a OpenBook,
    pub(in crate::work) piece: Piece,
    pub(in crate::work) shoots: Vec<Shoot>,
    pub(in crate::work) photos: BTreeMap<u32, Photo>,
    pub(in crate::work) texts: BTreeMap<u32, (String, Option<Sidecar>)>,
    pub(in crate::work) removed: BTreeSet<(u32, Digest)>,
    /// The photos that are out, each with the lines from and to which it was in.
    was_in: Vec<(u32, Range<u64>)>,
    /// Line of the newest text of each photo.
    pub(in crate::work) newest: BTreeMap<u32, (u64, Digest)>,
    /// The text in force beside each photo whose newest text is not, with what it says.
    pub(in crate::work) in_force: BTreeMap<u32, (String, Option<Sidecar>)>,
    /// Cameras, with their serial numbers, of the shoots before the sale: the owner's.
    pub(in crate::work) own_cameras: BTreeSet<(String, Option<String>)>,
    pub(in crate::work) shown: Shown,
}

/// Lays out what the book has of a piece.
///
/// # Errors
/// When the record cannot be read.
pub(in crate::work) fn desk<'a>(
    book: &'a OpenBook,
    stock_no: &StockNo,
    shown: Shown,
    known: &[(u64, &EntryKind)],
) -> Result<Desk<'a>, WorkError> {
    let mut removed = BTreeSet::new();
    let mut newest = BTreeMap::new();
    let mut entered: BTreeMap<(u32, Digest), u64> = BTreeMap::new();
    let mut was_in = Vec::new();
    for (no, known) in known {
        match known {
            EntryKind::Photo(it) => {
                entered.insert((it.photo, it.sha256), *no);
            }
            EntryKind::Removed(it) => {
                let of = (it.photo, it.sha256);
                was_in.extend(entered.remove(&of).map(|from| (of, from..*no)));
                removed.insert(of);
            }
            EntryKind::Returned(it) => {
                let of = (it.photo, it.sha256);
                entered.insert(of, *no);
                removed.remove(&of);
            }
            EntryKind::Sidecar(it) => {
                newest.insert(it.photo, (*no, it.sha256));
            }
            _ => {}
        }
    }
    was_in.retain(|(of, _)| removed.contains(of));
    let texts = book.record.newest_texts(stock_no)?;
    let in_force = in_force(book, stock_no)?;
    let (shoots, photos) = (book.record.shoots(stock_no)?, book.record.photos(stock_no)?);
    let own = |it: &&Photo| !is_after_sale(&shoots, it);
    let cameras = photos
        .iter()
        .filter(own)
        .filter_map(|it| Some((it.facts.camera.clone()?, it.facts.serial.clone())));
    Ok(Desk {
        book,
        piece: book.piece(stock_no)?,
        own_cameras: cameras.collect(),
        shoots,
        photos: photos.into_iter().map(|it| (it.no, it)).collect(),
        texts: texts
            .into_iter()
            .map(|(no, text, read)| (no, (text, read)))
            .collect(),
        in_force,
        removed,
        was_in: was_in.into_iter().map(|((no, _), it)| (no, it)).collect(),
        newest,
        shown,
    })
}

/// The text in force beside each photo whose newest text could not be read.
fn in_force(
    book: &OpenBook,
    stock_no: &StockNo,
) -> Result<BTreeMap<u32, (String, Option<Sidecar>)>, WorkError> {
    let kept = book.record.kept_texts(stock_no)?;
    let refused = kept
        .into_iter()
        .filter(|(_, texts)| texts.last().is_some_and(|it| it.content.is_none()));
    let in_force = refused.filter_map(|(photo, texts)| {
        let it = texts.into_iter().find(|it| it.in_force)?;
        // What cannot be read again may hold a private note.
        let read = it.content.and_then(|it| serde_json::from_str(&it).ok());
        Some((photo, (it.text, read)))
    });
    Ok(in_force.collect())
}

/// Whether a photo shows the piece at the buyer's, or come back.
fn is_after_sale(shoots: &[Shoot], photo: &Photo) -> bool {
    let shoot = shoots.iter().find(|it| it.no == photo.shoot);
    shoot.is_some_and(|it| it.stage.after_sale())
}

impl Desk<'_> {
    /// The photos that are out, and were in when this line was written; by number.
    pub(in crate::work) fn out_since(&self, line: u64) -> Vec<u32> {
        let these = self.was_in.iter().filter(|it| it.1.contains(&line));
        let these: BTreeSet<u32> = these.map(|it| it.0).collect();
        these.into_iter().collect()
    }

    /// Whether the buyer sent it: it was taken after the sale, and not by a camera of the shoots before. A place in it is one
    /// that the buyer told.
    pub(in crate::work) fn is_the_buyers(&self, photo: &Photo) -> bool {
        let camera = photo
            .facts
            .camera
            .clone()
            .map(|it| (it, photo.facts.serial.clone()));
        let own = camera.is_some_and(|it| self.own_cameras.contains(&it));
        is_after_sale(&self.shoots, photo) && !own
    }
}
