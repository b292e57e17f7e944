//! One change that is wished, and one that does not fit.

use serde::Deserialize;
use serde::Serialize;

use crate::model::face::LaidFace;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::Scale;

/// One change, with what it takes the place of. Repeating one that is made already changes nothing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields, tag = "do")]
#[expect(
    missing_docs,
    reason = "`was` and `to` are what stood there and what shall"
)]
pub enum Edit {
    /// Which view the photo is.
    View {
        was: Option<String>,
        to: Option<String>,
    },
    /// Which parts it shows.
    Parts { was: Vec<PartId>, to: Vec<PartId> },
    /// The note for the report.
    Note {
        was: Option<String>,
        to: Option<String>,
    },
    /// The note for the owner alone.
    PrivateNote {
        was: Option<String>,
        to: Option<String>,
    },
    /// The thing of known size.
    Scale {
        was: Option<Scale>,
        to: Option<Scale>,
    },
    /// Where a face of the piece lies; both name the same face.
    Face {
        was: Option<LaidFace>,
        to: Option<LaidFace>,
    },
    /// A further mark.
    Add { mark: Mark },
    /// A mark in the place of another.
    Replace { was: Mark, mark: Mark },
    /// A mark that goes.
    Remove { was: Mark },
}

/// One change that does not fit.
#[derive(Clone, Debug, Serialize)]
pub struct Clash {
    /// The change.
    pub change: Edit,
    /// What stands there now; `null` for nothing.
    pub theirs: serde_json::Value,
    /// In words.
    pub message: String,
}
