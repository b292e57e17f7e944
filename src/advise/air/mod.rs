//! How solid wood moves with the seasons; advice, not a measurement.
//!
//! In: the width of a board, its wood, the air before and after. Out: the movement in millimetres.

pub mod moisture;
pub mod moved;
pub mod movement;
pub(in crate::advise) mod movement_words;
