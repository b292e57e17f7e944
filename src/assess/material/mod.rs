//! Cues into what a part is made of and when a piece was made.

pub mod clue;
pub(crate) mod cover;
pub(crate) mod dating;
pub(in crate::assess) mod likeness;
pub(in crate::assess) mod observations;
pub mod remarks;
pub(crate) mod settle;
pub(in crate::assess) mod sign;
