//! Commands about the stock book as a whole, and about the program itself.
//!
//! In: their arguments. Out: what they answered, printed.

pub(in crate::cli) mod backup;
pub(in crate::cli) mod demo;
pub(in crate::cli) mod guide;
pub(in crate::cli) mod install;
pub(in crate::cli) mod new_book;
pub(in crate::cli) mod restore;
pub(in crate::cli) mod stock;
pub(in crate::cli) mod words;
