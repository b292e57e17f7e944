//! Sidecar text <-> marks, with located complaints; the user's settings likewise.
//!
//! In: text and the words that are allowed. Out: values, or complaints with line and column. May not know: SQL, pixels.

mod checked;
mod draw;
mod edits;
mod keys;
mod lines;
mod near;
mod quote;
mod read_mark;
mod read_region;
mod reader;
mod reading;
mod rewrite_scale;
mod rewriter;
mod schema;
mod season;
mod settings;
mod size;
mod source;
mod story;
mod syntax;
mod terms;
mod trade_words;
mod values;
mod writer;

#[cfg(test)]
mod samples;

use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::Scale;

pub use checked::checked;
pub use reader::read;
pub use rewriter::rewritten;
pub use schema::schema;
pub use settings::fresh_settings;
pub use settings::settings;
pub use story::Story;
pub use story::story;
pub use trade_words::TradeWords;
pub use writer::fresh;
pub use writer::written;

/// Things of known size that a scale may name: their words, and width and height in mm.
pub fn objects() -> impl Iterator<Item = (&'static str, [f64; 2])> {
    keys::OBJECTS.into_iter()
}

/// The words a sidecar of one piece may use.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// Views, such as `top_raking`.
    pub views: Vec<String>,
    /// Parts of the piece, inner ones included, such as `drawer-2/bottom`.
    pub parts: Vec<String>,
    /// Tags of faults, such as `white_mark`.
    pub faults: Vec<String>,
    /// Tags of observations that are no faults.
    pub observations: Vec<String>,
    /// Findings of the piece that have a number already.
    pub findings: Vec<FindingNo>,
    /// A word people type, and the tag it means; for "did you mean".
    pub synonyms: Vec<(String, String)>,
}

/// What a new sidecar suggests in its comments.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hints {
    /// Views that are likely, with their labels.
    pub views: Vec<(String, String)>,
    /// Parts of the piece.
    pub parts: Vec<String>,
}

/// One change to the text of a sidecar.
///
/// An index counts the marks as `Sidecar::marks` does, so it starts with those of the lists `sound`, `absent` and `not_examined`;
/// each change counts what the changes before it left.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Says which view the photo is.
    View(String),
    /// Says which parts it shows.
    Parts(Vec<PartId>),
    /// Sets or takes away the note for the report.
    Note(Option<String>),
    /// Sets or takes away the note for the owner alone.
    PrivateNote(Option<String>),
    /// Sets or takes away the thing of known size.
    Scale(Option<Scale>),
    /// Adds a mark after the last one.
    AddMark(Mark),
    /// Puts a mark in the place of another. One from a list that no longer fits there becomes the first `[[mark]]`.
    ReplaceMark {
        /// Which mark.
        index: usize,
        /// What it becomes.
        mark: Mark,
    },
    /// Takes a mark away.
    RemoveMark(usize),
}
