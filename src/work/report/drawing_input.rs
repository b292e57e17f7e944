//! What the report needs beyond the assessment: the shape of the piece and words of the trade book.

use crate::assess::faces::piece_shape::PieceShape;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::report::DrawingInput;
use crate::trade::TradeBook;
use crate::work::sidecars::vocabulary;

/// The scene of a piece.
pub(in crate::work) fn scene(book: &TradeBook, piece: &Piece, settings: &Settings) -> DrawingInput {
    DrawingInput {
        shape: PieceShape::of(book, piece, &vocabulary::parts(book, piece)),
        methods: book
            .methods
            .iter()
            .map(|it| (it.id.clone(), it.name.clone()))
            .collect(),
        views: book
            .views
            .iter()
            .map(|it| (it.id.clone(), it.label.clone()))
            .collect(),
        movement: Vec::new(),
        trading_name: settings.trading_name.clone(),
        contact: settings.contact.clone(),
        examined_by: settings.examined_by.clone(),
    }
}
