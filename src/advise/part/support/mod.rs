//! What is not there of what a piece stands on, or of what holds a part up.
//!
//! In: an assessment. Out: the work on what is missing, and what waits for it.

pub(in crate::advise) mod held_up;
pub(in crate::advise) mod missing_support;
