//! Bytes under a passphrase, in the format age v1 with the scrypt recipient (<https://age-encryption.org/v1>, C2SP), which other programs
//! read.
//!
//! In: a reader of plain bytes, or of an age file. Out: a reader of the other. The passphrase is stretched by scrypt (RFC 7914), keys are
//! derived by HKDF (RFC 5869), pieces of 64 KiB are under ChaCha20-Poly1305 (RFC 8439), each bound to its place and the last to the end.

mod derive;
mod header;
pub mod opening;
mod pieces;
pub mod sealing;
pub mod secret;
