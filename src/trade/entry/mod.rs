//! One kind of entry of the trade book a file.
//!
//! In: a table of a data file. Out: one entry, checked.

pub mod asker;
pub mod claim_kind;
pub mod condition;
pub mod cue;
pub mod form;
pub mod hazard;
pub mod kind;
pub mod material;
pub mod offer;
pub mod parts;
pub mod path;
pub mod repair;
pub mod tag;
pub mod tap;
pub mod view;
pub mod wood;
