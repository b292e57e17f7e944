//! What is asked on a doorstep: taps in walking order, and what each answer records.

use serde::Deserialize;
use serde::Serialize;

/// One question on the walk.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tap {
    /// Its id, such as `edge`.
    pub id: String,
    /// What to do or to look at.
    pub ask: String,
    /// How.
    pub how: String,
    /// The picture to take beside it, a view of the book.
    pub view: Option<String>,
    /// Kinds of parts that it is about: the first one that a form has counts. Empty for the whole piece.
    #[serde(default)]
    pub on: Vec<String>,
    /// Whether of several parts alike it does not say which.
    #[serde(default)]
    pub apart: bool,
    /// What can be answered; not to answer is always possible, and means that nobody looked.
    pub answers: Vec<TapAnswer>,
}

/// One answer, and what it records.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TapAnswer {
    /// Its id, such as `grain`.
    pub id: String,
    /// What is tapped on.
    pub label: String,
    /// Kinds of parts, where they are others than the question's.
    #[serde(default)]
    pub on: Vec<String>,
    /// The marks, as in a sidecar.
    #[serde(default)]
    pub marks: Vec<TapMark>,
    /// Whether the part was looked at for faults and none found.
    #[serde(default)]
    pub sound: bool,
    /// Whether it was looked at from inside too.
    #[serde(default)]
    pub inside: bool,
    /// Whether it counts for all parts of the kind, or for the first alone.
    #[serde(default)]
    pub every: bool,
    /// Whether the piece is meant for a child.
    #[serde(default)]
    pub child: bool,
}

/// One mark of an answer.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TapMark {
    /// A fault or an observation of the book.
    pub tag: String,
    /// The level of a fault.
    pub level: Option<u8>,
    /// Whether it was looked for and was not so.
    #[serde(default)]
    pub gone: bool,
}

impl Tap {
    /// The answer of this id.
    #[must_use]
    pub fn answer(&self, id: &str) -> Option<&TapAnswer> {
        self.answers.iter().find(|it| it.id == id)
    }

    /// The kinds of parts that an answer is about.
    #[must_use]
    pub fn kinds<'a>(&'a self, answer: &'a TapAnswer) -> &'a [String] {
        if answer.on.is_empty() {
            &self.on
        } else {
            &answer.on
        }
    }
}
