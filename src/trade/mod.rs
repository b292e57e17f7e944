//! The trade book: forms, parts, views, tags with their levels, observations, methods, cautions, as embedded data.
//!
//! In: nothing but its own files. Out: lookups. May not know: the user's pieces.
//! The facts are common practice, no source, unless a data file names one beside them.

pub mod asker;
pub mod atom;
mod check_offer;
mod check_words;
mod check_work;
pub mod claim;
pub mod claim_kind;
pub mod claim_words;
pub mod claim_years;
pub mod cue;
pub mod fault;
pub mod form;
pub mod hazard;
pub mod kind;
pub mod method;
pub mod offer;
pub mod order;
pub mod own_words;
pub mod parts;
pub mod path;
mod plain;
pub mod tag;
mod texts;
pub mod trade_book;
pub mod view;
pub mod wood;

pub use crate::trade::trade_book::TradeBook;
pub use crate::trade::trade_book::book;
pub use crate::trade::trade_book::shared;

#[cfg(test)]
mod tests;
