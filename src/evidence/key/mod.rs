//! The key of a book. In: a seed, or the text of a key file. Out: signatures, the public half, a fingerprint.

pub mod file;
pub mod pair;
pub mod passphrase;
