//! The condition report as a file.

use std::collections::BTreeMap;
use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::advise::air::movement::movement;
use crate::assess::assessment::Assessment;
use crate::assess::assessment::PictureIssue;
use crate::assess::assessment::PictureNote;
use crate::evidence::seal::statement::Statement;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::picture::SmallPicture;
use crate::model::sale::FallenSale;
use crate::model::sale::Sale;
use crate::record::Edition;
use crate::report;
use crate::report::Crop;
use crate::report::DrawingInput;
use crate::report::EditionDiff;
use crate::report::EditionSummary;
use crate::report::LateWords;
use crate::report::ReportRequest;
use crate::report::SealCode;
use crate::report::SealNamed;
use crate::tongue::Language;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::written::late_words;
use crate::work::piece::recorded::assessment;
use crate::work::piece::withdraw::in_stock;
use crate::work::progress::Progress;
use crate::work::proof::handover::seal_code;
use crate::work::report::crops;
use crate::work::report::drawing_input::scene;
use crate::work::report::named_seal::named_seal;
use crate::work::sidecars::sync_sidecars::sync_piece;

pub use crate::assess::gaps::lacks::Gap;
pub use crate::report::Packing;
pub use crate::report::Reader;

/// What report is wanted.
#[derive(Clone, Debug)]
pub struct EditionRequest {
    /// The piece.
    pub stock_no: StockNo,
    /// For whom.
    pub reader: Reader,
    /// How far it must be finished.
    pub finish: Finish,
    /// How the pictures come with it.
    pub packing: Packing,
    /// Where to write it; a numbered edition lies in the piece's `reports` folder as well.
    pub out: Option<PathBuf>,
    /// In what language; in that of the book when not told.
    pub language: Option<Language>,
}

/// How far a report must be finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finish {
    /// Nothing required may be missing.
    Final,
    /// Gaps are marked.
    Draft,
}

/// What came of it.
#[derive(Clone, Debug, Serialize)]
pub struct Reported {
    /// The page; `None` when it was not written.
    pub path: Option<String>,
    /// Its edition; `None` for a draft, which has no number, and when it was not written.
    pub edition: Option<u32>,
    /// Length of the page, bytes.
    pub bytes: Option<usize>,
    /// SHA-256 of the page.
    pub digest: Option<Digest>,
    /// What keeps it from being final.
    pub blocked_by: Vec<Gap>,
    /// Sidecars whose newest text is not in force; the page says so.
    pub complaints: usize,
}

/// Makes the report of a piece. A final one gets the next edition's number, unless nothing changed since the last.
///
/// # Errors
/// When there is no such piece, or a file cannot be read or written. Missing statements are no error: the answer
/// then has no path.
pub fn report(
    book: &mut OpenBook,
    order: &EditionRequest,
    progress: &dyn Progress,
) -> Result<Reported, WorkError> {
    in_stock(book, &order.stock_no)?;
    sync_piece(book, &order.stock_no)?;
    let it = assessment(book, &order.stock_no)?;
    let mut it = match order.reader {
        Reader::Buyer => it.without_program_names(),
        Reader::Owner => it,
    };
    let gone = originals_gone(book, &it);
    it.picture_notes.extend(gone);
    let mut done = Reported {
        path: None,
        edition: None,
        bytes: None,
        digest: None,
        blocked_by: it.gaps.clone(),
        complaints: it.complaints.len(),
    };
    if order.finish == Finish::Final && !it.gaps.is_empty() {
        return Ok(done);
    }
    let press = EditionWriter::new(book, order, &it, progress)?;
    let (edition, page) = match order.finish {
        Finish::Draft => (None, press.next(None, book.now.local_day())?),
        Finish::Final => {
            let (no, page) = press.edition(book, book.now.local_day(), progress)?;
            (Some(no), page)
        }
    };
    let (path, kept) = press.write(book, edition, &page)?;
    let digest = Digest::of(page.as_bytes());
    let newest = press.newest().map(|it| it.no);
    if let Some(no) = edition.filter(|_| edition > newest) {
        let stated = press.stated.text();
        enter(book, order, no, digest, &kept, stated)?;
    }
    done.path = Some(path.display().to_string());
    done.edition = edition;
    done.bytes = Some(page.len());
    done.digest = Some(digest);
    Ok(done)
}

/// A note on each picture of which only the copy is left that was kept when it was taken in.
fn originals_gone(book: &OpenBook, it: &Assessment) -> Vec<PictureNote> {
    let gone = it.photos.iter().filter(|photo| {
        let path = book.original(&it.piece, photo);
        !path.exists()
    });
    let note = |photo: &Photo| PictureNote {
        photo: photo.no,
        code: PictureIssue::OriginalGone,
        text: "its original is not in the book any more; what is shown was made from it before"
            .to_owned(),
    };
    gone.map(note).collect()
}

pub(super) fn word(reader: Reader) -> &'static str {
    match reader {
        Reader::Buyer => "buyer",
        Reader::Owner => "owner",
    }
}

/// Enters an edition.
fn enter(
    book: &mut OpenBook,
    order: &EditionRequest,
    edition: u32,
    digest: Digest,
    path: &Path,
    stated: String,
) -> Result<(), WorkError> {
    let inside = path.strip_prefix(&book.root).unwrap_or(path);
    let edition = Edition {
        no: edition,
        made: book.now.local_day(),
        digest,
        path: inside.display().to_string(),
        stated: Some(stated),
    };
    Ok(book
        .record
        .add_edition(&order.stock_no, word(order.reader), &edition)?)
}

/// All that a page is made of.
pub(super) struct EditionWriter<'a> {
    pub(super) order: &'a EditionRequest,
    pub(super) assessment: &'a Assessment,
    /// The editions for this reader so far.
    editions: Vec<Edition>,
    /// The seals of the book as they are printed, by number.
    codes: BTreeMap<u32, SealCode>,
    /// What the page states, with the newest seal.
    stated: EditionSummary,
    sales: (Option<Sale>, Vec<FallenSale>),
    late: Option<LateWords>,
    scene: DrawingInput,
    pub(super) pictures: BTreeMap<Crop, SmallPicture>,
}

impl<'a> EditionWriter<'a> {
    fn new(
        book: &OpenBook,
        order: &'a EditionRequest,
        assessment: &'a Assessment,
        progress: &dyn Progress,
    ) -> Result<Self, WorkError> {
        let (no, record) = (&order.stock_no, &book.record);
        let sales = match order.reader {
            Reader::Owner => (record.sale(no)?, record.fallen_sales(no)?),
            Reader::Buyer => Default::default(),
        };
        let shots = report::shots(assessment, &wanted(order, Some(1), book.now.local_day()));
        let settings = book.settings()?;
        let mut scene = scene(book, &assessment.piece, &settings);
        scene.tongue = settings.tongue(order.language);
        let moved = movement(assessment, &book.trade, &settings.season).into_iter();
        // What hardly moves, and what the owner has still to measure, is no line for a buyer.
        let told = moved.filter(|it| it.swing.is_some()).map(|it| it.text);
        scene.movement = told.collect();
        let all = record.editions(no)?.into_iter();
        let editions = all.filter(|it| it.0 == word(order.reader)).map(|it| it.1);
        let seal = named_seal(book, &order.stock_no)?;
        let mut codes = BTreeMap::new();
        for it in record.seals()? {
            let Ok(statement) = Statement::read(&it.statement) else {
                continue;
            };
            codes.insert(it.no, seal_code(it.no, &statement)?);
        }
        Ok(Self {
            order,
            assessment,
            editions: editions.collect(),
            stated: EditionSummary::of(assessment, &scene, seal),
            codes,
            sales,
            late: late_words(book, assessment)?,
            scene,
            pictures: crops::take(book, assessment, &shots, order.packing, progress)?,
        })
    }

    /// The newest edition for this reader.
    fn newest(&self) -> Option<&Edition> {
        self.editions.last()
    }

    /// A page that comes after the newest edition.
    fn next(&self, edition: Option<u32>, made_on: Day) -> Result<String, WorkError> {
        let before = self.newest();
        let seal = self.stated.seal().cloned();
        self.page(wanted(self.order, edition, made_on), before, seal)
    }

    /// A page that comes after `before`.
    fn page(
        &self,
        wanted: ReportRequest,
        before: Option<&Edition>,
        seal: Option<SealNamed>,
    ) -> Result<String, WorkError> {
        let since = before.map(|it| EditionDiff::new(it.no, stated(it).as_ref(), &self.stated));
        let wanted = ReportRequest {
            since,
            code: seal.as_ref().and_then(|it| self.codes.get(&it.no).cloned()),
            seal,
            sale: self.sales.0.clone(),
            fallen: self.sales.1.clone(),
            late: self.late.clone(),
            ..wanted
        };
        Ok(report::page(
            self.assessment,
            &self.scene,
            &wanted,
            &self.pictures,
        )?)
    }

    /// The newest edition again when the page would be the same, with the seal that it named; else the next one.
    ///
    /// A seal alone makes no new edition: what the page says of the one before stays true, and an edition enters the ledger itself,
    /// without end. Nor does the other way of packing the pictures, which the page says.
    fn edition(
        &self,
        book: &OpenBook,
        today: Day,
        progress: &dyn Progress,
    ) -> Result<(u32, String), WorkError> {
        if let Some((newest, page)) = self.newest_again(false)? {
            if Digest::of(page.as_bytes()) == newest.digest {
                return Ok((newest.no, page));
            }
            if self.is_newest_otherwise_packed(book, progress)?
                && let Some((newest, copy)) = self.newest_again(true)?
            {
                return Ok((newest.no, copy));
            }
        }
        let no = self.newest().map_or(1, |it| it.no + 1);
        Ok((no, self.next(Some(no), today)?))
    }

    /// The newest edition with its page made again from the record of today; `is_copy`: it was entered packed in the other way.
    fn newest_again(&self, is_copy: bool) -> Result<Option<(&Edition, String)>, WorkError> {
        let [former @ .., newest] = self.editions.as_slice() else {
            return Ok(None);
        };
        let seal = stated(newest).and_then(|it| it.seal().cloned());
        let wanted = ReportRequest {
            is_copy,
            ..wanted(self.order, Some(newest.no), newest.made)
        };
        let page = self.page(wanted, former.last(), seal)?;
        Ok(Some((newest, page)))
    }

    /// Whether the newest edition is the page of today with its pictures packed in the other way.
    fn is_newest_otherwise_packed(
        &self,
        book: &OpenBook,
        progress: &dyn Progress,
    ) -> Result<bool, WorkError> {
        let order = EditionRequest {
            packing: match self.order.packing {
                Packing::OneFile => Packing::Folder,
                Packing::Folder => Packing::OneFile,
            },
            ..self.order.clone()
        };
        let other = EditionWriter::new(book, &order, self.assessment, progress)?;
        let again = other.newest_again(false)?;
        Ok(again.is_some_and(|(newest, page)| Digest::of(page.as_bytes()) == newest.digest))
    }
}

/// What an edition stated; `None` when that was not kept, or by another version of this program.
fn stated(edition: &Edition) -> Option<EditionSummary> {
    edition.stated.as_deref().and_then(EditionSummary::read)
}

fn wanted(order: &EditionRequest, edition: Option<u32>, made_on: Day) -> ReportRequest {
    ReportRequest {
        reader: order.reader,
        draft: order.finish == Finish::Draft,
        edition,
        made_on,
        packing: order.packing,
        is_copy: false,
        since: None,
        seal: None,
        code: None,
        sale: None,
        fallen: Vec::new(),
        late: None,
    }
}
