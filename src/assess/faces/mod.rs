//! The sides of a piece as they are drawn and measured.
//!
//! In: a piece's form, its parts and the size told. Out: its sides laid flat in millimetres, with the place of each part on them.

pub(crate) mod case;
pub mod flat_faces;
pub(crate) mod frame;
pub(crate) mod part_place;
pub mod piece_shape;
pub(crate) mod sheet;
pub(crate) mod sheets;
