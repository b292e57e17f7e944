//! The size and root of a ledger into a statement to sign, and the proofs that lead to it. In: leaf hashes. Out: statements, proofs.

pub mod letter;
pub mod proofs;
pub mod statement;
