//! The nouns as plain data: piece, shoot, photo, facts, part, region, mark, finding, repair.
//!
//! In: checked values. Out: the same. May not know: files, SQL, HTML.

pub mod complaint;
pub mod face;
pub mod facts;
pub mod finding;
pub mod ids;
pub mod mark;
pub mod market;
pub mod photo;
pub mod picture;
pub mod piece;
pub mod piece_state;
pub mod region;
pub mod repair;
pub mod sale;
pub mod settings;
