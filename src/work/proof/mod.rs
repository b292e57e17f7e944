//! Seals and checks, of books and of dossiers. In: a book, or the path of a dossier. Out: seals, a verdict.

pub mod authority;
pub(in crate::work) mod book_dossiers;
pub(in crate::work) mod book_rows;
pub(in crate::work) mod book_source;
pub(in crate::work) mod book_texts;
pub mod handover;
pub(in crate::work) mod heal;
pub mod keys;
pub mod labels;
pub(in crate::work) mod named_pieces;
pub mod seal;
pub(in crate::work) mod seal_files;
pub mod verify;
