//! What entered a book into lines, and the hash tree over them. In: entries. Out: canonical lines, hashes, proofs.

pub mod entry;
pub mod entry_rows;
pub mod line;
pub mod merkle;
pub mod shoots_told;
