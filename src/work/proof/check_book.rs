//! Checks a stock book: the ledger against itself, its seals and the record; the originals against the ledger.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;
use std::path::PathBuf;

use serde_json::Value;
use serde_json::json;

use crate::evidence::check::Check;
use crate::evidence::check::Outcome;
use crate::evidence::check::Tools;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::merkle;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::sums::Sums;
use crate::record::RecordError;
use crate::record::StoredLine;
use crate::work::WorkError;
use crate::work::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::check_known::Ledger;
use crate::work::proof::check_known::Of;
use crate::work::proof::check_known::private;
use crate::work::proof::check_record::kept;
use crate::work::proof::check_record::record;
use crate::work::proof::check_record::sidecars;
use crate::work::proof::check_seals::seals;

/// Most places named for one check; the rest is counted.
const MOST: usize = 5;

/// What was found in a book.
pub(in crate::work) struct Found {
    pub(in crate::work) checks: Vec<Check>,
    /// Time stamps that hold: how many lines each covers, and not later than.
    pub(in crate::work) stamps: Vec<(u64, Moment)>,
    /// How many lines the ledger has.
    pub(in crate::work) size: u64,
    /// Files that are gone or changed.
    pub(in crate::work) lost: Vec<Lost>,
    /// How many lines came after the newest seal.
    pub(in crate::work) unsealed: u64,
    pub(in crate::work) fingerprint: Option<String>,
}

/// An original or a paper that is gone or changed.
pub(in crate::work) struct Lost {
    /// Where it should be.
    pub(in crate::work) path: PathBuf,
    /// What it was.
    pub(in crate::work) digest: Digest,
    /// How long it was; `None` when that was not recorded.
    pub(in crate::work) bytes: Option<u64>,
}

impl Found {
    /// Whether a time stamp that holds covers all lines.
    pub(in crate::work) fn is_stamped(&self) -> bool {
        self.stamps.iter().any(|it| it.0 >= self.size)
    }
}

/// What one check has found so far.
pub(in crate::work) struct Tally {
    code: &'static str,
    good: String,
    missing: Vec<String>,
    wrong: Vec<String>,
}

impl Tally {
    pub(in crate::work) fn missing(&mut self, about: impl Into<String>) {
        self.missing.push(about.into());
    }

    pub(in crate::work) fn wrong(&mut self, about: impl Into<String>) {
        self.wrong.push(about.into());
    }

    pub(in crate::work) fn new(code: &'static str, good: impl Into<String>) -> Self {
        Self {
            code,
            good: good.into(),
            missing: Vec::new(),
            wrong: Vec::new(),
        }
    }

    pub(in crate::work) fn check(self) -> Check {
        let (outcome, names) = match (self.wrong.is_empty(), self.missing.is_empty()) {
            (true, true) => (Outcome::Good, Vec::new()),
            (false, _) => (Outcome::Wrong, self.wrong),
            (true, false) => (Outcome::Missing, self.missing),
        };
        let about = match names.len() {
            0 => self.good,
            n if n <= MOST => names.join("; "),
            n => format!("{}; and {} more", names[..MOST].join("; "), n - MOST),
        };
        Check {
            code: self.code,
            outcome,
            about,
        }
    }
}

/// Checks all of a book.
///
/// # Errors
/// When the database cannot be read.
pub(in crate::work) fn check(
    book: &OpenBook,
    judge: &dyn Tools,
    progress: &dyn Progress,
) -> Result<Found, WorkError> {
    let stored = book.record.lines()?;
    let mut tally = Tally::new(
        "ledger",
        format!(
            "{} lines, each as it was written and in its place",
            stored.len()
        ),
    );
    let lines: Vec<Option<LedgerLine>> = stored
        .iter()
        .enumerate()
        .map(|(n, it)| line(&mut tally, n, it))
        .collect();
    running(&mut tally, &lines);
    let mut checks = vec![tally.check()];
    let seals = seals(book, &stored, judge)?;
    checks.extend(seals.checks);
    let mut known = Ledger::of(lines.iter().flatten());
    known.private = private(lines.iter().flatten(), &stored);
    let mut lost = Vec::new();
    for (code, done) in [
        ("record", record(book, &known)),
        ("sidecars", sidecars(book, &known)),
        ("originals", originals(book, &known, &mut lost, progress)),
        ("kept", kept(book, &known, &mut lost)),
        ("editions", editions(book, &known)),
    ] {
        checks.push(readable(code, done)?);
    }
    Ok(Found {
        checks,
        stamps: seals.stamps,
        size: stored.len() as u64,
        unsealed: (stored.len() as u64).saturating_sub(seals.size),
        lost,
        fingerprint: seals.fingerprint,
    })
}

/// A check that met a row which cannot be read has found something wrong.
fn readable(code: &'static str, done: Result<Check, WorkError>) -> Result<Check, WorkError> {
    match done {
        Err(WorkError::Record(error @ RecordError::Nonsense(_))) => Ok(Check {
            code,
            outcome: Outcome::Wrong,
            about: error.to_string(),
        }),
        done => done,
    }
}

/// A line as stored, held against its place, its hash and its private part.
fn line(tally: &mut Tally, n: usize, it: &StoredLine) -> Option<LedgerLine> {
    let read = LedgerLine::read(&it.text);
    let line = read
        .map_err(|why| tally.wrong.push(format!("line {n}: {why}")))
        .ok()?;
    if it.no != n as u64 || line.no != n as u64 {
        tally
            .wrong
            .push(format!("line {n} says that it is line {}", line.no));
    }
    if merkle::leaf(it.text.as_bytes()) != it.leaf {
        tally
            .wrong
            .push(format!("line {n} is not the one that was hashed"));
    }
    let private = it.private.as_ref().map(|it| Digest::of(it.as_bytes()));
    match (private, line.private) {
        (a, b) if a == b => {}
        (None, Some(_)) => tally
            .missing
            .push(format!("the private part of line {n} is gone")),
        _ => tally
            .wrong
            .push(format!("the private part of line {n} is another")),
    }
    Some(line)
}

/// The running numbers within each piece; lines from before there were such numbers count too.
fn running(tally: &mut Tally, lines: &[Option<LedgerLine>]) {
    let mut next: BTreeMap<&str, u64> = BTreeMap::new();
    for line in lines.iter().flatten() {
        let due = next.entry(&line.piece).or_default();
        if line.in_piece.is_some_and(|it| it != *due) {
            tally.wrong(format!(
                "line {} has another running number than its place among the lines about `{}`",
                line.no, line.piece
            ));
        }
        *due += 1;
    }
}

/// Every original against its digest.
fn originals(
    book: &OpenBook,
    known: &Ledger,
    lost: &mut Vec<Lost>,
    progress: &dyn Progress,
) -> Result<Check, WorkError> {
    let numbers = book.record.stock_numbers()?;
    let mut tally = Tally::new(
        "originals",
        "every original has the bytes with which it came in",
    );
    for no in numbers {
        let piece = book.piece(&no)?;
        let shoots = book.record.shoots(&no)?;
        let photos = book.record.photos(&no)?;
        progress.begin("checking", photos.len());
        for photo in &photos {
            progress.step();
            if known.is_removed(&no, photo.no) {
                continue;
            }
            let path = book.original(&piece, &shoots, photo);
            let shown = path.strip_prefix(&book.root).unwrap_or(&path).display();
            match digest_of(&path) {
                None => tally.missing.push(format!("`{shown}` is not there")),
                Some(it) if it == photo.digest => continue,
                Some(_) => tally
                    .wrong
                    .push(format!("`{shown}` has other bytes than it came in with")),
            }
            lost.push(Lost {
                path,
                digest: photo.digest,
                bytes: Some(photo.bytes),
            });
        }
        progress.end();
    }
    Ok(tally.check())
}

/// Digest of a file; `None` when it cannot be read.
pub(in crate::work) fn digest_of(path: &Path) -> Option<Digest> {
    let sums = Sums::of(File::open(path).ok()?).ok()?;
    Some(sums.sha256)
}

/// Pages of editions as they were written, where they still lie in the book.
fn editions(book: &OpenBook, known: &Ledger) -> Result<Check, WorkError> {
    let mut tally = Tally::new(
        "editions",
        "every edition in the book is the page that was issued",
    );
    for no in book.record.stock_numbers()? {
        for (reader, edition) in book.record.editions(&no)? {
            let line = known
                .editions
                .get(&(no.to_string(), reader.clone(), edition.no));
            if line.is_none_or(|it| it.sha256 != edition.digest) {
                tally.wrong.push(format!(
                    "{no}: {reader} edition {} is not the one in the ledger",
                    edition.no
                ));
            }
            let stated = edition.stated.as_deref().map(serde_json::from_str::<Value>);
            let stated = stated.map(|it| json!({"stated": it.unwrap_or_default()}));
            if known.told(&no, Of::Edition(reader.clone(), edition.no)) != stated.as_ref() {
                tally.wrong.push(format!(
                    "{no}: what {reader} edition {} stated is not what the ledger says",
                    edition.no
                ));
            }
            let path = book.root.join(&edition.path);
            match digest_of(&path) {
                None => tally.missing.push(format!(
                    "{no}: the page of {reader} edition {} is not where it was written",
                    edition.no
                )),
                Some(it) if it == edition.digest => {}
                Some(_) => tally.wrong.push(format!(
                    "{no}: the page of {reader} edition {} was changed after it was issued",
                    edition.no
                )),
            }
        }
    }
    let mut check = tally.check();
    // A page that was moved or deleted can be made again; that is no gap in the evidence.
    if check.outcome == Outcome::Missing {
        check.outcome = Outcome::Told;
    }
    Ok(check)
}
