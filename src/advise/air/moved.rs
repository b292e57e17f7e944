//! What the seasons do to one part.

use serde::Serialize;

use crate::advise::air::moisture::Basis;
use crate::advise::air::moisture::Grain;
use crate::model::ids::PartId;
use crate::tongue::Saying;

/// How much a width changes, mm, each to 1 mm; wider is above 0.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Swing {
    /// From winter to summer.
    pub winter_to_summer_mm: i64,
    /// From now to winter; `None` while the air of now is not known.
    pub now_to_winter_mm: Option<i64>,
    /// From now to summer; `None` while the air of now is not known.
    pub now_to_summer_mm: Option<i64>,
    /// The play a drawer needs to stay free in the dampest of these, mm, up to the next 1 mm: from now, or from winter
    /// while the air of now is not known.
    pub needs_mm: i64,
    /// What it rests on.
    pub basis: Basis,
    /// The growth behind `needs_mm`, not rounded.
    #[serde(skip)]
    pub(crate) growth_mm: f64,
}

/// Whether a part moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Moves {
    /// It is solid wood.
    Yes,
    /// It may be solid wood: it is not settled, so the worse case counts.
    IfSolid,
    /// It is made of something that hardly moves.
    Hardly,
    /// It moves, but the tables or the record lack a figure.
    Unknown,
}

/// What the seasons do to one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartMovement {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
    /// The wood as it was named; an opinion by its look.
    pub wood: Saying,
    /// Whether it moves.
    pub moves: Moves,
    /// How it was cut.
    pub grain: Grain,
    /// Its width across the grain, mm; `None` when not known.
    pub width_mm: Option<f64>,
    /// How much it changes; `None` when it hardly does, or a figure is lacking.
    pub swing: Option<Swing>,
    /// The measured gap above a drawer, mm.
    pub play_mm: Option<f64>,
    /// One line for the reader, opinion marked as one.
    pub text: Saying,
}

/// Whether a part of this kind rises and falls with a drawer's height.
pub(in crate::advise) fn is_of_drawer(kind: &str) -> bool {
    ["drawer", "drawer_front", "drawer_side"].contains(&kind)
}
