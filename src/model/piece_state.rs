//! Where a piece stands in the shop, as its newest pictures, its repairs and its sale say.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;

use crate::model::photo::Stage;
use crate::model::piece::Piece;

/// Where a piece stands in the shop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PieceState {
    /// Looked at on a doorstep, and not told as bought.
    LookedAt,
    /// Bought, or taken in without pictures; no work is told yet.
    Bought,
    /// Work on it is told, or its newest pictures are of the work.
    InWork,
    /// Its newest pictures are of the sale, or later, and no sale is told.
    ForSale,
    /// Its sale is told.
    Sold,
}

impl PieceState {
    /// All, in the order of a piece's life, with their words.
    pub const ALL: [(&str, Self); 5] = [
        ("looked_at", Self::LookedAt),
        ("bought", Self::Bought),
        ("in_work", Self::InWork),
        ("for_sale", Self::ForSale),
        ("sold", Self::Sold),
    ];

    /// Of a piece whose newest shoot is of `newest`; `repaired`: a repair of it is on record.
    #[must_use]
    pub fn of(piece: &Piece, newest: Option<Stage>, repaired: bool, sold: bool) -> Self {
        let bought = piece.bought_for.is_some() || piece.bought_on.is_some();
        match newest {
            _ if sold => Self::Sold,
            Some(Stage::Sale | Stage::Handover | Stage::Delivery | Stage::Return) => Self::ForSale,
            Some(Stage::Work) => Self::InWork,
            _ if repaired => Self::InWork,
            Some(Stage::Doorstep) if !bought => Self::LookedAt,
            Some(Stage::Doorstep | Stage::Purchase) | None => Self::Bought,
        }
    }
}

impl fmt::Display for PieceState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = Self::ALL.iter().find(|it| it.1 == *self);
        f.pad(word.map_or("", |it| it.0))
    }
}

impl FromStr for PieceState {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let found = Self::ALL.iter().find(|it| it.0 == text);
        let words: Vec<&str> = Self::ALL.iter().map(|it| it.0).collect();
        found
            .map(|it| it.1)
            .ok_or_else(|| format!("it is one of {}", words.join(", ")))
    }
}

#[cfg(test)]
mod tests {
    use super::PieceState;
    use crate::kit::clock::Moment;
    use crate::model::photo::Stage;
    use crate::model::piece::Piece;

    #[test]
    fn a_piece_goes_through_its_states() {
        let mut piece = Piece::blank("26-001".parse().unwrap(), Moment::now());
        let of = |piece: &Piece, newest, repaired| PieceState::of(piece, newest, repaired, false);
        assert_eq!(of(&piece, None, false), PieceState::Bought);
        assert_eq!(
            of(&piece, Some(Stage::Doorstep), false),
            PieceState::LookedAt
        );
        piece.bought_on = Some("2026-05-03".parse().unwrap());
        assert_eq!(of(&piece, Some(Stage::Doorstep), false), PieceState::Bought);
        assert_eq!(of(&piece, Some(Stage::Purchase), true), PieceState::InWork);
        assert_eq!(of(&piece, Some(Stage::Work), false), PieceState::InWork);
        // Repairs of before its sale pictures do not take it off the shop floor.
        assert_eq!(of(&piece, Some(Stage::Sale), true), PieceState::ForSale);
        let sold = PieceState::of(&piece, Some(Stage::Handover), true, true);
        assert_eq!(sold, PieceState::Sold);
    }
}
