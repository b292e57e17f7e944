//! The sides of a piece laid flat.

use crate::assess::faces::case;
use crate::assess::faces::frame;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::faces::sheet::Sheet;
use crate::model::piece::Size;
use crate::trade::entry::form::Figure;

/// Used when no size is recorded.
const PLAIN: Size = Size {
    height_mm: 900.0,
    width_mm: 1000.0,
    depth_mm: 500.0,
};

/// The sides of a piece, in plain proportions where no size is recorded.
pub(crate) fn sheets(shape: &PieceShape) -> Vec<Sheet> {
    let size = shape.drawable_size().unwrap_or(PLAIN);
    match shape.figure {
        Figure::Case => case::case(shape, size),
        Figure::Table => frame::table(shape, size),
        Figure::Seat => frame::seat(shape, size),
        Figure::Bed => frame::bed(size),
        Figure::Box => case::lidded(shape, size),
    }
}
