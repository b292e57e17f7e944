//! Kinds of parts and how their instances are named.

use serde::Deserialize;
use serde::Serialize;

/// Where a part lies on the unfolded drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Face {
    Front,
    Left,
    Right,
    Back,
    Top,
    Under,
    Inside,
}

/// How the instances of a kind are told apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Spread {
    /// There is one: `top`.
    #[default]
    One,
    /// Left and right of the viewer: `side-left`, `side-right`.
    Sides,
    /// At the four corners: `leg-front-left` ...
    Corners,
    /// On the four sides: `seat-rail-front` ...
    Round,
    /// Numbered: `shelf-1` ...
    Numbered,
    /// Numbered by the drawers: `drawer-1` ... from the top, left before right.
    Drawers,
    /// Numbered between rows of drawers: `dust-panel-1` ...
    BetweenRows,
    /// Only as a part of a part: `drawer-2/bottom`.
    InnerOnly,
}

/// A kind of part.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartKind {
    /// Its id, such as `case_side`.
    pub id: String,
    /// Its name, such as `Case side`.
    pub label: String,
    /// What it is, for somebody who has never heard it.
    pub plain: String,
    /// The stem of its instances' ids, such as `side`.
    pub name: String,
    /// How its instances are told apart.
    #[serde(default)]
    pub spread: Spread,
    /// The label of one instance when there are several; `{where}`, `{Where}` and `{n}` are filled in.
    pub each: Option<String>,
    /// Where it lies on the unfolded drawing; by its place when not given.
    pub face: Option<Face>,
    /// As a part of a part: whether a look at the closed whole from outside sees it, so that what is said of the whole may speak
    /// for it.
    #[serde(default)]
    pub seen_with_whole: bool,
    /// The parts of each instance.
    #[serde(default)]
    pub inner: Vec<InnerPart>,
}

/// A part of a part.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InnerPart {
    /// The step after the slash, such as `side-left`.
    pub name: String,
    /// Its kind.
    pub kind: String,
    /// The words after the comma, such as `left side`.
    pub label: String,
}
