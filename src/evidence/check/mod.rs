//! Judges a dossier from its files alone: nothing is fetched, nothing else is known.
//!
//! Every check has a code that stays, and says in plain words what it found. It says no more than the files show: whose key
//! it is, who held the camera and whether something was never entered lie outside.

mod files;
mod ledger;
mod notes;
mod numbers;
mod seals;
mod set;

use std::io;
use std::io::Read as _;

use crate::evidence::check::notes::Notes;
use crate::evidence::dossier::bag::FileSource;
use crate::evidence::dossier::bag_read;
use crate::evidence::dossier::bag_read::Bag;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;

/// The longest text of a dossier that is read whole, bytes.
const TEXT_MAX: u64 = 32 << 20;

/// What a judge needs besides the files.
pub trait Tools {
    /// What a time stamp (RFC 3161) shows of a statement; the roots are the caller's.
    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp;

    /// Digest of the checking page that the caller's program would enclose, if it has one.
    fn page(&self) -> Option<Digest>;
}

/// What a time stamp shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stamp {
    /// The statement was there not later than at this moment, by an authority whose root the judge was given.
    At(Moment),
    /// It fits the statement as far as can be seen, but its authority is not known to the judge; why.
    Unknown(String),
    /// It is not one, or of other bytes; why.
    Wrong(String),
}

/// How a check went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// As it should be.
    Good,
    /// Worth knowing, no fault.
    Told,
    /// Something is not there, or cannot be read; nothing contradicts.
    Missing,
    /// Something contradicts.
    Wrong,
}

/// One thing checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// Its code, such as `inclusion`; stays over versions.
    pub code: &'static str,
    /// How it went.
    pub outcome: Outcome,
    /// What was found, in plain words.
    pub about: String,
}

impl Check {
    /// Whether nothing is missing and nothing contradicts.
    #[must_use]
    pub fn ok(&self) -> bool {
        self.outcome < Outcome::Missing
    }
}

/// What the whole comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// All is in order, and an authority that the judge trusts says not later than when.
    Proven,
    /// All is in order; but who holds the key could have made all of it at any time.
    Intact,
    /// Something is missing, nothing contradicts.
    Incomplete,
    /// Something contradicts.
    Altered,
}

impl Verdict {
    /// Its words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Proven => "proven",
            Self::Intact => "intact, not time-stamped",
            Self::Incomplete => "incomplete",
            Self::Altered => "altered",
        }
    }

    /// What it means, in a sentence or two.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Proven => {
                "Every file and line is as it was when it was sealed, and a time-stamp authority whose root you gave says \
                 not later than when."
            }
            Self::Intact => {
                "Every file and line is as it was when it was sealed. When that was, only the maker says: who holds the \
                 key could have made all of it at any time."
            }
            Self::Incomplete => {
                "What is here agrees, but something that should be here is not, or cannot be read."
            }
            Self::Altered => "Something in it contradicts what was sealed or listed.",
        }
    }
}

/// A seal with a time stamp that holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamped {
    /// Number of the seal.
    pub seal: u32,
    /// How many lines of the ledger it covers.
    pub size: u64,
    /// They were there not later than this.
    pub at: Moment,
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judgement {
    /// What it comes to.
    pub verdict: Verdict,
    /// Everything that was checked, in the order in which it builds on itself.
    pub checks: Vec<Check>,
    /// Fingerprint of the enclosed key: 20 hex digits in groups of four, to be compared with the invoice.
    pub fingerprint: Option<String>,
    /// Seals with a time stamp that holds, by number.
    pub stamps: Vec<Stamped>,
    /// Enclosed files that no line vouches for: the presenter's own words, or made from the rest.
    pub presented: Vec<String>,
}

impl Judgement {
    /// The earliest moment at which, by the stamps, the line of this number was there; `None` when no stamp covers it.
    #[must_use]
    pub fn not_later_than(&self, no: u64) -> Option<Moment> {
        let covers = self.stamps.iter().filter(|it| it.size > no);
        covers.map(|it| it.at).min()
    }
}

/// Judges a dossier.
///
/// # Errors
/// When its files cannot even be listed.
pub fn check(source: &mut dyn FileSource, tools: &dyn Tools) -> io::Result<Judgement> {
    let bag = bag_read::read(source)?;
    let mut notes = Notes::default();
    let mut desk = Desk {
        source,
        bag: &bag,
        tools,
    };
    set::bag(&desk, &mut notes);
    let key = set::key(&mut desk, &mut notes);
    set::signature(&mut desk, &mut notes, key.as_ref());
    let lines = ledger::lines(&mut desk, &mut notes);
    if !lines.is_empty() {
        ledger::private(&mut desk, &mut notes, &lines);
    }
    let left_out = ledger::left_out(&mut desk, &mut notes);
    let seals = seals::seals(&mut desk, &mut notes, key.as_ref(), &lines);
    seals::inclusion(&mut desk, &mut notes, &lines, &left_out, &seals);
    seals::consistency(&mut desk, &mut notes, &seals);
    let stamps = seals::stamps(&mut desk, &mut notes, &seals, &lines);
    if lines.is_empty() {
        notes.missing("photos", "without lines no file can be compared");
    } else {
        files::compare(&desk, &mut notes, &lines, &left_out);
        numbers::running(&mut notes, &lines, &left_out);
        numbers::gaps(&mut notes, &lines, &left_out);
    }
    let presented = files::presented(&desk, &mut notes);
    let checks = notes.checks();
    let covered = |last: u64| stamps.iter().any(|it: &Stamped| it.size > last);
    let stamped = lines.iter().map(|it| it.line.no).max().is_some_and(covered);
    let verdict = match checks.iter().map(|it| it.outcome).max() {
        Some(Outcome::Wrong) => Verdict::Altered,
        Some(Outcome::Missing) | None => Verdict::Incomplete,
        _ if stamped => Verdict::Proven,
        _ => Verdict::Intact,
    };
    Ok(Judgement {
        verdict,
        checks,
        fingerprint: key.map(|it| it.fingerprint()),
        stamps,
        presented,
    })
}

/// The files on the judge's desk.
struct Desk<'a> {
    source: &'a mut dyn FileSource,
    bag: &'a Bag,
    tools: &'a dyn Tools,
}

impl Desk<'_> {
    fn has(&self, path: &str) -> bool {
        self.bag.files.contains_key(path)
    }

    /// The bytes of a file; `None`, and a note, when it is not there or cannot be read.
    fn bytes(&mut self, notes: &mut Notes, code: &'static str, path: &str) -> Option<Vec<u8>> {
        if !self.has(path) {
            notes.missing(code, format!("`{path}` is not there"));
            return None;
        }
        let mut bytes = Vec::new();
        let read = self
            .source
            .open(path)
            .and_then(|it| it.take(TEXT_MAX).read_to_end(&mut bytes));
        match read {
            Ok(n) if (n as u64) < TEXT_MAX => Some(bytes),
            Ok(_) => {
                notes.wrong(code, format!("`{path}` is too long for what it should be"));
                None
            }
            Err(why) => {
                notes.missing(code, format!("`{path}` cannot be read: {why}"));
                None
            }
        }
    }

    /// The text of a file; `None`, and a note, when it is not there or no text.
    fn text(&mut self, notes: &mut Notes, code: &'static str, path: &str) -> Option<String> {
        let bytes = self.bytes(notes, code, path)?;
        let text = String::from_utf8(bytes).ok();
        if text.is_none() {
            notes.wrong(code, format!("`{path}` is not UTF-8 text"));
        }
        text
    }
}
