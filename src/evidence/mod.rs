//! (name, bytes) -> ledger, seal, dossier, verdict; works with no book.
//!
//! In: lines of a ledger, keys, files. Out: hashes, proofs, signatures, and what they show. May not know SQL or HTML.

pub mod age;
pub mod dossier;
pub mod key;
pub mod ledger;
pub mod seal;
pub mod stamp;
pub mod verify;
