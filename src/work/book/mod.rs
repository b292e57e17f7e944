//! The stock book as a folder: found, made, opened, locked, listed.
//!
//! In: a folder. Out: the open book, or why it is none.

pub mod accounts;
pub mod demo;
pub mod open_book;
pub(in crate::work) mod overlay;
pub mod stock;
mod told_money;
pub(in crate::work) mod user_text;
