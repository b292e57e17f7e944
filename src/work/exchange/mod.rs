//! The record of a piece into open formats that other programs read.
//!
//! In: a piece. Out: rows, annotations, copies of photos. Nothing private is in them: no price, no private note, no place, no camera.

pub mod annotations;
pub mod finding_rows;
pub mod photo_copies;
mod xmp;
