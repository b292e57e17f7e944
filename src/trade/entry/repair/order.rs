//! What must come before what in the work.

use serde::Deserialize;
use serde::Serialize;

use crate::trade::entry::repair::method::Phase;

/// How far a rule of order reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Reach {
    /// Between tasks on the same part, or on the whole piece.
    Part,
    /// Between any two tasks of the piece.
    Piece,
}

/// Some of the work: every method of these phases, and these methods.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Work {
    /// Phases.
    pub phases: Vec<Phase>,
    /// Methods.
    pub methods: Vec<String>,
    /// Methods of these phases that are not meant.
    pub but_not: Vec<String>,
}

impl Work {
    /// Whether a method of this phase is meant.
    #[must_use]
    pub fn holds(&self, method: &str, phase: Phase) -> bool {
        let named = |list: &[String]| list.iter().any(|it| it == method);
        named(&self.methods) || (self.phases.contains(&phase) && !named(&self.but_not))
    }
}

/// A rule of order: `first` comes before `then`.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OrderRule {
    /// Its id, such as `glue_before_strip`.
    pub id: String,
    /// What comes first.
    pub first: Work,
    /// What comes after it.
    pub then: Work,
    /// Between which tasks.
    pub reach: Reach,
    /// The rule in one sentence.
    pub rule: String,
    /// Why.
    pub why: String,
    /// When an experienced hand does otherwise.
    pub but: Option<String>,
    /// Whether `then` may not be done at all unless `first` is part of the work.
    #[serde(default)]
    pub must_have: bool,
}

/// `order.toml` as it lies in the book.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Orders {
    pub(crate) order: Vec<OrderRule>,
}
