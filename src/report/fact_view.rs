//! One line of a list of facts.

use serde::Serialize;

/// A name and what stands beside it.
#[derive(Clone, Debug, Serialize)]
pub(super) struct FactView {
    /// The name.
    pub(super) name: String,
    /// What stands beside it, one line each.
    pub(super) lines: Vec<String>,
}

impl FactView {
    /// With one line.
    pub(super) fn new(name: &str, line: impl Into<String>) -> Self {
        Self {
            name: name.to_owned(),
            lines: vec![line.into()],
        }
    }
}
