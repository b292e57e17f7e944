//! What is told of a piece, its market, its repairs and its sale.
//!
//! In: what was told of a piece. Out: what the record holds of it now.

pub mod at_door;
pub(in crate::work) mod days;
pub mod deadlines;
pub mod intake;
pub mod lacking;
pub mod market;
pub mod other_shoot;
pub(in crate::work) mod recorded;
pub mod repair;
mod repair_cautions;
pub mod sale;
pub mod shoot;
mod take_back;
mod unknown_method;
pub mod withdraw;
