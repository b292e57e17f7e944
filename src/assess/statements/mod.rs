//! What was said of parts into one reading of it, each statement with where it is written.

pub(in crate::assess) mod looking;
pub(in crate::assess) mod reading;
pub mod statement;
