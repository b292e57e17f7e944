//! Sidecar text <-> marks, with located complaints; the user's settings likewise.
//!
//! In: text and the words that are allowed. Out: values, or complaints with line and column. May not know: SQL, pixels.

mod keys;
mod read;
mod schema;
mod settings;
mod size;
mod write;

#[cfg(test)]
mod samples;

use crate::model::face::LaidFace;
use crate::model::finding::FindingKey;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::Scale;

pub use crate::mark::read::checked::checked;
pub use crate::mark::read::read_face::FaceDoubt;
pub use crate::mark::read::reader::read;
pub use crate::mark::read::reader::read_with;
pub use crate::mark::settings::reader::fresh_settings;
pub use crate::mark::settings::reader::settings;
pub use crate::mark::settings::story::Story;
pub use crate::mark::settings::story::story;
pub use crate::mark::settings::trade_words::TradeWords;
pub use crate::mark::write::rewriter::rewritten;
pub use crate::mark::write::writer::fresh;
pub use crate::mark::write::writer::own_comments;
pub use crate::mark::write::writer::written;
pub use schema::schema;

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
    /// Sides and flat parts of the piece that can be laid in a picture, such as `top` or `drawer-2/front`.
    pub faces: Vec<String>,
    /// Tags of faults, such as `white_mark`.
    pub faults: Vec<String>,
    /// Of these, the ones that say that the part on which they are marked is not there.
    pub absences: Vec<String>,
    /// Of these, the ones that have not all four levels: the levels they have, each with what makes it.
    pub few_levels: Vec<(String, Vec<(u8, String)>)>,
    /// Tags of observations that are no faults.
    pub observations: Vec<String>,
    /// Findings of the piece that have a number already.
    pub findings: Vec<NumberedFinding>,
    /// Parts that such a piece may have and this one is not said to have, each with its kind.
    pub optional: Vec<(String, String)>,
    /// A word people type, and the tag it means; for "did you mean".
    pub synonyms: Vec<(String, String)>,
}

impl Words {
    /// What makes a fault that is marked the same fault; `None` of what is no fault of the piece.
    #[must_use]
    pub fn key_of(&self, mark: &Mark) -> Option<FindingKey> {
        if let Some(no) = mark.finding {
            let known = self.findings.iter().find(|it| it.no == no);
            return known.map(|it| it.key.clone());
        }
        Some(FindingKey {
            part: mark.part.clone()?,
            tag: mark.tag.clone().filter(|it| self.faults.contains(it))?,
            which: mark.which.clone().unwrap_or_default(),
        })
    }

    /// The fault that a mark is about, by its tag or by the finding that it names.
    #[must_use]
    pub(crate) fn fault_of<'a>(
        &'a self,
        tag: Option<&'a str>,
        finding: Option<FindingNo>,
    ) -> Option<&'a str> {
        let known = self.findings.iter().find(|it| Some(it.no) == finding);
        tag.or_else(|| known.map(|it| it.key.tag.as_str()))
    }

    /// The number of a finding that is known.
    #[must_use]
    pub fn number_of(&self, key: &FindingKey) -> Option<FindingNo> {
        let known = self.findings.iter().find(|it| it.key == *key);
        known.map(|it| it.no)
    }
}

/// What a new sidecar suggests in its comments.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hints {
    /// Views that are likely, with their labels.
    pub views: Vec<(String, String)>,
    /// Parts of the piece.
    pub parts: Vec<String>,
    /// What another program wrote into the photo, a line each: to be confirmed.
    pub written: Vec<String>,
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
    /// Lays a face: in the place of the one of that name, else after the last one.
    LayFace(LaidFace),
    /// Takes a laid face away.
    RemoveFace(PartId),
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
