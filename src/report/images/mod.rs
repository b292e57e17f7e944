//! What pictures a page asks for, and what is drawn on them.
//!
//! In: an assessment. Out: the crops that the page needs, and what is drawn on each.

pub(in crate::report) mod album;
pub(in crate::report) mod beside;
pub(in crate::report) mod crop;
pub(in crate::report) mod tag;
