//! Hazards, and the lines printed about them.

use serde::Deserialize;
use serde::Serialize;

/// A danger to people.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// Its id, such as `tip_over`.
    pub id: String,
    /// A heading.
    pub title: String,
    /// Lines for the buyer's report; empty for a danger of the work alone.
    pub buyer: Vec<String>,
    /// Lines for who works on the piece.
    pub worker: Vec<String>,
    /// When the buyer's lines apply.
    pub applies: HazardRule,
}

/// When a hazard applies to a piece: any one of these is enough.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct HazardRule {
    /// To every piece.
    pub always: bool,
    /// To forms that may fall forward.
    pub tip_over: bool,
    /// To pieces on which old paint is not excluded.
    pub paint_possible: bool,
    /// To these forms.
    pub forms: Vec<String>,
    /// To pieces with a part of one of these kinds.
    pub kinds: Vec<String>,
    /// To pieces with one of these tags or cues recorded.
    pub marks: Vec<String>,
}
