//! Faults: the words for what can be wrong with a part.

use serde::Deserialize;
use serde::Serialize;

/// What a fault touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Affects {
    /// Strength.
    Structure,
    /// Use.
    Function,
    /// Look.
    Appearance,
    /// Cleanliness and health.
    Hygiene,
    /// Danger to people.
    Safety,
    /// What it is worth.
    Value,
    /// It gets worse by itself.
    Progressive,
}

/// How hard a fault usually is to put right at level 2 or 3.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Ease {
    /// A beginner can.
    Easy,
    /// With care and some practice.
    Moderate,
    /// Long or skilled work, yet no reason to stop.
    Hard,
    /// Somebody trained for it.
    Specialist,
    /// Normally not worth it.
    Stop,
}

/// A fault of the vocabulary.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tag {
    /// Its id, such as `white_mark`.
    pub id: String,
    /// Its group, such as `finish`.
    pub group: String,
    /// Its name, such as `White ring or haze`.
    pub term: String,
    /// What that means, for a buyer who has never heard it.
    pub plain: String,
    /// How it is told.
    pub recognise: String,
    /// What people also call it, in lower case.
    #[serde(default)]
    pub synonyms: Vec<String>,
    /// What is measured.
    pub measure_what: String,
    /// The unit it is written in.
    pub measure_unit: String,
    /// How it is measured.
    pub measure_how: String,
    /// What makes level 1 to 4; `None` where the fault has no such level.
    #[serde(deserialize_with = "four_levels")]
    pub levels: [Option<String>; 4],
    /// What it touches.
    pub affects: Vec<Affects>,
    /// The lowest level of which a buyer must be told; a repaired fault is always told.
    pub disclose_from: u8,
    /// How hard it usually is to put right.
    pub ease: Ease,
    /// Materials on which it can exist; empty means any.
    #[serde(default)]
    pub only_on: Vec<String>,
    /// Kinds of parts where it is usually found; empty means any.
    #[serde(default)]
    pub parts: Vec<String>,
    /// Views that show it.
    #[serde(default)]
    pub views: Vec<String>,
    /// Methods that answer it, the usual one first.
    #[serde(default)]
    pub fix: Vec<String>,
    /// What it is taken for by mistake; empty when nothing looks like it.
    #[serde(default)]
    pub look_alikes: String,
    /// Hazards that come with it.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// A word of the trade on it, such as when it is no fault.
    pub note: Option<String>,
}

/// A dash stands for a level that is not used.
fn four_levels<'de, D: serde::Deserializer<'de>>(from: D) -> Result<[Option<String>; 4], D::Error> {
    let texts = <[String; 4]>::deserialize(from)?;
    Ok(texts.map(|it| (it != "-").then_some(it)))
}
