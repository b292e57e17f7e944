//! Marks into sidecar text; changes to a text that keep its comments.

pub(in crate::mark) mod edits;
pub(in crate::mark) mod lines;
pub(in crate::mark) mod quote;
pub(in crate::mark) mod rewrite_face;
pub(in crate::mark) mod rewrite_scale;
pub(in crate::mark) mod rewriter;
pub(in crate::mark) mod writer;
