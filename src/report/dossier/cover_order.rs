//! What the first page of a dossier is made of beside the assessment.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::text::capital;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::report::dossier::lines::line_told::InBook;
use crate::report::dossier::lines::line_told::LackEntered;
use crate::report::dossier::lines::line_told::PaperKept;
use crate::report::dossier::lines::line_told::PhotosMoved;
use crate::report::dossier::lines::line_told::SaleTold;
use crate::report::dossier::lines::line_told::ShootChanged;
use crate::report::dossier::lines::line_told::Withdrawal;
use crate::report::dossier::lines::line_told::WordsInBook;
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
    /// Which parts the piece was told to lack, change by change, in the order of the lines.
    pub lacks: Vec<LackEntered>,
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
    /// Which photo files are enclosed.
    pub photo_files: PhotoFiles,
    /// What is not enclosed, a sentence each.
    pub not_in: Vec<String>,
    /// Papers and messages of the other side about a seal, in the order of the lines.
    pub confirmed: Vec<Confirmed>,
    /// The sealed texts beside pictures that a later text took something back of, in the order of the lines.
    pub retold: Vec<Retold>,
    /// Whether the ledger is younger than what its first lines tell.
    pub built_later: bool,
}

/// Which photo files a dossier encloses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhotoFiles {
    /// Some originals at least.
    Originals,
    /// Copies in the place of all originals.
    Copies,
    /// None.
    None,
}

impl PhotoFiles {
    /// What is enclosed, in the list of what the record is.
    pub(in crate::report) fn enclosed(self) -> &'static str {
        match self {
            Self::Originals => "original files",
            Self::Copies => {
                "copies of the pictures, without what the camera's files hold beside them"
            }
            Self::None => "no file of a picture",
        }
    }

    /// Where they are, below the exhibits.
    pub(in crate::report) fn named(self) -> &'static str {
        match self {
            Self::Originals => "The original files are those named under each.",
            Self::Copies => {
                "No original file is enclosed; the copy in its place is named under each."
            }
            Self::None => "No original file is enclosed; why, is said under each.",
        }
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
