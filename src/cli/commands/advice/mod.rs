//! Commands that say what a record means.
//!
//! In: a piece. Out: what is recorded, missing and advised, printed.

pub(in crate::cli) mod doorstep;
pub(in crate::cli) mod estimate;
pub(in crate::cli) mod season;
pub(in crate::cli) mod survey;
pub(in crate::cli) mod where_seen;
