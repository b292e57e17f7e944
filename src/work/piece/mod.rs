//! What is told of a piece, its market, its repairs and its sale.

pub mod intake;
pub mod market;
pub(in crate::work) mod recorded;
pub mod repair;
pub mod sale;
