//! What an assessment says; plain data that the report and the survey print.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;
use serde::Serializer;

use crate::assess::claims::check::Claimed;
use crate::assess::findings::counts::Counts;
use crate::assess::findings::counts::FindingCounts;
use crate::assess::findings::extent::Extent;
use crate::assess::findings::hidden::Hidden;
use crate::assess::findings::hold::Hold;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::lacks::Gap;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::material::clue::Made;
use crate::assess::material::clue::Observation;
use crate::assess::material::remarks::Remark;
use crate::assess::statements::statement::Missed;
use crate::assess::statements::statement::NotLooked;
use crate::assess::statements::statement::SoundSeen;
use crate::kit::clock::Day;
use crate::kit::json::both;
use crate::model::complaint::Complaint;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::settings::Settings;

/// A piece as the record holds it.
#[derive(Clone, Debug)]
pub struct PieceRecord {
    /// The piece.
    pub piece: Piece,
    /// Its shoots, by number.
    pub shoots: Vec<Shoot>,
    /// Its photos with what is written beside them, in any order.
    pub photos: Vec<Photo>,
    /// The numbers given out to its findings.
    pub findings: Vec<NumberedFinding>,
    /// Its repairs, by number.
    pub repairs: Vec<Repair>,
    /// Sidecars whose newest text is not in force, and why.
    pub complaints: Vec<Complaint>,
    /// The user's settings.
    pub settings: Settings,
}

/// What the record of a piece means.
#[derive(Clone, Debug, Serialize)]
pub struct Assessment {
    /// The piece.
    pub piece: Piece,
    /// Label of its form, such as `Chest of drawers`.
    pub form_label: String,
    /// Its shoots, by number.
    pub shoots: Vec<Shoot>,
    /// Its photos, by shoot and corrected camera time.
    pub photos: Vec<Photo>,
    /// What is wrong with single photos as evidence.
    pub picture_notes: Vec<PictureNote>,
    /// Every part of the piece's list, in the form's order.
    pub parts: Vec<PartReport>,
    /// What is said of inner parts that the record does not name, by what is said of their whole; those with nothing are left out.
    pub unnamed: BTreeMap<PartId, PartState>,
    /// Every finding, by number; withdrawn ones included.
    pub findings: Vec<Finding>,
    /// Before/after pairs.
    pub pairs: Vec<Pair>,
    /// Its repairs, by number.
    pub repairs: Vec<Repair>,
    /// Findings over which only hiding work lies, by number.
    pub hidden: Vec<Hidden>,
    /// The coat that has to be left alone longest.
    pub hold: Option<Hold>,
    /// Observations that are no faults, in the order of the photos.
    pub observations: Vec<Observation>,
    /// Everything that was said beside the pictures and is no fault, group by group.
    pub remarks: Vec<Remark>,
    /// When it was made, as far as clues bound it; an opinion.
    pub made: Made,
    /// Words of the user that claim something, with what bears them.
    pub claims: Vec<Claimed>,
    /// Views a complete record of the stages so far would still need.
    pub missing_views: Vec<MissingView>,
    /// What was not examined; never empty.
    pub not_examined: Vec<Unexamined>,
    /// Cautions that apply to this piece.
    pub cautions: Vec<Caution>,
    /// Sidecars whose newest text is not in force.
    pub complaints: Vec<Complaint>,
    /// What keeps a final report from being printed; empty when nothing does.
    pub gaps: Vec<Gap>,
    /// How many of each.
    pub counts: Counts,
}

impl Assessment {
    /// Whether somebody said that a part, or what it is a part of, is not there.
    #[must_use]
    pub fn is_absent(&self, part: &PartId) -> bool {
        let report = self.parts.iter().find(|it| it.part == *part);
        let state = report.map(|it| &it.state);
        matches!(
            state.or_else(|| self.unnamed.get(part)),
            Some(PartState::Absent { .. })
        )
    }
}

/// What is wrong with one photo as evidence.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PictureNote {
    /// The photo.
    pub photo: u32,
    /// The kind.
    pub code: PictureIssue,
    /// In words, with the number that says so.
    pub text: String,
}

/// Kinds of picture notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PictureIssue {
    /// Too dark to judge a surface.
    Dark,
    /// Much less sharp than the others of its shoot.
    Blurred,
    /// A 1 mm fault covers too few pixels.
    Small,
    /// Seconds apart and nearly the same picture as another.
    Burst,
    /// The same picture as another in another coding or size.
    SamePicture,
    /// A copy without camera facts: not the original, no date of its own.
    Copy,
    /// The camera's date lies in the future of its import.
    FutureDate,
    /// Hours away from every other picture of its shoot.
    OtherTime,
    /// No camera time.
    NoTime,
    /// The file ends early.
    CutOff,
    /// Anything else said of the file.
    Other,
}

/// A part and what is known of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartReport {
    /// The part.
    #[serde(flatten, serialize_with = "part_as_json")]
    pub part: PartId,
    /// Its label, such as `Drawer 2`.
    pub label: String,
    /// Whether the form's list asks for a statement about it.
    pub required: bool,
    /// What is said of it.
    #[serde(flatten)]
    pub state: PartState,
    /// Of a part with findings: somebody wrote that nobody looked at it otherwise.
    #[serde(rename = "otherwise_not_examined")]
    pub otherwise: Option<NotLooked>,
    /// Its findings and those of its inner parts, by number, withdrawn ones left out.
    pub findings: Vec<FindingNo>,
    /// The same, counted.
    pub counts: FindingCounts,
    /// Photos that show it, in order.
    pub photos: Vec<u32>,
    /// What it is made of.
    #[serde(serialize_with = "settled_as_json")]
    pub material: Material,
}

/// What is said of a part; the three silences are three different values.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "state")]
pub enum PartState {
    /// The part is not there.
    Absent(Missed),
    /// Nobody looked, and somebody said so.
    NotExamined(NotLooked),
    /// Nothing was said.
    Silent,
    /// Looked for faults, found none.
    Sound(SoundSeen),
    /// Faults are recorded, whatever became of them.
    Faults,
}

/// What a part is made of, with its evidence.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Material {
    /// `solid`, `veneer` ... when the evidence settles it.
    pub settled: Option<String>,
    /// When it is not settled, every class it may still be, sorted; the worst of them counts meanwhile. Empty when settled.
    pub possible: Vec<String>,
    /// When it is not settled, what to look at next.
    pub look: Option<String>,
    /// A sentence for the buyer: the verdict, or "not settled" and what to look at.
    pub text: String,
    /// The observations it rests on.
    #[serde(flatten, serialize_with = "evidence_as_json")]
    pub evidence: Vec<Evidence>,
}

/// One observation and where it is to be seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Evidence {
    /// The photo.
    pub photo: u32,
    /// Index of the mark in the photo's sidecar.
    pub mark: usize,
    /// The observation in plain words.
    pub text: String,
}

/// One condition of one part, followed over all shoots.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// Its number.
    #[serde(rename = "id")]
    pub no: FindingNo,
    /// The part.
    pub part: PartId,
    /// The part's label.
    pub part_label: String,
    /// The fault.
    pub tag: String,
    /// The fault's name, such as `White ring or haze`.
    pub term: String,
    /// What that means, for somebody who has never heard it.
    pub plain: String,
    /// Which of several of its kind; empty for the only one.
    pub which: String,
    /// Where it came from.
    pub origin: Origin,
    /// What that rests on, in one sentence.
    pub origin_why: String,
    /// What became of it.
    pub state: FindingState,
    /// In which group it is counted; `None` when it is withdrawn.
    pub outcome: Option<Outcome>,
    /// The mark that says, as the newest word, that it is repaired or gone.
    pub closed_by: Option<MarkAt>,
    /// What it was when it was last seen there.
    pub before: Extent,
    /// What can still be seen of it since it was repaired, when somebody wrote how much.
    pub remains: Option<Extent>,
    /// Its level now, or when last seen; 1 trace, 2 visible, 3 heavy, 4 failing.
    pub level: Option<u8>,
    /// The criterion of that level for this fault.
    pub level_words: Option<String>,
    /// Its measure now, or when last seen, as written.
    pub size: Option<String>,
    /// Whether a buyer must be told of it at its level; repaired ones always.
    pub disclose: bool,
    /// What was said of it, shoot by shoot.
    pub history: Vec<Sighting>,
    /// The repairs made for it, by number.
    pub repairs: Vec<u32>,
}

/// Where a finding came from, as far as the record shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// There when the piece came in.
    Found,
    /// Came with the work: the part was looked at before and the fault was not there.
    ByWork,
    /// First seen after the piece had left, on a part that was recorded without it before.
    AfterSale,
    /// The record does not show when it came.
    Unknown,
}

/// What became of a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FindingState {
    /// There, as at first.
    Open,
    /// There, and more than at first.
    Worse,
    /// There, and less than at first.
    Better,
    /// A picture since says that it is repaired, or after a repair that it is gone.
    Repaired,
    /// A repair is recorded, but no picture after it.
    RepairUnseen,
    /// Was repaired or gone, and is there again.
    Reopened,
    /// Looked for and no longer there, without a repair on record.
    Gone,
    /// Last looked for in a picture that cannot show it.
    NotVisible,
    /// No mark names it any more; its number is kept.
    Withdrawn,
}

/// What one shoot says of a finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sighting {
    /// The shoot.
    pub shoot: u32,
    /// Its occasion.
    pub stage: Stage,
    /// Its day.
    pub day: Day,
    /// The strongest thing said in that shoot.
    pub state: MarkState,
    /// The highest level said.
    pub level: Option<u8>,
    /// The measure, from the mark with the highest level that has one.
    pub size: Option<String>,
    /// The notes, each once, in the order of the photos.
    pub notes: Vec<String>,
    /// The marks, in the order of the photos.
    #[serde(flatten, serialize_with = "marks_as_json")]
    pub marks: Vec<MarkAt>,
}

/// A mark in its photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct MarkAt {
    /// The photo.
    pub photo: u32,
    /// Index of the mark in the photo's sidecar.
    pub mark: usize,
}

/// Two photos that show what changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// What they show.
    pub about: PairAbout,
    /// The earlier photo, and the mark in it.
    pub before: PairSide,
    /// The later one.
    pub after: PairSide,
    /// How far the two can be compared.
    pub likeness: Likeness,
}

impl Pair {
    /// Whether this side carries no mark of the finding that the pair is about, so that it may not show the place.
    #[must_use]
    pub fn may_miss(&self, side: PairSide) -> bool {
        matches!(self.about, PairAbout::Finding(_)) && side.mark.is_none()
    }
}

/// What a pair shows.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PairAbout {
    /// The same finding.
    Finding(FindingNo),
    /// The same view of the piece.
    View(String),
}

/// One side of a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PairSide {
    /// The photo.
    pub photo: u32,
    /// The mark that shows the finding, if there is one in this photo.
    pub mark: Option<usize>,
}

/// How far two photos can be compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Likeness {
    /// Both are the same named view of the whole face.
    SameView,
    /// Both show the part, from different places.
    DifferentAngle,
}

impl Likeness {
    /// The words printed under a pair.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::SameView => "same view",
            Self::DifferentAngle => "same part, different angle",
        }
    }
}

/// A part, and whether it lies inside another.
fn part_as_json<S: Serializer>(part: &PartId, to: S) -> Result<S::Ok, S::Error> {
    both(to, ("part", part), ("inner", &part.is_inner()))
}

/// Of a material only what it is settled to be, or `null`.
fn settled_as_json<S: Serializer>(material: &Material, to: S) -> Result<S::Ok, S::Error> {
    material.settled.serialize(to)
}

/// The evidence, and the numbers of the photos in which it is to be seen, each once.
fn evidence_as_json<S: Serializer>(evidence: &[Evidence], to: S) -> Result<S::Ok, S::Error> {
    let photos: BTreeSet<u32> = evidence.iter().map(|it| it.photo).collect();
    both(to, ("photos", &photos), ("evidence", evidence))
}

/// The marks, and the number of the photo of each.
fn marks_as_json<S: Serializer>(marks: &[MarkAt], to: S) -> Result<S::Ok, S::Error> {
    let photos: Vec<u32> = marks.iter().map(|it| it.photo).collect();
    both(to, ("photos", &photos), ("marks", marks))
}
