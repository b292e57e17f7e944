//! Where a piece stands in the shop, as its newest pictures, its repairs and its sale say.

use crate::kit::words::words;
use crate::model::photo::Stage;
use crate::model::piece::Piece;

words! {
    /// Where a piece stands in the shop, in the order of its life.
    PieceState {
        /// Taken in, or looked at on a doorstep: neither a purchase nor pictures of it are on record.
        TakenIn = "taken_in",
        /// Its purchase is told, or its newest pictures are of it; no work is told yet.
        Bought = "bought",
        /// Work on it is told, or its newest pictures are of the work.
        InWork = "in_work",
        /// Its newest pictures are of the sale, or later, and no sale is told.
        ForSale = "for_sale",
        /// Its sale is told.
        Sold = "sold",
        /// It was withdrawn: taken in by mistake, and listed only where asked for.
        Withdrawn = "withdrawn",
    }
}

impl PieceState {
    /// Of a piece that is not withdrawn and whose newest shoot is of `newest`; `repaired`: a repair of it is on record.
    #[must_use]
    pub fn of(piece: &Piece, newest: Option<Stage>, repaired: bool, sold: bool) -> Self {
        let bought = piece.is_bought();
        match newest {
            _ if sold => Self::Sold,
            Some(Stage::Sale | Stage::Handover | Stage::Delivery | Stage::Return) => Self::ForSale,
            Some(Stage::Work) => Self::InWork,
            _ if repaired => Self::InWork,
            Some(Stage::Purchase) => Self::Bought,
            Some(Stage::Doorstep) | None if bought => Self::Bought,
            Some(Stage::Doorstep) | None => Self::TakenIn,
        }
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
        assert_eq!(of(&piece, None, false), PieceState::TakenIn);
        assert_eq!(of(&piece, Some(Stage::Purchase), false), PieceState::Bought);
        assert_eq!(
            of(&piece, Some(Stage::Doorstep), false),
            PieceState::TakenIn
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
