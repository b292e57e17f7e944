//! One thing to do next.

use serde::Serialize;

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NextStep {
    /// A stable code, such as `look`.
    pub code: &'static str,
    /// What to do.
    pub what: String,
    /// How, or with which command; empty when that goes without saying.
    pub how: String,
}

/// Of these words.
pub(in crate::advise) fn step(
    code: &'static str,
    what: String,
    how: impl Into<String>,
) -> NextStep {
    NextStep {
        code,
        what,
        how: how.into(),
    }
}
