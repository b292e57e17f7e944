//! What the advice on parts says; plain data that the survey, the estimate and the report print.

use serde::Serialize;
use serde::Serializer;

use crate::assess::part_list::is_face;
use crate::kit::json::both;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::hazard::OtherLines;
use crate::trade::entry::repair::deed::Deed;
use crate::trade::entry::repair::method::Method;

/// What can be done with the surface of a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartAdvice {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
    /// Every path, the preferred ones first, shut ones last.
    pub paths: Vec<PathAdvice>,
    /// What sanding it still bears; `None` where there is no face wood to spare it for.
    #[serde(flatten, serialize_with = "sanding_as_json")]
    pub sanding: Option<Sanding>,
    /// Steps of work that must not be used on it at all, each once.
    pub never: Vec<String>,
    /// What may not be done to its face, or not yet, whatever the path.
    #[serde(skip)]
    pub forbidden: Vec<Forbidden>,
    /// What is known of lead in paint on it.
    #[serde(skip)]
    pub lead: Lead,
    /// What was taken from other parts of the piece, in sentences marked as an opinion.
    pub opinions: Vec<String>,
}

impl PartAdvice {
    /// Whether it is of the face of this part.
    #[must_use]
    pub fn is_of(&self, part: &PartId) -> bool {
        is_face(part, &self.part)
    }

    /// Why a method may never be done to its face; `None` where it may, or may yet.
    #[must_use]
    pub fn shut_to(&self, method: &Method) -> Option<&str> {
        let mut shut = self.forbidden.iter();
        let shut = shut.find(|it| it.verdict == Verdict::Shut && method.does.contains(&it.deed))?;
        Some(&shut.why)
    }

    /// What must not be done to a face with which nobody may begin before reading it: old paint, and what bears no wiping.
    #[must_use]
    pub fn warnings(&self) -> &[String] {
        let mut shut = self.forbidden.iter();
        let delicate = shut.any(|it| it.deed == Deed::Wipe);
        match self.lead != Lead::NotSuspected || delicate {
            true => &self.never,
            false => &[],
        }
    }
}

/// What is known of lead in the paint on a face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lead {
    /// No paint that may be old enough was seen on it, or a test found none.
    #[default]
    NotSuspected,
    /// It has paint that may be old enough, or somebody marked lead as not ruled out, and no test is on record.
    Untested,
    /// As before, and a test found lead elsewhere on the piece: it is worked on as if it held lead, and is not tested first.
    Presumed,
    /// A test found it.
    Found,
}

impl Lead {
    /// Its word in a rule of the trade book.
    #[must_use]
    pub fn word(self) -> &'static str {
        Fact::Lead.values()[self as usize]
    }

    /// What is told of it where a test found it.
    #[must_use]
    pub fn found(self, book: &TradeBook) -> Option<&OtherLines> {
        let hazard = book.hazard("lead").filter(|_| self == Self::Found)?;
        hazard.found.as_ref()
    }
}

/// Something that may not be done to a face.
#[derive(Clone, Debug, PartialEq)]
pub struct Forbidden {
    /// What.
    pub deed: Deed,
    /// Shut, or waiting for a look.
    pub verdict: Verdict,
    /// Why.
    pub why: String,
    /// What to look at, where that is open.
    pub look: Option<String>,
    /// The method by which others do it.
    pub hands_to: Option<String>,
}

/// Whether a path can be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It can be taken.
    Open,
    /// It can be taken once other work is done, which the plan then holds.
    AfterWork,
    /// It cannot be told yet: something has to be looked at first. Until then it counts as shut.
    Waiting,
    /// It must not be taken.
    Shut,
}

/// One path on one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PathAdvice {
    /// The path.
    pub path: String,
    /// Its name.
    pub label: String,
    /// Whether it can be taken.
    pub verdict: Verdict,
    /// Why: for a shut path what shuts it, for a waiting one what might, for an open one what prefers it.
    #[serde(flatten, serialize_with = "reasons_as_json")]
    pub reasons: Vec<Reason>,
    /// For a waiting path: what to look at, each once.
    pub look: Vec<String>,
    /// For one that opens after work: what has to be done and seen.
    pub opened_by: Vec<String>,
    /// Methods that belong to that work, besides the repair of the faults.
    pub opening_work: Vec<String>,
    /// Its steps that are not done here, as there is nothing for them to do.
    #[serde(skip)]
    pub left_out: Vec<String>,
    /// Open findings of the part that are gone after it.
    pub removes: Vec<FindingNo>,
    /// Open findings that are still there after it, but not to be seen.
    pub hides: Vec<FindingNo>,
    /// Open findings that it leaves as they are.
    pub leaves: Vec<FindingNo>,
    /// Of those hidden or left, the ones a buyer must be told of: level 2 and more, and what their tag discloses earlier.
    pub tell: Vec<FindingNo>,
}

/// Why a path is open, waiting or shut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// The rule.
    pub rule: String,
    /// In words.
    pub why: String,
}

/// What sanding a face still bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sanding {
    /// Lowest measured thickness of the face wood, mm; `None` when it was not measured and the thinnest is taken.
    pub lowest_mm: Option<f64>,
    /// What it is known not to exceed, mm, where that was told and no number; `None` elsewhere.
    pub at_most_mm: Option<f64>,
    /// What must stay, mm.
    pub reserve_mm: f64,
    /// What may come off, mm; 0 when nothing may.
    pub budget_mm: f64,
    /// What may be done, in words.
    pub bears: String,
    /// Runs of grits, coarse to fine, and whether they fit.
    pub runs: Vec<GritAdvice>,
}

impl Sanding {
    /// The same where a rule forbids it: nothing may come off.
    pub(crate) fn forbidden(mut self, by: &Forbidden) -> Self {
        self.budget_mm = 0.0;
        self.bears.clone_from(&by.why);
        for run in &mut self.runs {
            run.fits = Fits::No;
        }
        self
    }
}

/// A run of grits on a face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GritAdvice {
    /// The grits, coarse to fine.
    pub grits: Vec<u16>,
    /// What it takes off, mm: least, and most.
    pub takes_mm: [f64; 2],
    /// Whether that fits.
    pub fits: Fits,
}

/// Whether what a run takes off fits the budget.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fits {
    /// Even the most it takes fits.
    Fits,
    /// Only the least it takes fits.
    Tight,
    /// It takes too much.
    No,
}

/// The reasons, and their words alone.
fn reasons_as_json<S: Serializer>(reasons: &[Reason], to: S) -> Result<S::Ok, S::Error> {
    let why: Vec<&str> = reasons.iter().map(|it| it.why.as_str()).collect();
    both(to, ("why", &why), ("reasons", reasons))
}

/// What sanding a face still bears, and from it what may come off, whether that was measured, and the runs that fit, such as
/// `150-180-220`.
fn sanding_as_json<S: Serializer>(sanding: &Option<Sanding>, to: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Names<'a> {
        sanding_mm: Option<f64>,
        face_measured: bool,
        grits: Vec<String>,
        sanding: &'a Option<Sanding>,
    }
    let runs = sanding.iter().flat_map(|it| &it.runs);
    let grits = runs.filter(|it| it.fits == Fits::Fits).map(|it| {
        let grits: Vec<String> = it.grits.iter().map(u16::to_string).collect();
        grits.join("-")
    });
    Names {
        sanding_mm: sanding.as_ref().map(|it| it.budget_mm),
        face_measured: sanding.as_ref().is_some_and(|it| it.lowest_mm.is_some()),
        grits: grits.collect(),
        sanding,
    }
    .serialize(to)
}
