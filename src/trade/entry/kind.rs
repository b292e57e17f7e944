//! Kinds of parts and how their instances are named.

use serde::Deserialize;
use serde::Serialize;

/// A side of the piece as it is laid flat on the unfolded drawing, or its inside, which no drawing shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Face {
    /// Faced by the viewer.
    Front,
    /// The viewer's left; its front edge lies at its right.
    Left,
    /// The viewer's right; its front edge lies at its left.
    Right,
    /// Seen from behind: the piece's left lies at the right.
    Back,
    /// Seen from above, front edge below.
    Top,
    /// Seen from below, front edge above.
    Under,
    /// Inside the piece.
    Inside,
}

impl Face {
    /// Printed beside it.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Front => "Front",
            Self::Left => "Left side",
            Self::Right => "Right side",
            Self::Back => "Back",
            Self::Top => "Top",
            Self::Under => "Underside",
            Self::Inside => "Inside",
        }
    }

    /// The same, unless it is the inside.
    #[must_use]
    pub fn drawn(self) -> Option<Self> {
        (self != Self::Inside).then_some(self)
    }
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

/// Whether the surface of a kind of part is finished and seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Shown {
    /// It lies inside, or is not finished.
    #[default]
    No,
    /// In the open on one piece, behind a door on another.
    Perhaps,
    /// In the open on every piece.
    Always,
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
    /// Whether its surface is finished and seen.
    #[serde(default)]
    pub shown: Shown,
    /// Whether it carries fittings: pulls, locks, hinges.
    #[serde(default)]
    pub fittings: bool,
    /// Whether it is not of wood.
    #[serde(default)]
    pub not_wood: bool,
    /// Whether it is solid wood unless something speaks against it, as what is turned or carries is.
    #[serde(default)]
    pub usually_solid: bool,
    /// Whether it moves, or holds what moves, so that somebody can try it.
    #[serde(default)]
    pub moves: bool,
    /// Whether a person or the piece rests on it, or it falls or breaks over somebody when it fails.
    #[serde(default)]
    pub carries: bool,
    /// Whether the piece stands or hangs on it, or gives way without it.
    #[serde(default)]
    pub bears: bool,
    /// From which level on a fault of its strength takes of what it carries, where that is less than heavy.
    #[serde(default)]
    pub gives_from: Option<u8>,
    /// The kinds of parts that it holds up, and that fall with it.
    #[serde(default)]
    pub holds: Vec<String>,
    /// What else it is called in the `which` of a mark, in lower case, where the mark stands on another part, such as the one that bears
    /// it. A part that is not of wood is called by its label as well.
    #[serde(default)]
    pub called: Vec<String>,
    /// The kinds of parts in which it is set, so that it does not come out without laying hands on them.
    #[serde(default)]
    pub set_in: Vec<String>,
    /// What is done with it before the piece is carried, in a sentence; empty where there is nothing.
    #[serde(default)]
    pub carry: String,
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
