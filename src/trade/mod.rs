//! The trade book: forms, parts, views, tags with their levels, observations, methods, cautions, as embedded data.
//!
//! In: nothing but its own files. Out: lookups. May not know: the user's pieces.
//! The facts are common practice, no source, unless a data file names one beside them.

mod called;
pub mod check;
pub mod claims;
mod embedded;
pub mod entry;
pub mod overlay;
mod own_entry;
mod plain;
pub mod trade_book;

pub use crate::trade::trade_book::TradeBook;
pub use crate::trade::trade_book::book;
pub use crate::trade::trade_book::shared;

#[cfg(test)]
mod tests;
