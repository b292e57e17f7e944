//! What the record lacks: views, parts that were not examined, statements.
//!
//! In: findings, parts and photos. Out: what is lacking, each with what to do about it.

pub(in crate::assess) mod alike;
pub mod lacks;
pub(in crate::assess) mod missing;
pub(in crate::assess::gaps) mod not_tested;
pub mod repaired;
pub mod silence;
pub(in crate::assess) mod unexamined;
pub(in crate::assess) mod views;
