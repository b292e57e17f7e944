//! The record of a piece into an edition of its report.

pub mod crops;
pub mod drawing_input;
pub mod edition;
mod edition_files;
pub(in crate::work) mod named_seal;
pub mod pdf;
