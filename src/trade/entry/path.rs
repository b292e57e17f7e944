//! Ways to refinish a part, and the rules that open and close them.

use serde::Deserialize;
use serde::Serialize;

use crate::trade::entry::condition::Condition;
use crate::trade::entry::repair::deed::Deed;
use crate::trade::entry::repair::order::Reach;

/// What a path leaves on the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Leaves {
    /// The old coat as it is, or cleaned.
    OldCoat,
    /// The old coat, touched up or flowed together again.
    OldCoatMended,
    /// A new clear coat over wood.
    ClearCoat,
    /// Paint.
    Paint,
    /// New face wood, to be finished by another path.
    FaceWood,
    /// Nothing of ours: a specialist's work, or parts for other pieces.
    NotOurs,
}

impl Leaves {
    /// What a buyer sees of it.
    #[must_use]
    pub fn look(self) -> &'static str {
        match self {
            Self::Paint => "paint",
            Self::ClearCoat | Self::FaceWood => "new clear coat",
            Self::OldCoat | Self::OldCoatMended | Self::NotOurs => "old finish",
        }
    }
}

/// How far a path can be undone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Undo {
    Fully,
    Mostly,
    Partly,
    Never,
}

/// A way to refinish a part.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Path {
    /// Its id, such as `strip_stain`.
    pub id: String,
    /// Its name.
    pub label: String,
    /// What that means, for a buyer.
    pub plain: String,
    /// Faults that are gone after it.
    #[serde(default)]
    pub removes: Vec<String>,
    /// Faults that are still there after it, but not to be seen.
    #[serde(default)]
    pub hides: Vec<String>,
    /// What it leaves.
    pub leaves: Leaves,
    /// How far it can be undone.
    pub undo: Undo,
    /// Its work, in order.
    #[serde(default)]
    pub steps: Vec<PathStep>,
    /// Materials for a piece of `AREA_OF_COSTS` show surface: low, likely, high, in whole units of money of about a euro, a pound
    /// or a dollar.
    pub materials: [f64; 3],
    /// Hours after the last coat before the part may be wrapped: low, likely, high.
    pub hold_hours: [f64; 3],
    /// Open for every part whose material a rule opens, even when no rule names it.
    #[serde(default)]
    pub always: bool,
}

impl Path {
    /// Its steps in its own order, as the ids of methods.
    #[must_use]
    pub fn method_ids(&self) -> Vec<&str> {
        self.steps.iter().map(|it| it.method.as_str()).collect()
    }

    /// What a buyer sees of a part that took it: what puts no coat on leaves the old one to be seen round its patches.
    #[must_use]
    pub fn seen_as(&self) -> &'static str {
        match self.steps.is_empty() {
            true => Leaves::OldCoat.look(),
            false => self.leaves.look(),
        }
    }
}

/// Show surface for which the materials of a path are told, m2: a chest of four drawers.
pub const AREA_OF_COSTS: f64 = 2.6;

/// A step of a path.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PathStep {
    /// The method.
    pub method: String,
    /// How often, such as coats.
    #[serde(default = "once")]
    pub times: f64,
    /// Lines of questions on the part, all of which must hold; it is left out where one surely does not.
    #[serde(default)]
    pub when: Vec<Vec<Condition>>,
}

fn once() -> f64 {
    1.0
}

/// What a rule does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Says which paths a material allows at all.
    Material,
    /// Shuts paths until something is done.
    Gate,
    /// Shuts paths for good, or says which is preferred.
    Steer,
}

/// A rule on paths. It applies when every line of `when` has a question that is answered with yes.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Its id, such as `thin_face`.
    pub id: String,
    /// What it does.
    pub role: Role,
    /// All lines must hold; a line holds when one of its questions does.
    pub when: Vec<Vec<Condition>>,
    /// Paths it opens; for rules on material alone.
    #[serde(default)]
    pub opens: Vec<String>,
    /// Paths it shuts.
    #[serde(default)]
    pub shuts: Vec<String>,
    /// What must not be done to the face: it shuts every path with a step that does so, and keeps every such method off.
    #[serde(default)]
    pub forbids: Vec<Deed>,
    /// Paths it prefers among those that are open, the best first.
    #[serde(default)]
    pub prefers: Vec<String>,
    /// Steps of work that must not be used even within an open path, in words.
    #[serde(default)]
    pub never: Vec<String>,
    /// Why, in words that can be said to a buyer.
    pub why: String,
    /// What to look at or measure while the answer is not known.
    pub look: Option<String>,
    /// For a gate: what has to be done and seen before it opens.
    pub opened_by: Option<String>,
    /// For a gate: methods that are part of the work that opens it, besides the repair of the faults it asks for.
    #[serde(default)]
    pub opening_work: Vec<String>,
    /// The method by which others do what it keeps from us, such as a gilder.
    pub hands_to: Option<String>,
    /// Whether the faults it asks for count on the part alone or anywhere on the piece.
    #[serde(default = "on_the_part")]
    pub reach: Reach,
}

fn on_the_part() -> Reach {
    Reach::Part
}

/// How thick a face is, and what it still bears.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaceBand {
    /// From this thickness on, mm.
    pub from_mm: f64,
    /// Below this one, mm.
    pub below_mm: f64,
    /// What must stay, mm.
    pub reserve_mm: f64,
    /// The most that may come off, mm, whatever is left above the reserve.
    #[serde(default = "no_limit")]
    pub most_mm: f64,
    /// What may be done.
    pub bears: String,
    /// What must not.
    pub never: Vec<String>,
}

impl FaceBand {
    /// By what it is known: where it begins, such as `0.5`.
    #[must_use]
    pub fn id(&self) -> String {
        self.from_mm.to_string()
    }
}

/// A band without a limit of its own: the reserve alone limits it.
fn no_limit() -> f64 {
    99.0
}

/// A run of grits, and what it takes off.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GritRun {
    /// The grits, coarse to fine.
    pub grits: Vec<u16>,
    /// The thinnest face on which it may be used at all, mm.
    pub from_mm: f64,
    /// What it takes off, mm: least, and most.
    pub takes_mm: [f64; 2],
}

impl GritRun {
    /// By what it is known: its grits, such as `150-180-220`.
    #[must_use]
    pub fn id(&self) -> String {
        let grits: Vec<String> = self.grits.iter().map(u16::to_string).collect();
        grits.join("-")
    }
}

/// `paths.toml` as it lies in the book.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Paths {
    pub(crate) path: Vec<Path>,
    pub(crate) rule: Vec<Rule>,
    pub(crate) face_band: Vec<FaceBand>,
    pub(crate) grit_run: Vec<GritRun>,
}
