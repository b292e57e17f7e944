//! Words that claim something of a piece, and the evidence that each must rest on.
//!
//! In: the entries of `claims.toml`, and a text of the user. Out: the claims in it, each with where it stands.

pub mod claim;
pub mod claim_words;
pub mod claim_years;
mod faults_named;
pub(in crate::trade) mod known_words;
pub mod talk;
