//! A part and what is known of it; plain data.

use std::collections::BTreeSet;

use serde::Serialize;
use serde::Serializer;

use crate::assess::findings::finding_counts::FindingCounts;
use crate::assess::statements::statement::Missed;
use crate::assess::statements::statement::NotLooked;
use crate::assess::statements::statement::SoundSeen;
use crate::kit::clock::Day;
use crate::kit::json::both;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::piece::ToldOn;

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
    /// Whether something was seen of it that is no fault, or looked for and not found, so that it is not silent even without a
    /// statement on faults.
    pub remarked: bool,
    /// Of a part with findings: somebody wrote that nobody looked at it otherwise.
    #[serde(rename = "otherwise_not_examined")]
    pub otherwise: Option<NotLooked>,
    /// Everything that was said of this very part apart from faults, in the order of time.
    pub said: Vec<SaidOnce>,
    /// Its findings and those of its inner parts, by number, withdrawn ones left out.
    pub findings: Vec<FindingNo>,
    /// The same, counted.
    pub counts: FindingCounts,
    /// Photos that show it, in order.
    pub photos: Vec<u32>,
    /// What it is made of.
    #[serde(flatten, serialize_with = "settled_as_json")]
    pub material: Material,
}

impl PartReport {
    /// That nobody looked at it, or at what lies beyond its findings; `None` where nobody wrote so.
    #[must_use]
    pub fn not_looked(&self) -> Option<&NotLooked> {
        match &self.state {
            PartState::NotExamined(it) => Some(it),
            _ => self.otherwise.as_ref(),
        }
    }

    /// What was said of it at other times and is not what its state says, in the order of time: a later word takes no earlier one back.
    pub fn said_otherwise(&self) -> impl Iterator<Item = &SaidOnce> {
        let (word, photo) = match &self.state {
            PartState::Absent(_) => (Some(SaidWord::Absent), None),
            PartState::NotExamined(_) => (Some(SaidWord::NotExamined), None),
            PartState::Sound(_) => (Some(SaidWord::Sound), None),
            PartState::Faults => (None, self.otherwise.as_ref().map(NotLooked::photo)),
            PartState::Silent => (None, None),
        };
        let lost = match &self.state {
            PartState::Absent(it) => it.lost().map(|it| it.was.photo()),
            _ => None,
        };
        let told = move |it: &&SaidOnce| {
            let again = it.word == SaidWord::NotExamined && photo.is_some() && it.photo == photo;
            let was = it.word == SaidWord::Sound && lost.is_some() && it.photo == lost;
            Some(it.word) != word && !again && !was
        };
        self.said.iter().filter(told)
    }

    /// Whether nothing at all is recorded of it.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.state == PartState::Silent && !self.remarked
    }

    /// That it is not there, said of this very part; `None` of one that is there, or that went without a word with what it lies in.
    #[must_use]
    pub fn missed_itself(&self) -> Option<&Missed> {
        match &self.state {
            PartState::Absent(missed) if missed.wider().is_none() => Some(missed),
            _ => None,
        }
    }

    /// Whether all that is told of faults on it are clean tests, and what was looked for and not found: no statement on any other.
    #[must_use]
    pub fn is_tested_clean(&self) -> bool {
        self.is_unjudged() && self.counts.all() > 0 && self.counts.faults() == 0
    }

    /// Whether something was seen of it, and nothing said of faults.
    #[must_use]
    pub fn is_unjudged(&self) -> bool {
        self.state == PartState::Silent && self.remarked
    }
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

/// One word on a part and when it was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SaidOnce {
    /// The word.
    pub word: SaidWord,
    /// The day of the photo's shoot; `None` when it was told of the piece.
    pub day: Option<Day>,
    /// The photo beside which it is written; `None` when it was told of the piece.
    pub photo: Option<u32>,
    /// The line by which it was told of the piece; `None` where a mark says it, or no line tells when that was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub told: Option<ToldOn>,
}

/// What can be said of a part apart from its faults.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SaidWord {
    /// The part is not there.
    Absent,
    /// Nobody looked.
    NotExamined,
    /// Looked for faults, found none.
    Sound,
}

/// What a part is made of, with its evidence.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Material {
    /// `solid`, `veneer` ... when the evidence settles it.
    pub settled: Option<String>,
    /// What lies below the face, where that was seen.
    pub core: Option<String>,
    /// When it is not settled, what other parts or the kind of part make likely; an opinion.
    pub likely: Option<Likely>,
    /// When it is not settled, every class it may still be, sorted; the worst of them counts meanwhile. Empty when settled.
    pub possible: Vec<String>,
    /// When it is not settled, what to look at next.
    pub look: Option<String>,
    /// A sentence for the buyer: the verdict, or "not settled" and what to look at.
    pub text: String,
    /// Whether cloth, leather, cane or a pad was seen to lie over it, so that nothing of it is seen.
    pub covered: bool,
    /// Whether that is a web of cane, rush or cord: it has neither cover nor filling.
    pub woven: bool,
    /// The observations it rests on.
    #[serde(flatten, serialize_with = "evidence_as_json")]
    pub evidence: Vec<Evidence>,
}

impl Material {
    /// Of which nothing is settled, in a sentence that says so.
    pub(crate) fn not_settled(text: String, evidence: Vec<Evidence>) -> Self {
        Self {
            settled: None,
            core: None,
            likely: None,
            possible: Vec::new(),
            look: None,
            text,
            covered: false,
            woven: false,
            evidence,
        }
    }
}

/// What a part is likely made of, by what others are; an opinion, never more.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Likely {
    /// The class, such as `veneer`.
    pub class: String,
    /// Parts that are settled so; empty where the kind of part alone speaks for it.
    #[serde(skip)]
    pub like: Vec<PartId>,
    /// In a sentence marked as an opinion.
    pub text: String,
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

/// A part, and whether it lies inside another.
fn part_as_json<S: Serializer>(part: &PartId, to: S) -> Result<S::Ok, S::Error> {
    both(to, ("part", part), ("inner", &part.is_inner()))
}

/// What it is settled to be, or `null`; what lies below; what is likely.
fn settled_as_json<S: Serializer>(material: &Material, to: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Names<'a> {
        material: &'a Option<String>,
        core: &'a Option<String>,
        likely: &'a Option<Likely>,
        covered: bool,
        woven: bool,
    }
    Names {
        material: &material.settled,
        core: &material.core,
        likely: &material.likely,
        covered: material.covered,
        woven: material.woven,
    }
    .serialize(to)
}

/// The evidence, and the numbers of the photos in which it is to be seen, each once.
fn evidence_as_json<S: Serializer>(evidence: &[Evidence], to: S) -> Result<S::Ok, S::Error> {
    let photos: BTreeSet<u32> = evidence.iter().map(|it| it.photo).collect();
    both(to, ("photos", &photos), ("evidence", evidence))
}
