//! What pictures a page asks for, and what is drawn on them.

pub(in crate::report) mod album;
pub(in crate::report) mod beside;
pub(in crate::report) mod crop;
