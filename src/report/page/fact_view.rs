//! One line of a list of facts.

use serde::Serialize;

/// A name and what stands beside it.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct FactView {
    /// The name.
    pub(in crate::report) name: String,
    /// What stands beside it, one line each.
    pub(in crate::report) lines: Vec<String>,
}

impl FactView {
    /// With one line.
    pub(in crate::report) fn new(name: &str, line: impl Into<String>) -> Self {
        Self {
            name: name.to_owned(),
            lines: vec![line.into()],
        }
    }
}
