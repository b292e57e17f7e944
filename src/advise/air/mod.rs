//! How solid wood moves with the seasons; advice, not a measurement.

pub mod moisture;
pub mod moved;
pub mod movement;
pub(in crate::advise) mod movement_words;
