//! What is tried at the door, and what each answer says in words of the record.

use serde::Deserialize;
use serde::Serialize;

use crate::trade::entry::hazard::LineWith;

/// All that is tried, as the file holds it.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Doorstep {
    /// In walking order.
    pub tap: Vec<Tap>,
}

/// One thing to try at the door.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tap {
    /// Its id, such as `legs`.
    pub id: String,
    /// Its name, such as `Shake the legs`.
    pub label: String,
    /// How it is done, and what is to be minded.
    pub how: String,
    /// What is said besides of a piece with parts of certain kinds.
    #[serde(default)]
    pub with: Vec<LineWith>,
    /// Where a fault is that an answer tells, in small letters, when the tap is about more than the part that the fault is written
    /// on: `somewhere below`. Empty where it is about that part.
    #[serde(default)]
    pub place: String,
    /// Kinds of parts on which it is tried, the likeliest first.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// Kinds of parts with which it is not tried.
    #[serde(default)]
    pub without: Vec<String>,
    /// On which of them.
    #[serde(default)]
    pub reach: Reach,
    /// The pictures to take beside it, ids of views.
    #[serde(default)]
    pub views: Vec<String>,
    /// What can be answered.
    #[serde(rename = "choice")]
    pub choices: Vec<TapChoice>,
}

/// On which parts something is tried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// The first part of the first kind that the piece has.
    #[default]
    First,
    /// Every part, each with its own answer.
    Each,
    /// All parts together, with one answer.
    All,
}

/// One answer.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TapChoice {
    /// Its id within the tap, such as `loose`.
    pub id: String,
    /// Its words.
    pub label: String,
    /// Observations that are so.
    #[serde(default)]
    pub cues: Vec<String>,
    /// Faults and observations that were looked for and are not there.
    #[serde(default)]
    pub gone: Vec<String>,
    /// A fault that was found.
    pub fault: Option<TapFault>,
    /// The part of the part on which that fault is.
    pub inner: Option<String>,
    /// Whether faults were looked for and none, or none else, was found.
    #[serde(default)]
    pub sound: bool,
    /// A part of the part of which the same holds.
    pub inner_sound: Option<String>,
    /// Whether the part has no coat of its own, so that nothing is said of one.
    #[serde(default)]
    pub covers: bool,
    /// Whether it could not be looked at.
    #[serde(default)]
    pub unlooked: bool,
}

/// A fault with its level.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TapFault {
    /// The fault.
    pub tag: String,
    /// Its level, 1 to 4.
    pub level: u8,
}
