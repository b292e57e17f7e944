//! Commands that tell something of a piece.
//!
//! In: what is told. Out: what the record holds of it now, printed.

pub(in crate::cli) mod amend;
pub(in crate::cli) mod deadlines;
pub(in crate::cli) mod export;
pub(in crate::cli) mod intake;
pub(in crate::cli) mod keep;
pub(in crate::cli) mod label;
pub(in crate::cli) mod repair;
pub(in crate::cli) mod sold;
