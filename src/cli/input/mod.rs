//! What more than one command is told.
//!
//! In: words of the command line. Out: the values that jobs take, amounts in the book's currency.

pub(in crate::cli) mod amount;
pub(in crate::cli) mod language;
pub(in crate::cli) mod market;
pub(in crate::cli) mod number;
pub(in crate::cli) mod or;
pub(in crate::cli) mod piece;
pub(in crate::cli) mod size;
pub(in crate::cli) mod suggested;
pub(in crate::cli) mod text;
