//! What was told of a piece, taken back.

use crate::model::piece::Piece;
use crate::model::piece::PieceFact;

/// Takes one fact back, and says so.
pub(in crate::work) fn take_back(fact: PieceFact, piece: &mut Piece) -> String {
    let what = match fact {
        PieceFact::Size => {
            piece.size = None;
            "size"
        }
        PieceFact::SizeTaken => {
            piece.size_taken = None;
            "how its size was taken"
        }
        PieceFact::FormBefore => {
            piece.form_before = None;
            "the form that it had"
        }
        PieceFact::Set => {
            piece.set = None;
            "the set to which it belongs"
        }
        PieceFact::Drawers => {
            piece.drawer_rows.clear();
            "rows of drawers"
        }
        PieceFact::With => {
            piece.with.clear();
            "optional parts"
        }
        PieceFact::Absent => {
            piece.absent.clear();
            "parts that are not there"
        }
        PieceFact::NeverHad => {
            piece.never_had.clear();
            "parts that it never had"
        }
        PieceFact::About => {
            piece.about = None;
            "the paragraph for the buyer"
        }
        PieceFact::ExaminedBy => {
            piece.examined_by = None;
            "who examined it"
        }
        PieceFact::Weight => {
            piece.weight = None;
            "weight"
        }
        PieceFact::BoughtFor => {
            piece.bought_for = None;
            "what was paid"
        }
        PieceFact::BoughtOn => {
            piece.bought_on = None;
            "the day it was bought"
        }
        PieceFact::Asking => {
            piece.asking = None;
            "what is asked"
        }
        PieceFact::PrivateNote => {
            piece.private_note = None;
            "the private note"
        }
    };
    format!("{what}: not told any more")
}
