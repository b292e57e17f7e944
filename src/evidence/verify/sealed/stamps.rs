//! The time stamps of the seals.

use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::sealed::seals::FoundSeal;
use crate::evidence::verify::source::RawSeal;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Stamp;
use crate::evidence::verify::source::Tools;
use crate::evidence::verify::source::seal_part;
use crate::kit::clock::Moment;

const CODE: &str = "stamps";

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

/// What the time stamps came to.
#[derive(Debug, Default)]
pub(in crate::evidence::verify) struct Stamps {
    /// Those that hold.
    pub(in crate::evidence::verify) good: Vec<Stamped>,
    /// How many could not be judged, since no given root stands behind them.
    pub(in crate::evidence::verify) unjudged: usize,
}

/// That all lines that are there are covered by a seal with a time stamp that holds.
#[derive(Debug)]
pub struct Covered {
    /// The earliest such stamp.
    stamp: Stamped,
}

impl Covered {
    /// The earliest stamp that covers all of them.
    pub(in crate::evidence::verify) fn stamp(&self) -> Stamped {
        self.stamp
    }
}

impl Stamps {
    /// The stamp that covers all lines; `None` when none does, or there is no line. A line that tells of a stamp comes after the
    /// seal that was stamped, and the stamp itself shows what it tells.
    pub(in crate::evidence::verify) fn covering(&self, lines: &[FoundLine]) -> Option<Covered> {
        let lines = lines.iter().filter(|it| !it.is_stamp());
        let last = lines.map(|it| it.line.no).max()?;
        let covers = self.good.iter().filter(|it| it.size > last);
        let stamp = *covers.min_by_key(|it| it.at)?;
        Some(Covered { stamp })
    }
}

/// Checks the time stamps that are there.
pub(in crate::evidence::verify) fn check(
    scope: Scope,
    seals: &[FoundSeal],
    lines: &[FoundLine],
    tools: &dyn Tools,
    notes: &mut Notes,
) -> Stamps {
    let mut found = Stamps::default();
    let mut any = false;
    for seal in seals {
        let name = seal_part(scope, seal.no, "tsr");
        let Some(reply) = &seal.raw.reply else {
            kept_time(notes, seal.raw, None);
            continue;
        };
        any = true;
        let stamp = tools.stamp(seal.text.as_bytes(), seal.raw.query.as_deref(), reply);
        match stamp {
            Stamp::At(at) => {
                let about = format!(
                    "Seal {} with its {} lines was there not later than {at}, says the authority whose root you gave.",
                    seal.no, seal.statement.size
                );
                notes.told(CODE, about);
                kept_time(notes, seal.raw, Some(at));
                ahead(notes, seal, lines, at);
                found.good.push(Stamped {
                    seal: seal.no,
                    size: seal.statement.size,
                    at,
                });
            }
            Stamp::Unknown { why, says } => {
                found.unjudged += 1;
                let says_what = says.map_or(String::new(), |at| format!("; it says {at}"));
                let about = format!(
                    "{name} is a time stamp by an authority that was not checked: {why}{says_what}"
                );
                notes.told(CODE, about);
                kept_time(notes, seal.raw, says);
            }
            Stamp::Wrong(why) => notes.wrong(CODE, format!("{name}: {why}")),
        }
    }
    if !any {
        notes.told(CODE, "No seal is time-stamped.");
    }
    found
}

/// The time that is kept beside a reply must be the reply's: reports are made from it.
fn kept_time(notes: &mut Notes, seal: &RawSeal, says: Option<Moment>) {
    let Some(kept) = seal.stamped else { return };
    if says != Some(kept) {
        let says = match says {
            Some(says) => format!("its reply says {says}"),
            None => "there is no reply that says so".to_owned(),
        };
        let about = format!(
            "the record has seal {} time-stamped {kept}, but {says}",
            seal.no
        );
        notes.wrong(CODE, about);
    }
}

/// Tells lines that claim to be younger than the stamp that covers them.
fn ahead(notes: &mut Notes, seal: &FoundSeal, lines: &[FoundLine], at: Moment) {
    let size = seal.statement.size;
    let ahead = lines
        .iter()
        .filter(|it| it.line.no < size && it.line.at > at);
    if let Some(it) = ahead.map(|it| &it.line).max_by_key(|it| it.at) {
        let about = format!(
            "line {} says {}, but was time-stamped by {at}: the maker's clock was ahead",
            it.no, it.at
        );
        notes.told("clock", about);
    }
    if seal.statement.at > at {
        let about = format!(
            "seal {} says {}, but was time-stamped by {at}: the maker's clock was ahead",
            seal.no, seal.statement.at
        );
        notes.told("clock", about);
    }
}
