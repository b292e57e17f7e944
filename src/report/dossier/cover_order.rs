//! What the first page of a dossier is made of beside the assessment.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::text::capital;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::report::page::words;
use crate::trade::entry::claim_kind::ClaimKind;

/// What the first page is made of beside the assessment.
#[derive(Clone, Debug)]
pub struct CoverRequest {
    /// The day it is made.
    pub made_on: Day,
    /// The claim it is for.
    pub claim: Option<&'static ClaimKind>,
    /// The pictures of the claim; empty for all that the record has.
    pub photos: Vec<u32>,
    /// What the ledger says of each picture.
    pub proofs: BTreeMap<u32, PhotoProof>,
    /// Editions of the report, in the order of their lines.
    pub editions: Vec<EditionLine>,
    /// Sales, in the order in which they were told; the last that was not taken back is in force.
    pub sales: Vec<SaleTold>,
    /// When each repair, as it is told now, entered the book, by number.
    pub repairs: BTreeMap<u32, InBook>,
    /// What the record means by what was told before the pictures of the claim came in; `None` where that is all of it.
    pub before_claim: Option<Assessment>,
    /// Shoots of which something was put right, in the order of the lines.
    pub shoot_changes: Vec<ShootChanged>,
    /// Photos that were put into another shoot, in the order of the lines.
    pub moves: Vec<PhotosMoved>,
    /// When the piece was withdrawn and brought back, in the order of the lines.
    pub withdrawals: Vec<Withdrawal>,
    /// Papers and messages that were put by, in the order of the lines.
    pub papers: Vec<PaperKept>,
    /// The seals, by number.
    pub seals: Vec<SealLine>,
    /// Root of the newest seal, 64 hex digits.
    pub root: String,
    /// The key's fingerprint.
    pub fingerprint: String,
    /// When another key took the place of one before, a sentence each.
    pub key_changes: Vec<String>,
    /// Whether the set of files as a whole is signed.
    pub signed: bool,
    /// Pictures that were taken out of the record, by number.
    pub taken_out: Vec<TakenOut>,
    /// What is not enclosed, a sentence each.
    pub not_in: Vec<String>,
    /// Papers and messages of the other side about a seal, in the order of the lines.
    pub confirmed: Vec<Confirmed>,
    /// The sealed texts beside pictures that a later text took something back of, in the order of the lines.
    pub retold: Vec<Retold>,
    /// Whether the ledger is younger than what its first lines tell.
    pub built_later: bool,
}

/// The line by which something that was told entered the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InBook {
    /// Its line.
    pub line: u64,
    /// The day.
    pub day: Day,
    /// The first seal that covers the line.
    pub seal: Option<u32>,
    /// What came in before it and is from after the sale; `None` where nothing did, or where the words are of that time themselves.
    pub after: Option<CameIn>,
}

/// When the first pictures from after the sale came into the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CameIn {
    /// Their occasion: the one that they are, or ever were, told as of.
    pub stage: Stage,
    /// The occasion with which they were taken in, by the line.
    pub taken_in_as: Stage,
    /// The day.
    pub day: Day,
    /// The line.
    pub line: u64,
}

/// When the words beside a picture entered the book; `None` where no line has them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WordsInBook {
    /// Each mark of the text in force, in its order.
    pub marks: Vec<Option<InBook>>,
    /// Its note.
    pub note: Option<InBook>,
    /// Its view.
    pub view: Option<InBook>,
}

impl InBook {
    /// `14 April 2026 (line 65, seal 4), after the pictures of the delivery came in (13 April 2026, line 40)`.
    pub(in crate::report) fn words(&self) -> String {
        let after = self.after.map_or_else(String::new, |it| {
            let other = match it.taken_in_as == it.stage {
                true => String::new(),
                false => format!(", taken in as {}", it.taken_in_as),
            };
            format!(
                ", after the pictures of the {} came in ({}, line {}{other})",
                it.stage,
                it.day.spoken(),
                it.line
            )
        });
        format!("{}{after}", self.place())
    }

    /// `14 April 2026 (line 65, seal 4)`.
    fn place(&self) -> String {
        let seal = self
            .seal
            .map_or_else(|| "no seal".to_owned(), |it| format!("seal {it}"));
        format!("{} (line {}, {seal})", self.day.spoken(), self.line)
    }
}

/// That what was told of a shoot was put right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShootChanged {
    /// The shoot's number.
    pub no: u32,
    /// The occasion and the first day as told before.
    pub was: (Stage, Day),
    /// The same as told then.
    pub is: (Stage, Day),
    /// The day on which that was told.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

impl ShootChanged {
    /// In one clause.
    pub(in crate::report) fn clause(&self) -> String {
        let ((stage, day), (now, day_now)) = (self.was, self.is);
        let mut told = Vec::new();
        if stage != now {
            told.push(format!("occasion {now}, told before as {stage}"));
        }
        if day != day_now {
            let (day, day_now) = (day.spoken(), day_now.spoken());
            told.push(format!("first day {day_now}, told before as {day}"));
        }
        format!("Shoot {} put right: {}", self.no, told.join("; "))
    }
}

/// That photos were put into another shoot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotosMoved {
    /// Their numbers.
    pub photos: Vec<u32>,
    /// The shoot that they were of before, with its occasion then; `None` of photos whose line is not here.
    pub was: Option<(u32, Option<Stage>)>,
    /// The shoot that they are of from then on.
    pub is: (u32, Option<Stage>),
    /// The day on which that was told.
    pub on: Day,
    /// The last line that tells it.
    pub line: u64,
}

impl PhotosMoved {
    /// In one clause.
    pub(in crate::report) fn clause(&self) -> String {
        let named = |(no, stage): (u32, Option<Stage>)| {
            let stage = stage.map_or_else(String::new, |it| format!(" ({it})"));
            format!("shoot {no}{stage}")
        };
        let before = self.was.map(named);
        let before = before.map_or_else(String::new, |it| format!(", told before as of {it}"));
        let (photos, is) = (words::pictures(&self.photos), named(self.is));
        format!("{photos} put right: of {is}{before}")
    }
}

/// That the piece was withdrawn, or brought back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withdrawal {
    /// Why it was withdrawn, in the owner's words; `None` where it was brought back.
    pub why: Option<String>,
    /// The day.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

impl Withdrawal {
    /// In one clause.
    pub(in crate::report) fn clause(&self) -> String {
        match &self.why {
            Some(why) => format!("Withdrawn from stock: “{why}”"),
            None => "Brought back into stock".to_owned(),
        }
    }
}

/// That a paper or a message was put by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperKept {
    /// Name of its file.
    pub name: String,
    /// Its SHA-256, 64 hex digits.
    pub sha256: String,
    /// Where it lies in the dossier; `None` when it is not enclosed.
    pub place: Option<String>,
    /// The first seal that covers its line.
    pub seal: Option<u32>,
    /// The day.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

/// A day that was told of the sale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SaleTold {
    /// The day.
    pub day: Day,
    /// The day on which that was taken back, as the sale did not come about.
    pub taken_back: Option<Day>,
    /// When it entered the book.
    pub entered: Option<InBook>,
}

impl SaleTold {
    /// A day that was not taken back.
    #[must_use]
    pub fn on(day: Day) -> Self {
        Self {
            day,
            taken_back: None,
            entered: None,
        }
    }

    /// Whether another says the same.
    pub(in crate::report) fn says(&self, other: &Self) -> bool {
        (self.day, self.taken_back) == (other.day, other.taken_back)
    }
}

/// A text beside a picture that a seal covers, and of which a later text no longer says all.
#[derive(Clone, Debug)]
pub struct Retold {
    /// The picture.
    pub photo: u32,
    /// The last seal before the later text.
    pub seal: u32,
    /// The day and line of the later text.
    pub day: Day,
    /// Its line.
    pub line: u64,
    /// What it no longer says, as it was sealed.
    pub was: Vec<Mark>,
}

/// A picture that was entered and taken out again.
#[derive(Clone, Debug)]
pub struct TakenOut {
    /// Its number.
    pub photo: u32,
    /// Name of its file.
    pub name: String,
    /// Number of its shoot.
    pub shoot: u32,
    /// Occasion of its shoot.
    pub stage: Stage,
    /// The occasion with which it was taken in, where it was put into another shoot since.
    pub taken_in_as: Option<Stage>,
    /// When it was taken, by its camera, with the owner's correction.
    pub taken: Option<Day>,
    /// Whether the owner put its camera's clock right.
    pub corrected: bool,
    /// The day it was taken into the book.
    pub imported: Day,
    /// The day it was taken out.
    pub out: Day,
    /// Why, in the owner's words.
    pub why: String,
    /// The line that enters it.
    pub entered: u64,
    /// The line that takes it out.
    pub line: u64,
    /// Its view, by id, as written beside it; `None` where the record does not tell.
    pub view: Option<String>,
    /// The findings of which it told, and those that went with it, in a clause; `None` without one.
    pub with_it: Option<String>,
    /// The enclosed reports that may show it.
    pub shown_in: Vec<String>,
}

impl TakenOut {
    /// In one sentence.
    pub(in crate::report) fn sentence(&self) -> String {
        let with_it = self.with_it.as_ref();
        let with_it = with_it.map_or_else(String::new, |it| format!(" {}.", capital(it)));
        let shown = match self.shown_in.is_empty() {
            true => String::new(),
            false => format!(
                " But these reports are enclosed; they were made while it was in, and may show it and what was written beside it: {}.",
                self.shown_in.join(", ")
            ),
        };
        format!(
            "Picture {} ({}, {}) was taken out of the record on {} (line {}).{with_it} The reason that the owner gave: \u{201c}{}\u{201d}. Its file \
             and its sidecar are not enclosed.{shown}",
            self.photo,
            self.stage,
            self.name,
            self.out.spoken(),
            self.line,
            self.why
        )
    }
}

/// A paper or message of the other side about a seal.
#[derive(Clone, Debug)]
pub struct Confirmed {
    /// Who, such as `carrier`.
    pub by: String,
    /// The seal that it names; `None` of a message that names none that is here.
    pub seal: Option<u32>,
    /// The day it was entered.
    pub day: Day,
    /// Its line.
    pub line: u64,
    /// All of it in one sentence.
    pub sentence: String,
}

/// What the ledger says of a picture.
#[derive(Clone, Debug)]
pub struct PhotoProof {
    /// Its line.
    pub line: u64,
    /// Where it lies in the dossier, or why it does not, and where a copy lies.
    pub file: String,
    /// The first seal that covers its line.
    pub seal: Option<u32>,
    /// The earliest time stamp that covers its line, with its seal.
    pub stamped: Option<(u32, Moment)>,
    /// Where the text beside it lies in the dossier, or why it does not; `None` where there is no text.
    pub beside: Option<String>,
    /// When the words of that text entered the book.
    pub words: WordsInBook,
}

/// An edition of the report.
#[derive(Clone, Debug)]
pub struct EditionLine {
    /// For whom.
    pub reader: String,
    /// Its number.
    pub no: u32,
    /// The day printed on it.
    pub made: Day,
    /// Its line.
    pub line: u64,
}

/// A seal.
#[derive(Clone, Debug)]
pub struct SealLine {
    /// Its number.
    pub no: u32,
    /// How many lines it covers.
    pub size: u64,
    /// When, by the maker's clock.
    pub at: Moment,
    /// Not later than this, by an authority.
    pub stamped: Option<Moment>,
}
