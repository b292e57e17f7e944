//! What is wrong with a text the user wrote, and where.

use serde::Deserialize;
use serde::Serialize;

/// One complaint about a sidecar or the settings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Complaint {
    /// The file, as the user knows it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What to do, such as "did you mean `white_mark`?".
    pub help: Option<String>,
    /// The place drawn with a caret, with terminal colours (a printer that is no terminal strips them).
    pub drawn: String,
}
