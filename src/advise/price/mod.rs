//! What it may cost: ways for the whole piece, estimate, offer, reasons to stop, words at the door.
//!
//! In: an assessment, the market and the user's settings. Out: amounts, each with what it rests on.

pub mod basis;
pub(in crate::advise) mod done;
pub mod doubts;
pub mod estimate;
pub(in crate::advise) mod notes;
pub mod offer;
pub mod options;
pub(in crate::advise) mod path_label;
pub mod priced_option;
pub(in crate::advise) mod reckon;
pub mod refused;
pub mod terms;
pub(in crate::advise) mod thumb;
pub(in crate::advise) mod unpriced;
pub mod wish;
pub mod words;
