//! What an assessment says; plain data that the report and the survey print.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::claims::claimed::Claimed;
use crate::assess::findings::counts::Counts;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::hidden::Hidden;
use crate::assess::findings::hold::Hold;
use crate::assess::findings::taken_out::TakenOutPhoto;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::lacks::Gap;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::lacks::Tell;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::material::clue::Made;
use crate::assess::material::clue::Observation;
use crate::assess::material::remarks::Remark;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::places::all_told::Places;
use crate::assess::places::sight::LiesWhole;
use crate::assess::places::sight::SeenWithout;
use crate::assess::places::straight::Straight;
use crate::model::complaint::Complaint;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;

/// What the record of a piece means.
#[derive(Clone, Debug, Serialize)]
pub struct Assessment {
    /// The piece.
    pub piece: Piece,
    /// Label of its form, such as `Chest of drawers`.
    pub form_label: String,
    /// What is done with its parts, and minded of its faults, before it is carried, in sentences.
    #[serde(skip)]
    pub carry: Vec<String>,
    /// How many pieces of its set are on record, with this one; 1 where nobody counted, or it is of no set.
    #[serde(skip)]
    pub of_set: usize,
    /// Whether it hangs on a wall, and so does not tip over.
    pub hangs: bool,
    /// Its shoots, by number.
    pub shoots: Vec<Shoot>,
    /// Its photos, by shoot and corrected camera time.
    pub photos: Vec<Photo>,
    /// What is wrong with single photos as evidence.
    pub picture_notes: Vec<PictureNote>,
    /// Every part of the piece's list, in the form's order.
    pub parts: Vec<PartReport>,
    /// What such a piece usually has and this one never had, by label: no loss.
    pub never_had: Vec<String>,
    /// What is said of inner parts that the record does not name, by what is said of their whole; those with nothing are left out.
    pub unnamed: BTreeMap<PartId, PartState>,
    /// Every finding, by number; withdrawn ones included.
    pub findings: Vec<Finding>,
    /// Pictures that were taken out of the record, by number, with the findings that went with them.
    pub taken_out: Vec<TakenOutPhoto>,
    /// Before/after pairs.
    pub pairs: Vec<Pair>,
    /// Its repairs, by number.
    pub repairs: Vec<Repair>,
    /// The kind of every part on the list of its form.
    #[serde(skip)]
    pub kinds: BTreeMap<PartId, String>,
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
    /// Paint on what was made before this year may hold lead, by the law of the user's country; `None` where none is known.
    pub lead_before: Option<i16>,
    /// Words of the user that claim something, with what bears them.
    pub claims: Vec<Claimed>,
    /// Views a complete record of the stages so far would still need.
    pub missing_views: Vec<MissingView>,
    /// What was not examined; never empty.
    pub not_examined: Vec<Unexamined>,
    /// Where on the piece the findings lie, and what the pictures show of it.
    pub places: Places,
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
    /// The findings that no mark names any more, by number.
    pub fn withdrawn(&self) -> impl Iterator<Item = &Finding> {
        let findings = self.findings.iter();
        findings.filter(|it| it.state == FindingState::Withdrawn)
    }

    /// What a part is called; its name where the list has none.
    #[must_use]
    pub fn label(&self, part: &PartId) -> String {
        let report = self.parts.iter().find(|it| it.part == *part);
        report.map_or_else(|| part.to_string(), |it| it.label.clone())
    }

    /// The caution on faults on which somebody may come to harm; `None` without one.
    #[must_use]
    pub fn not_to_be_used(&self) -> Option<&Caution> {
        self.cautions.iter().find(|it| it.hazard == "failing")
    }

    /// The parts of which somebody said that they are not there, by label; what lies in one of them goes without a word.
    #[must_use]
    pub fn absent_parts(&self) -> Vec<&str> {
        let absent = { self.parts.iter() }.filter(|it| it.missed_itself().is_some());
        absent.map(|it| it.label.as_str()).collect()
    }

    /// `Not there: Left door; Drawer 2, lock`; `None` where nothing is told absent.
    #[must_use]
    pub fn not_there(&self) -> Option<Saying> {
        let absent = self.absent_parts();
        let labels = absent.iter().map(|it| Saying::part(it)).collect();
        (!absent.is_empty()).then(|| say::not_there(Saying::Parted(labels)))
    }

    /// What whoever takes it has to know before all else: the faults on which somebody may come to harm, what a test found, and what
    /// lives in it. The one list from which a sale, a label and the next steps tell it.
    pub fn warnings(&self) -> impl Iterator<Item = &Caution> {
        self.told_first().map(|it| it.0)
    }

    /// The same, each with what is told of it.
    pub fn told_first(&self) -> impl Iterator<Item = (&Caution, &Tell)> {
        { self.cautions.iter() }.filter_map(|it| Some((it, it.tell.as_ref()?)))
    }

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
    /// It was taken in with another shoot, and put into this one later.
    OtherShoot,
    /// No camera time.
    NoTime,
    /// The file ends early.
    CutOff,
    /// The data of the picture are damaged.
    Damaged,
    /// What the camera wrote does not fit together, or a program that is no camera's is named.
    Contradiction,
    /// A raw file: the picture that the camera put into it is shown.
    RawPreview,
    /// The original is not in its place any more.
    OriginalGone,
    /// Anything else said of the file.
    Other,
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
    /// Both cut from one rectangle of a face and set straight, where it is laid in both.
    pub straight: Option<Straight>,
}

impl Pair {
    /// Whether this side carries no mark of the finding that the pair is about and is not known to have all of its place in it.
    #[must_use]
    pub fn may_miss(&self, side: PairSide) -> bool {
        matches!(self.about, PairAbout::Finding(_)) && side.mark.is_none() && side.shown.is_none()
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PairSide {
    /// The photo.
    pub photo: u32,
    /// The mark that shows the finding, if there is one in this photo.
    pub mark: Option<usize>,
    /// That all of the finding's place lies in it well enough, where its face is laid.
    pub shown: Option<LiesWhole>,
    /// That it shows the place without the fault.
    pub without: Option<SeenWithout>,
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
    pub fn words(self) -> Saying {
        match self {
            Self::SameView => say::pair_same_view(),
            Self::DifferentAngle => say::pair_other_angle(),
        }
    }
}
