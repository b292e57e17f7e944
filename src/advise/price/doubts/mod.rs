//! What speaks against a price: open questions, and reasons to stop.
//!
//! In: an assessment, what is known of its parts, and a way for the whole piece. Out: the questions with the money put aside for each,
//! the bad answers, and what stops the way.

pub(in crate::advise) mod lead;
pub(in crate::advise) mod put_aside;
pub mod questions;
pub mod stops;
