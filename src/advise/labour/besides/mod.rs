//! What a plan holds besides the work on faults, and what of it is on record already.
//!
//! In: what a plan is made from, and its tasks. Out: tasks.

pub(super) mod base_work;
pub(super) mod upkeep;
pub(super) mod watches;
