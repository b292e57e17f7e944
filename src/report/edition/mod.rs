//! What an edition states, and what changed since the one before.
//!
//! In: two editions of an assessment. Out: what the newer states, and the lines in which it differs.

pub(in crate::report) mod edition_diff;
pub(in crate::report) mod edition_summary;
pub(in crate::report) mod since_left;
