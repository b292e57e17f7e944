//! What is wrong with a text the user wrote, and where.

use serde::Deserialize;
use serde::Serialize;
use serde::Serializer;
use serde::ser::SerializeStruct as _;

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

/// A complaint as scripts read it: without its drawing.
#[derive(Clone, Copy, Debug)]
pub struct Undrawn<'a>(pub &'a Complaint);

impl Serialize for Undrawn<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut names = to.serialize_struct("Complaint", 5)?;
        names.serialize_field("file", &self.0.file)?;
        names.serialize_field("line", &self.0.line)?;
        names.serialize_field("column", &self.0.column)?;
        names.serialize_field("message", &self.0.message)?;
        names.serialize_field("help", &self.0.help)?;
        names.end()
    }
}
