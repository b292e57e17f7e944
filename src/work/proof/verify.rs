//! Checks a book or a dossier.

use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::evidence::seal::letter::Letter;
use crate::evidence::stamp::reply;
use crate::evidence::stamp::reply::Given;
use crate::evidence::verify::notes::Check;
use crate::evidence::verify::source::Stamp;
use crate::evidence::verify::source::Tools;
use crate::evidence::verify::verdict::Judgement;
use crate::evidence::verify::verify;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::read;
use crate::report;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::place::Place;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::bag_files;
use crate::work::progress::Progress;
use crate::work::proof::book_source::BookSource;
use crate::work::proof::book_source::Lost;
use crate::work::proof::heal::HealFrom;
use crate::work::proof::heal::Healed;
use crate::work::proof::heal::heal;
use crate::work::sidecars::all_sidecars::AllTexts;
use crate::work::sidecars::all_sidecars::sync_all;

/// What was found.
#[derive(Clone, Debug, Serialize)]
pub struct Verified {
    /// `proven`, `intact, ...`, `incomplete` or `altered`.
    pub verdict: &'static str,
    /// What that means.
    pub meaning: String,
    /// What must stand beside the verdict wherever it is shown, in sentences.
    pub beside: Vec<String>,
    /// Everything that was checked.
    pub checks: Vec<CheckLine>,
    /// Fingerprint of the key, to be compared with the invoice.
    pub fingerprint: Option<String>,
    /// Time stamps that hold: seal, and not later than.
    pub stamps: Vec<String>,
    /// Enclosed files that no line vouches for.
    pub presented: Vec<String>,
    /// Originals and papers that were put back.
    pub healed: Vec<String>,
    /// Where the files lie now that had other bytes and lay in the place of those.
    pub set_aside: Vec<String>,
    /// Originals and papers that are gone or have other bytes, and were not put back.
    pub lost: Vec<String>,
}

/// One thing checked.
#[derive(Clone, Debug, Serialize)]
pub struct CheckLine {
    /// A stable code.
    pub code: &'static str,
    /// Whether nothing is missing and nothing contradicts.
    pub ok: bool,
    /// What was found.
    pub about: String,
}

/// Checks a dossier: a folder with `bagit.txt`, or a zip.
///
/// # Errors
/// When it cannot be read at all.
pub fn verify_dossier(path: &Path, given: &GivenToJudge) -> Result<Verified, WorkError> {
    let judge = Judge::new(given, None)?;
    if path.is_file() && !bag_files::is_zip(path) {
        return Err(WorkError::asked_with(
            format!("`{}` is no dossier", path.display()),
            "a dossier is a folder that holds `bagit.txt`, or a zip of one that came over whole",
        ));
    }
    let found = bag_files::judge(path, &judge);
    if let (Err(why), true) = (&found, path.is_file()) {
        return Err(WorkError::asked_with(
            format!("`{}` cannot be read as a zip: {why}", path.display()),
            "it may not have come over whole: get it again; or unpack what there is, and check the folder",
        ));
    }
    let found = found.at("read", path)?;
    Ok(told(found, &[], &[]))
}

/// Whether a path is a dossier rather than a book.
#[must_use]
pub fn is_dossier(path: &Path) -> bool {
    path.is_file() || path.join("bagit.txt").is_file()
}

/// The dossier in whose folder a path lies, somewhere below its top.
#[must_use]
pub fn dossier_around(path: &Path) -> Option<PathBuf> {
    let path = path.canonicalize().ok()?;
    let above = path.ancestors().skip(1);
    let mut dossiers = above.filter(|it| it.join("bagit.txt").is_file());
    dossiers.next().map(Path::to_path_buf)
}

/// Takes in what was changed in the sidecars of all pieces, and checks the book by what the caller trusts and holds; lost and rotten
/// originals are put back from `heal_from` where it has the same bytes.
///
/// # Errors
/// When the book cannot be read.
pub fn verify_book(
    book: &mut OpenBook,
    given: &GivenToJudge,
    heal_from: Option<&Place>,
    progress: &dyn Progress,
) -> Result<Verified, WorkError> {
    let judge = Judge::new(given, heal_from)?;
    let texts = sync_all(book)?;
    let (mut found, mut lost) = of_book(book, &texts, &judge, progress)?;
    let mut healed = Vec::new();
    if let Some(folder) = heal_from.filter(|_| !lost.is_empty()) {
        let from = HealFrom::open(folder, given.passphrase.as_deref())?;
        let put = |it: &Lost, bytes: &[u8]| Ok(vault::restore(&it.path, bytes)?);
        healed = heal(&lost, &from, put)?;
        if !healed.is_empty() {
            (found, lost) = of_book(book, &texts, &judge, progress)?;
        }
    }
    Ok(told(found, &healed, &lost))
}

fn of_book(
    book: &OpenBook,
    texts: &AllTexts,
    judge: &Judge,
    progress: &dyn Progress,
) -> Result<(Judgement, Vec<Lost>), WorkError> {
    let plain = judge.without_letters();
    let mut source = BookSource::open(book, texts, &plain, progress)?;
    let found = verify(&mut source, judge);
    Ok((found, source.lost))
}

/// A judgement, what was put back, and what is lost still, as it is given.
pub(in crate::work) fn told(found: Judgement, healed: &[Healed], lost: &[Lost]) -> Verified {
    let shown = |it: &PathBuf| it.display().to_string();
    let aside = healed.iter().filter_map(|it| it.set_aside.as_ref());
    let stamps = found.stamps.iter();
    let stamps = stamps.map(|it| format!("seal {}: not later than {}", it.seal, it.at));
    Verified {
        verdict: found.verdict.word(),
        meaning: found.verdict.meaning(),
        stamps: stamps.collect(),
        beside: found.beside,
        checks: lines(&found.checks),
        fingerprint: found.fingerprint,
        presented: found.presented,
        healed: healed.iter().map(|it| shown(&it.path)).collect(),
        set_aside: aside.map(shown).collect(),
        lost: lost.iter().map(|it| shown(&it.path)).collect(),
    }
}

fn lines(checks: &[Check]) -> Vec<CheckLine> {
    let line = |it: &Check| CheckLine {
        code: it.code,
        ok: it.ok(),
        about: it.about.clone(),
    };
    checks.iter().map(line).collect()
}

/// What the caller trusts and holds.
#[derive(Clone, Debug, Default)]
pub struct GivenToJudge {
    /// Root certificates of time-stamp authorities.
    pub roots: Vec<PathBuf>,
    /// The text of a message that names a seal.
    pub letter: Option<String>,
    /// The passphrase of an encrypted backup.
    pub passphrase: Option<String>,
}

/// The same, read.
pub(in crate::work) struct Judge {
    roots: Vec<Vec<u8>>,
    letters: Vec<Letter>,
}

impl Judge {
    /// Reads what was given, and looks whether the place to heal from is one.
    ///
    /// # Errors
    /// When something that was given is not what it should be.
    pub(in crate::work) fn new(
        given: &GivenToJudge,
        heal_from: Option<&Place>,
    ) -> Result<Self, WorkError> {
        if let Some(Place::Folder(folder)) = heal_from
            && !folder.is_dir()
        {
            return Err(WorkError::asked_with(
                format!("`{}` is not a folder", folder.display()),
                "`--heal` wants a backup, or a folder in which the same files still lie, such as the camera's card or a copy of the book",
            ));
        }
        let root = |path: &PathBuf| {
            let bytes = read(path)?;
            match reply::is_given(&bytes) {
                true => Ok(bytes),
                false => Err(WorkError::asked_with(
                    format!("`{}` is not a certificate in PEM or DER", path.display()),
                    "`--root` wants the root certificate of the time-stamp authority, as the authority itself publishes it",
                )),
            }
        };
        let roots = given.roots.iter().map(root);
        let letters = given.letter.as_deref().map(Letter::read).transpose();
        let letters = letters.map_err(|why| {
            WorkError::asked_with(
                why.to_string(),
                "give the whole text of the message that the seller sent, as text and not as a picture",
            )
        })?;
        Ok(Self {
            roots: roots.collect::<Result<_, WorkError>>()?,
            letters: letters.unwrap_or_default(),
        })
    }

    /// The same for a dossier that lies in the book: it may be older than a letter.
    pub(in crate::work) fn without_letters(&self) -> Self {
        Self {
            roots: self.roots.clone(),
            letters: Vec::new(),
        }
    }
}

impl Tools for Judge {
    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp {
        let roots: Vec<&[u8]> = self.roots.iter().map(Vec::as_slice).collect();
        let given = Given {
            roots: &roots,
            extra: &[],
        };
        match reply::check_reply(statement, query, reply, &given) {
            Ok(it) => match it.time.at_latest(it.accuracy) {
                Some(at) => Stamp::At(at),
                None => Stamp::Wrong("its time lies beyond the calendar".to_owned()),
            },
            Err(why) if why.is_of_unknown_authority() => Stamp::Unknown {
                why: why.to_string(),
                says: reply::says(reply),
            },
            Err(why) => Stamp::Wrong(why.to_string()),
        }
    }

    fn page(&self) -> Option<Digest> {
        Some(Digest::of(report::check_page().as_bytes()))
    }

    fn letters(&self) -> &[Letter] {
        &self.letters
    }
}
