//! Commands that hand something over or prove it: reports, seals, dossiers, checks.
//!
//! In: a piece or a package. Out: where the file lies, or the verdict, printed.

pub(in crate::cli) mod dossier;
pub(in crate::cli) mod handover;
pub(in crate::cli) mod key;
pub(in crate::cli) mod report;
pub(in crate::cli) mod seal;
pub(in crate::cli) mod verify;
