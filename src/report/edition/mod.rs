//! What an edition states, and what changed since the one before.

pub(in crate::report) mod edition_diff;
pub(in crate::report) mod edition_summary;
