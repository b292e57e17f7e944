//! What the record lacks: views, parts that were not examined, statements.

pub mod lacks;
pub(in crate::assess) mod missing;
pub mod silence;
pub(in crate::assess) mod unexamined;
pub(in crate::assess) mod views;
