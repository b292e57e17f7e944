//! (name, bytes) -> ledger, seal, dossier, verdict; works with no book.
//!
//! In: lines of a ledger, keys, files. Out: hashes, proofs, signatures, and what they show. May not know SQL or HTML.

pub mod bag;
pub mod bag_read;
pub mod check;
pub mod dossier;
pub mod entry;
pub mod key;
pub mod key_file;
pub mod line;
pub mod merkle;
pub mod paths;
pub mod proofs;
pub mod seal;
pub mod stamp;
mod stamp_asn1;
mod stamp_cert;
mod stamp_chain;
pub mod stamp_fault;
mod stamp_sign;
pub mod stamp_time;
mod stamp_token;
