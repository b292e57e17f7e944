//! Commands about photos and what is written beside them.
//!
//! In: photos, or a piece. Out: what became of them, printed.

pub(in crate::cli) mod clock;
pub(in crate::cli) mod import;
pub(in crate::cli) mod lay_faces;
pub(in crate::cli) mod mark;
pub(in crate::cli) mod put_back;
pub(in crate::cli) mod remove;
pub(in crate::cli) mod shotlist;
