//! The package for a third party: originals, what was written beside them, reports, lines, proofs and seals, and a page to begin with.

use std::fs::File;
use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::evidence::dossier::bag::BagError;
use crate::evidence::dossier::bag::FileSink;
use crate::evidence::dossier::bag::Writer;
use crate::evidence::dossier::package::CHECK_PAGE;
use crate::evidence::dossier::package::DossierError;
use crate::evidence::dossier::package::Proof;
use crate::evidence::dossier::package::SET_SIGNATURE;
use crate::evidence::dossier::package::SealFiles;
use crate::evidence::dossier::package::put;
use crate::evidence::key::pair::Key;
use crate::evidence::key::pair::PublicKey;
use crate::kit::clock::Moment;
use crate::kit::files::At as _;
use crate::kit::files::UNFINISHED;
use crate::kit::files::make_folder;
use crate::kit::files::replace;
use crate::model::ids::StockNo;
use crate::report;
use crate::report::CoverRequest;
use crate::report::Packing;
use crate::tongue::Language;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::asked::known_claim;
use crate::work::dossier::asked::named_photos;
use crate::work::dossier::bag_files::Folder;
use crate::work::dossier::bag_files::ZipSink;
use crate::work::dossier::copies::copies;
use crate::work::dossier::cover::cover;
use crate::work::dossier::files::From;
use crate::work::dossier::files::Plan;
use crate::work::dossier::files::plan;
use crate::work::dossier::seals::Sealed;
use crate::work::dossier::seals::seals_so_far;
use crate::work::out;
use crate::work::piece::recorded::assessment;
use crate::work::progress::Progress;
use crate::work::proof::book_dossiers::FOLDER;
use crate::work::proof::keys;
use crate::work::report::crops;
use crate::work::report::drawing_input::scene;
use crate::work::sidecars::sync_sidecars::sync_piece;

pub use crate::work::dossier::disclosure::CopyTold;
pub use crate::work::dossier::disclosure::Disclosure;
pub use crate::work::dossier::disclosure::Told;
pub use crate::work::dossier::files::Shown;
pub use crate::work::dossier::left_out::NotIn;
pub use crate::work::dossier::left_out::WhyNot;

/// What dossier is wanted.
#[derive(Clone, Debug)]
pub struct DossierRequest {
    /// The piece.
    pub stock_no: StockNo,
    /// The kind of claim it is for, by id.
    pub claim: Option<String>,
    /// Pictures of the claim: files, or numbers in the book.
    pub photos: Vec<String>,
    /// What of the owner's own business may be shown.
    pub shown: Shown,
    /// Zip or folder.
    pub wrap: Wrap,
    /// Where to write it; in the piece's `dossiers` folder when not told.
    pub out: Option<PathBuf>,
    /// The passphrase of the key.
    pub passphrase: Option<String>,
    /// The language of `CHECK.txt`; `None` for the book's.
    pub language: Option<Language>,
}

/// How it is wrapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrap {
    /// One zip, its files stored.
    Zip,
    /// A folder.
    Folder,
}

/// What came of it.
#[derive(Clone, Debug, Serialize)]
pub struct DossierResult {
    /// The zip or folder.
    pub path: String,
    /// How many files the lines vouch for and the dossier holds.
    pub files: usize,
    /// The seal that covers its lines.
    pub seal: u32,
    /// Not later than this all of its lines were there, by an authority; `None` without one.
    pub time_stamp: Option<Moment>,
    /// Whether the set of files as a whole is signed.
    pub signed: bool,
    /// The key's fingerprint.
    pub fingerprint: String,
    /// When another key took the place of one before, a sentence each, as on the cover.
    pub key_changes: Vec<String>,
    /// What it tells beside what its pictures show.
    pub discloses: Disclosure,
    /// What is not in it, and why.
    pub left_out: Vec<NotIn>,
    /// What an answer to the claim still needs.
    pub missing_for_claim: Vec<String>,
}

impl DossierResult {
    /// How many files are lost.
    #[must_use]
    pub fn lost(&self) -> usize {
        self.left_out
            .iter()
            .filter(|it| it.why == WhyNot::Lost)
            .count()
    }
}

/// A dossier that is ready to be written: what it will tell can be read before.
pub struct Prepared {
    it: Assessment,
    sealed: Sealed,
    plan: Plan,
    cover: CoverRequest,
    key: Option<Key>,
    target: PathBuf,
    wrap: Wrap,
    language: Language,
}

/// Prepares the dossier of a piece, also before its lines are sealed; writes nothing.
///
/// # Errors
/// When the ledger no longer fits its newest seal, the claim or a picture is not known, the place is taken, or files cannot be read.
pub fn prepare(
    book: &mut OpenBook,
    order: &DossierRequest,
    progress: &dyn Progress,
) -> Result<Prepared, WorkError> {
    if order.shown.copies && order.shown.private {
        return Err(WorkError::asked_with(
            "`--stripped` leaves words and names out, `--with-private` puts private words in: only one of them can be meant",
            "nothing was written: give one of the two",
        ));
    }
    let claim = order.claim.as_deref().map(known_claim).transpose()?;
    sync_piece(book, &order.stock_no)?;
    let it = assessment(book, &order.stock_no)?;
    let it = match order.shown.copies {
        true => it.without_program_names(),
        false => it,
    };
    let photos = named_photos(&it, &order.photos)?;
    let key = match (keys::needs_passphrase(book)?, &order.passphrase) {
        (true, None) => None,
        (_, passphrase) => keys::stored(book, passphrase.as_deref())?,
    };
    let sealed = seals_so_far(book, &order.stock_no, key.as_ref())?;
    // What is not sealed yet is rehearsed as if it were: nothing is written before it is.
    let size = match sealed.open {
        Some(_) => u64::MAX,
        None => sealed.size,
    };
    let stored = &sealed.lines;
    let plan = plan(book, &order.stock_no, stored, size, order.shown, progress)?;
    let target = target(book, order, &it)?;
    let mut cover = cover(book, &it, &plan, &sealed)?;
    (cover.claim, cover.photos, cover.signed) = (claim, photos, key.is_some());
    Ok(Prepared {
        it,
        sealed,
        plan,
        cover,
        key,
        target,
        wrap: order.wrap,
        language: book.settings()?.tongue(order.language).language,
    })
}

/// Prepares and writes the dossier of a piece.
///
/// # Errors
/// As [`prepare`] and [`Prepared::write`].
pub fn dossier(
    book: &mut OpenBook,
    order: &DossierRequest,
    progress: &dyn Progress,
) -> Result<DossierResult, WorkError> {
    prepare(book, order, progress)?.write(book, progress)
}

impl Prepared {
    /// What it tells beside what its pictures show.
    #[must_use]
    pub fn discloses(&self) -> &Disclosure {
        &self.plan.discloses
    }

    /// What an answer to the claim still needs.
    #[must_use]
    pub fn missing_for_claim(&self) -> Vec<String> {
        report::missing_for_claim(&self.it, &self.cover)
    }

    /// Why it cannot be written yet, in a clause; `None` where its lines are sealed.
    #[must_use]
    pub fn unsealed(&self) -> Option<&str> {
        self.sealed.open.as_deref()
    }

    /// Whether it can be written.
    ///
    /// # Errors
    /// When not all of its lines are sealed.
    pub fn is_sealed(&self) -> Result<(), WorkError> {
        self.sealed.covers_all()
    }

    /// What will not be in it, and why.
    #[must_use]
    pub fn left_out(&self) -> &[NotIn] {
        &self.plan.not_in
    }

    /// Writes it.
    ///
    /// # Errors
    /// When not all of its lines are sealed, or files cannot be read or written, or changed since.
    pub fn write(
        self,
        book: &OpenBook,
        progress: &dyn Progress,
    ) -> Result<DossierResult, WorkError> {
        self.is_sealed()?;
        let missing = self.missing_for_claim();
        let (it, plan, sealed) = (self.it, self.plan, self.sealed);
        let pages = pages(book, &it, &self.cover, progress)?;
        let bag = Bag {
            plan: &plan,
            sealed: &sealed,
            pages: &pages,
            key: self.key.as_ref(),
            language: self.language,
            info: &[
                ("Bagging-Date", &book.now.local_day().to_string()),
                ("External-Identifier", it.piece.stock_no.as_str()),
                ("External-Description", &it.piece.title),
            ],
        };
        write(&bag, self.wrap, &self.target, progress)?;
        Ok(DossierResult {
            path: self.target.display().to_string(),
            files: plan.files.len(),
            seal: sealed.no,
            time_stamp: sealed
                .stamped(plan.lines.last().map_or(0, |it| it.no))
                .map(|it| it.1),
            signed: self.key.is_some(),
            fingerprint: sealed.fingerprint(),
            key_changes: self.cover.key_changes,
            discloses: plan.discloses,
            left_out: plan.not_in,
            missing_for_claim: missing,
        })
    }
}

/// Where it goes; nothing that lies there is ever written over.
fn target(book: &OpenBook, order: &DossierRequest, it: &Assessment) -> Result<PathBuf, WorkError> {
    let stem = format!("{} dossier {}", order.stock_no, book.now.local_day());
    let named = |n: u32| {
        let count = if n == 1 {
            String::new()
        } else {
            format!(" {n}")
        };
        match order.wrap {
            Wrap::Zip => format!("{stem}{count}.zip"),
            Wrap::Folder => format!("{stem}{count}"),
        }
    };
    let free = |folder: &Path| (1..).map(named).find(|it| !folder.join(it).exists());
    let home = book.piece_folder(&it.piece).join(FOLDER);
    let out = order.out.as_deref();
    let folder = out.filter(|it| it.is_dir()).unwrap_or(&home);
    let name = free(folder).unwrap_or_else(|| named(1));
    out::place(out, &home, &name)
}

/// Cover and statement.
fn pages(
    book: &OpenBook,
    it: &Assessment,
    cover: &CoverRequest,
    progress: &dyn Progress,
) -> Result<[(&'static str, String); 2], WorkError> {
    let shots = report::cover_shots(it, cover);
    let pictures = crops::take(book, it, &shots, Packing::OneFile, progress)?;
    let scene = scene(book, &it.piece, &book.settings()?);
    Ok([
        (
            "cover.html",
            report::cover_page(it, &scene, cover, &pictures)?,
        ),
        ("statement.html", report::statement_page(it, cover)?),
    ])
}

/// All that is written.
struct Bag<'a> {
    plan: &'a Plan,
    sealed: &'a Sealed,
    pages: &'a [(&'static str, String)],
    key: Option<&'a Key>,
    language: Language,
    info: &'a [(&'a str, &'a str)],
}

fn write(bag: &Bag, wrap: Wrap, target: &Path, progress: &dyn Progress) -> Result<(), WorkError> {
    let folder = target.parent().unwrap_or(Path::new(""));
    if !folder.as_os_str().is_empty() {
        make_folder(folder)?;
    }
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    let draft = folder.join(format!("{UNFINISHED}{name}"));
    replace(target, &draft, "write", || match wrap {
        Wrap::Zip => zip(bag, &draft, &name, progress),
        Wrap::Folder => fill(bag, &mut Folder(draft.clone()), progress),
    })
}

fn zip(bag: &Bag, draft: &Path, name: &str, progress: &dyn Progress) -> Result<(), WorkError> {
    let around = name.strip_suffix(".zip").unwrap_or(name);
    let mut sink = ZipSink::new(File::create(draft).at("write", draft)?, around);
    fill(bag, &mut sink, progress)?;
    Ok(sink.finish().at("write", draft)?)
}

/// Puts everything in; the signature of the whole comes last.
fn fill(bag: &Bag, sink: &mut dyn FileSink, progress: &dyn Progress) -> Result<(), WorkError> {
    let mut writer = Writer::new(sink);
    progress.begin("enclosing", bag.plan.files.len());
    for file in &bag.plan.files {
        let put = match &file.from {
            From::Text(text) => writer.payload(&file.place, text.as_bytes()),
            From::File(path) => writer.payload(&file.place, File::open(path).at("read", path)?),
        };
        let sums = put.map_err(DossierError::from)?;
        if sums.sha256 != file.sha256 {
            let what = format!("`{}` changed while it was copied", file.place);
            return Err(WorkError::asked_with(what, "run the same command again"));
        }
        progress.step();
    }
    progress.end();
    copies(bag.plan, &mut writer)?;
    let check = CHECK_PAGE.strip_prefix("data/").unwrap_or(CHECK_PAGE);
    let pages = bag.pages.iter().map(|(name, text)| (*name, text.as_str()));
    for (name, text) in pages.chain([(check, report::check_page())]) {
        writer
            .payload(name, text.as_bytes())
            .map_err(DossierError::from)?;
    }
    let seals: Vec<SealFiles> = bag.sealed.files();
    let left_out = bag.plan.left_out();
    let key = bag.sealed.key.as_ref();
    let key = key.map_or_else(String::new, PublicKey::pem);
    let proof = Proof {
        lines: &bag.plan.lines,
        private: &bag.plan.private,
        leaves: &bag.sealed.leaves,
        seals: &seals,
        key: &key,
        left_out: &left_out.in_proof(),
        left_out_text: &left_out.text(),
        language: bag.language,
    };
    put(&mut writer, &proof)?;
    let set = writer.finish(bag.info).map_err(DossierError::from)?;
    if let Some(key) = bag.key {
        let signature = key.sign(set.as_bytes());
        let done = sink.file(SET_SIGNATURE, &mut signature.as_slice());
        done.map_err(|source| {
            let path = SET_SIGNATURE.to_owned();
            DossierError::from(BagError::Io { path, source })
        })?;
    }
    Ok(())
}
