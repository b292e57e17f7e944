//! What all of it comes to: the one place in which notes become a verdict.

use crate::evidence::verify::enclosed::Enclosed;
use crate::evidence::verify::notes::Check;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::notes::Outcome;
use crate::evidence::verify::notes::Sound;
use crate::evidence::verify::sealed::letter::Answer;
use crate::evidence::verify::sealed::letter::Redeemed;
use crate::evidence::verify::sealed::stamps::Covered;
use crate::evidence::verify::sealed::stamps::Stamped;
use crate::evidence::verify::sealed::stamps::Stamps;
use crate::kit::clock::Moment;

/// What the whole comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// All is in order, and an authority that the judge trusts says not later than when.
    Proven(Proven),
    /// All is in order; but who holds the key could have made all of it, or its newest part, at any time.
    Intact(Stamping),
    /// Something is missing, nothing contradicts.
    Incomplete,
    /// Something contradicts.
    Altered,
}

/// All that "proven" rests on. It can be made only of the evidence that nothing is missing or contradicts, and of a time stamp
/// that holds and covers every line that is here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Proven {
    stamp: Stamped,
}

impl Proven {
    fn new(_sound: &Sound, covered: &Covered) -> Self {
        Self {
            stamp: covered.stamp(),
        }
    }

    /// All of it was there not later than this.
    #[must_use]
    pub fn at(&self) -> Moment {
        self.stamp.at
    }
}

/// How far what is intact is time-stamped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stamping {
    /// There is no time stamp.
    Absent,
    /// There is none, but a letter names the record.
    Letter(Redeemed),
    /// There are time stamps, but no root that was given stands behind them.
    NotJudged,
    /// A time stamp holds, but it does not cover the newest lines.
    Part,
}

impl Verdict {
    /// Of the notes, of the time stamps, among them the one that covers all lines, and of the letters.
    pub(super) fn of(
        notes: &Notes,
        covered: Option<&Covered>,
        stamps: &Stamps,
        letters: &[Answer],
    ) -> Self {
        let Some(sound) = notes.sound() else {
            return match notes.worst() {
                Some(Outcome::Wrong) => Self::Altered,
                _ => Self::Incomplete,
            };
        };
        let same = letters.iter().find_map(|it| match it {
            Answer::Same(it) => Some(*it),
            _ => None,
        });
        match (covered, same) {
            (Some(covered), _) => Self::Proven(Proven::new(&sound, covered)),
            _ if !stamps.good.is_empty() => Self::Intact(Stamping::Part),
            _ if stamps.unjudged > 0 => Self::Intact(Stamping::NotJudged),
            (None, Some(it)) => Self::Intact(Stamping::Letter(it)),
            (None, None) => Self::Intact(Stamping::Absent),
        }
    }

    /// Its words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Proven(_) => "proven",
            Self::Intact(Stamping::Absent | Stamping::Letter(_)) => "intact, not time-stamped",
            Self::Intact(Stamping::NotJudged) => "intact, time stamp not judged",
            Self::Intact(Stamping::Part) => "intact, newest lines not time-stamped",
            Self::Incomplete => "incomplete",
            Self::Altered => "altered",
        }
    }

    /// What it means, in a few sentences.
    #[must_use]
    pub fn meaning(self) -> String {
        const SEALED: &str = "Every line that a seal covers is as it was when it was sealed, and so is every file that such a line names \
                              and that is here.";
        const ANY_TIME: &str = "When that was, only the maker says: who holds the key could have made all of it at any time.";
        match self {
            Self::Proven(it) => format!(
                "{SEALED} A time-stamp authority whose root you gave says that all of it was there not later than {}.",
                it.at()
            ),
            Self::Intact(Stamping::Absent) => format!("{SEALED} {ANY_TIME}"),
            Self::Intact(Stamping::Letter(it)) if it.is_older() => format!(
                "{SEALED} What the letter names was there when the letter was sent; when the rest was written, only the maker says."
            ),
            Self::Intact(Stamping::Letter(_)) => {
                format!("{SEALED} All of it was there when the letter was sent.")
            }
            Self::Intact(Stamping::NotJudged) => format!(
                "{SEALED} There is a time stamp, which was not judged: that takes the root certificate of its authority. \
                 Without it, only the maker says when that was."
            ),
            Self::Intact(Stamping::Part) => format!(
                "{SEALED} The older lines are time-stamped; when the newest were written, only the maker says."
            ),
            Self::Incomplete => {
                "What is here agrees, but something that should be here is not, or cannot be read."
                    .to_owned()
            }
            Self::Altered => "Something in it contradicts what was sealed or listed.".to_owned(),
        }
    }
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judgement {
    /// What it comes to.
    pub verdict: Verdict,
    /// What must stand beside the verdict wherever it is shown, in sentences: how many files are here, which no seal covers, what
    /// is not sealed yet, which times contradict each other.
    pub beside: Vec<String>,
    /// Everything that was checked, in the order in which it builds on itself.
    pub checks: Vec<Check>,
    /// Fingerprint of the enclosed key: 20 hex digits in groups of four, to be compared with the invoice.
    pub fingerprint: Option<String>,
    /// Seals with a time stamp that holds, by number.
    pub stamps: Vec<Stamped>,
    /// What each letter that the judge holds came to.
    pub letters: Vec<Answer>,
    /// How many of the files that lines name are here, by kind.
    pub enclosed: Vec<Enclosed>,
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
