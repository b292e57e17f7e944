//! Lines, proofs, seals and files into a package for a third party, and such a package into what is in it.

pub mod bag;
pub mod bag_read;
pub mod how_to_check;
pub mod package;
pub mod paths;
