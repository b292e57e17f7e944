//! What a dossier encloses, and what it leaves out and why.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::path::PathBuf;

use crate::evidence::dossier::paths;
use crate::evidence::ledger::entry::EditionMade;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::Kept;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::seal::proofs::PrivatePart;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::record::StoredLine;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::desk::Desk;
use crate::work::dossier::desk::desk;
use crate::work::dossier::disclosure::CopyTold;
use crate::work::dossier::disclosure::Disclosure;
use crate::work::dossier::left_out::AllLeftOut;
use crate::work::dossier::left_out::NotIn;
use crate::work::dossier::left_out::WhyNot;
use crate::work::dossier::place::look;
use crate::work::dossier::place::look_at_photo;
use crate::work::progress::Progress;
use crate::work::proof::book_source::digest_of;

/// Folder of the copies without camera facts or private notes, below `data/`.
pub(in crate::work) const COPIES: &str = "copies";

pub use crate::work::dossier::desk::Shown;

/// A file to put in, below `data/`.
pub(in crate::work) struct ToPut {
    pub(in crate::work) place: String,
    pub(in crate::work) from: From,
    pub(in crate::work) sha256: Digest,
}

/// Where its bytes are.
pub(in crate::work) enum From {
    File(PathBuf),
    Text(String),
}

/// A copy without what is not shown, to put in; of a photo it is made when it is written.
pub(in crate::work) struct ToCopy {
    pub(in crate::work) told: CopyTold,
    /// The original's file, or the text of the copy itself.
    pub(in crate::work) from: From,
    /// The original's digest.
    pub(in crate::work) sha256: Digest,
}

/// All that goes in.
#[derive(Default)]
pub(in crate::work) struct Plan {
    pub(in crate::work) lines: Vec<LedgerLine>,
    pub(in crate::work) private: Vec<PrivatePart>,
    pub(in crate::work) files: Vec<ToPut>,
    pub(in crate::work) not_in: Vec<NotIn>,
    pub(in crate::work) copies: Vec<ToCopy>,
    pub(in crate::work) discloses: Disclosure,
    /// Place and line of each photo that is in.
    pub(in crate::work) photos: BTreeMap<u32, (u64, Option<String>)>,
    /// Where the newest text beside each photo lies, or why it is not in.
    pub(in crate::work) beside: BTreeMap<u32, String>,
    /// The enclosed reports that may show a picture that is out, by the picture's number.
    pub(in crate::work) shown_in: BTreeMap<u32, Vec<String>>,
    folded: BTreeSet<String>,
    /// Where a photo goes, and where else what is written beside it may go.
    pub(in crate::work::dossier) places: BTreeMap<u32, Vec<String>>,
}

/// Plans the dossier of a piece: `stored` are the book's first line and the piece's, of which those from `size` on are newer than
/// the seal.
///
/// # Errors
/// When the record cannot be read, or a line is none.
pub(in crate::work) fn plan(
    book: &OpenBook,
    stock_no: &StockNo,
    stored: &[StoredLine],
    size: u64,
    shown: Shown,
    progress: &dyn Progress,
) -> Result<Plan, WorkError> {
    let mut plan = Plan::default();
    let mut entries = Vec::new();
    for it in stored {
        let line = LedgerLine::read(&it.text)
            .map_err(|why| WorkError::asked(format!("line {}: {why}", it.no)))?;
        let entry = Entry::read(&line).ok();
        if it.no >= size {
            plan.newer(&line, entry.as_ref());
            continue;
        }
        plan.private_part(it, shown);
        plan.lines.push(line);
        entries.push((it.no, entry));
    }
    let known: Vec<(u64, &EntryKind)> = entries
        .iter()
        .filter_map(|(no, it)| match it {
            Some(Entry::Known(known)) => Some((*no, known)),
            _ => None,
        })
        .collect();
    let desk = desk(book, stock_no, shown, &known)?;
    let photos = known
        .iter()
        .filter(|it| matches!(it.1, EntryKind::Photo(_)));
    progress.begin("looking at originals", photos.count());
    for (no, known) in &known {
        match known {
            EntryKind::Photo(it) => {
                plan.photo(&desk, *no, it);
                progress.step();
            }
            EntryKind::Sidecar(it) => plan.sidecar(&desk, *no, it),
            EntryKind::Edition(it) => plan.edition(&desk, *no, it)?,
            EntryKind::Kept(it) => plan.kept(&desk, *no, it),
            EntryKind::Removed(it) => plan.discloses.removal(*no, it.photo, &it.why),
            EntryKind::Withdrawn(it) => plan.discloses.withdrawal(*no, &it.why),
            _ => {}
        }
    }
    progress.end();
    Ok(plan)
}

impl Plan {
    /// Whether the copy of a photo lies in the place of its original.
    pub(in crate::work) fn has_copies_of_photos(&self) -> bool {
        let lines = self.photos.values().map(|it| it.0);
        let of = |line: u64| self.discloses.copies.iter().any(|it| it.line == line);
        { lines }.any(of)
    }

    /// All that is left out.
    pub(in crate::work) fn left_out(&self) -> AllLeftOut<'_> {
        AllLeftOut {
            not_in: &self.not_in,
            private_parts: &self.discloses.private_kept_back,
            copies: &self.discloses.copies,
        }
    }

    fn private_part(&mut self, it: &StoredLine, shown: Shown) {
        match &it.private {
            Some(text) if shown.private => {
                self.discloses.private_parts.push(it.no);
                self.private.push(PrivatePart {
                    no: it.no,
                    text: text.clone(),
                });
            }
            Some(_) => self.discloses.private_kept_back.push(it.no),
            None => {}
        }
    }

    fn newer(&mut self, line: &LedgerLine, entry: Option<&Entry>) {
        let what = match entry {
            Some(Entry::Known(EntryKind::Edition(it))) => {
                format!("edition {} for the {}", it.no, it.reader)
            }
            _ => format!("a line of the kind `{}`", line.what),
        };
        self.not_in.push(NotIn {
            line: line.no,
            what,
            sha256: None,
            why: WhyNot::Newer,
        });
    }

    pub(in crate::work::dossier) fn leave(
        &mut self,
        no: u64,
        sha256: Digest,
        why: WhyNot,
        what: String,
    ) {
        self.not_in.push(NotIn {
            line: no,
            what,
            sha256: Some(sha256),
            why,
        });
    }

    pub(in crate::work::dossier) fn put(&mut self, place: String, sha256: Digest, from: From) {
        self.files.push(ToPut {
            place,
            from,
            sha256,
        });
    }

    fn photo(&mut self, desk: &Desk, no: u64, it: &PhotoTaken) {
        let fits = |place: &String| {
            let path = format!("data/originals/{place}");
            !place.contains('%') && paths::safe(&path).is_ok()
        };
        let usual = it.place();
        let free = fits(&usual) && !self.folded.contains(&usual.to_lowercase());
        let place = if free { usual } else { it.numbered_place() };
        self.folded.insert(place.to_lowercase());
        let other = it.numbered_place();
        let free = fits(&other) && !self.folded.contains(&other.to_lowercase());
        let other = free.then_some(other);
        self.folded.extend(other.iter().map(|it| it.to_lowercase()));
        let places = std::iter::once(place.clone()).chain(other);
        self.places.insert(it.photo, places.collect());
        if desk.removed.contains(&(it.photo, it.sha256)) {
            return;
        }
        let what = format!("photo {}, {}", it.photo, it.name);
        self.photos.insert(it.photo, (no, None));
        let photo = desk.photos.get(&it.photo);
        let Some(photo) = photo.filter(|photo| photo.digest == it.sha256) else {
            return self.leave(no, it.sha256, WhyNot::Lost, what);
        };
        let path = desk.book.original(&desk.piece, photo);
        match look_at_photo(&path, photo) {
            None => self.leave(no, it.sha256, WhyNot::Lost, what),
            Some(_) if desk.shown.copies => {
                self.copy(no, it.sha256, &place, &what, path);
                self.leave(no, it.sha256, WhyNot::Stripped, what);
            }
            Some(told)
                if told.may_hold_a_place() && !desk.shown.places && !desk.is_the_buyers(photo) =>
            {
                self.leave(no, it.sha256, WhyNot::Place, what);
            }
            Some(told) => {
                self.discloses.file(no, &what, &told);
                let place = format!("originals/{place}");
                self.photos.insert(it.photo, (no, Some(place.clone())));
                self.put(place, it.sha256, From::File(path));
            }
        }
    }

    fn copy(&mut self, no: u64, sha256: Digest, place: &str, what: &str, from: PathBuf) {
        let told = CopyTold {
            line: no,
            what: what.to_owned(),
            place: format!("{COPIES}/{place}.copy.jpg"),
            original: sha256.to_string(),
            without: "all that its file holds beside the picture".to_owned(),
        };
        self.discloses.copies.push(told.clone());
        self.copies.push(ToCopy {
            told,
            from: From::File(from),
            sha256,
        });
    }

    fn edition(&mut self, desk: &Desk, no: u64, it: &EditionMade) -> Result<(), WorkError> {
        let what = format!("edition {} for the {}", it.no, it.reader);
        if it.reader != "buyer" && !desk.shown.private {
            self.leave(no, it.sha256, WhyNot::Private, what);
            return Ok(());
        }
        let out = desk.out_since(no);
        if !out.is_empty() && !desk.shown.older_reports {
            self.leave(no, it.sha256, WhyNot::MayShow, what);
            return Ok(());
        }
        let all = desk.book.record.editions(&desk.piece.stock_no)?;
        let made = all
            .iter()
            .find(|(reader, made)| *reader == it.reader && made.no == it.no);
        let path = made.map(|(_, made)| desk.book.root.join(&made.path));
        let place = format!("reports/{}", it.place());
        for photo in out {
            self.shown_in.entry(photo).or_default().push(place.clone());
        }
        match path.filter(|path| digest_of(path) == Some(it.sha256)) {
            Some(path) => {
                self.discloses.report(no, &what, &place);
                self.put(place, it.sha256, From::File(path));
            }
            None => self.leave(no, it.sha256, WhyNot::Lost, what),
        }
        Ok(())
    }

    /// Papers and messages lie in the piece's `kept` folder.
    fn kept(&mut self, desk: &Desk, no: u64, it: &Kept) {
        let folder = desk.book.piece_folder(&desk.piece).join("kept");
        let place = format!("kept/{}", it.name);
        let safe = paths::safe(&format!("data/{place}")).is_ok();
        let path = folder.join(&it.name);
        let what = it.name.clone();
        match look(&path, it.sha256).filter(|_| safe) {
            None => self.leave(no, it.sha256, WhyNot::Lost, what),
            Some(told) if told.may_hold_a_place() && !desk.shown.places => {
                self.leave(no, it.sha256, WhyNot::PlaceInPaper, what);
            }
            Some(told) => {
                self.discloses.file(no, &what, &told);
                self.discloses.paper(no, &what, &place);
                self.put(place, it.sha256, From::File(path));
            }
        }
    }
}
