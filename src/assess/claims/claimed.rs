//! A word of the user that claims something; plain data.

use serde::Serialize;

use crate::tongue::Saying;

/// A word of the user that claims something about the piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Claimed {
    /// The claim of the trade book, such as `solid`.
    pub claim: String,
    /// The word as written.
    pub word: String,
    /// The text in which it stands.
    pub text: String,
    /// Where in that text it ends, bytes.
    pub end: usize,
    /// Where that text is printed, such as `the note beside picture 3`.
    pub place: Saying,
    /// Where the user wrote it: a file or a command.
    pub told_by: String,
    /// What on record bears it, in one sentence for the buyer; `None` when nothing does.
    pub rests_on: Option<Saying>,
    /// What is lacking, in a clause; empty when nothing is.
    pub lacks: String,
    /// What to write instead, in a clause.
    pub write: String,
    /// Why it matters, in a clause.
    pub why: String,
}
