//! Seals, dossiers and their checks. In: a book, or the path of a dossier. Out: seals, packages, a verdict.

pub mod authority;
pub(in crate::work) mod bag_files;
pub(in crate::work) mod book_dossiers;
pub(in crate::work) mod book_rows;
pub(in crate::work) mod book_source;
pub(in crate::work) mod book_texts;
pub mod disclosure;
pub mod dossier;
pub(in crate::work) mod dossier_copies;
pub(in crate::work) mod dossier_cover;
pub(in crate::work) mod dossier_desk;
pub(in crate::work) mod dossier_files;
pub(in crate::work) mod dossier_place;
pub(in crate::work) mod dossier_seals;
pub mod handover;
pub(in crate::work) mod heal;
pub mod keys;
pub mod seal;
pub mod verify;
