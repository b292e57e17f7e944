//! The stock book as a folder: found, made, opened, locked, listed.

pub mod demo;
pub mod open_book;
pub(in crate::work) mod overlay;
pub mod stock;
pub(in crate::work) mod user_text;
