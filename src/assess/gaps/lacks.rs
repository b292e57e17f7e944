//! What a record lacks or should say: missing views, silences, cautions, gaps; plain data.

use serde::Serialize;

use crate::model::photo::Stage;

/// A view that a complete record would have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MissingView {
    /// The view.
    pub view: String,
    /// Its label.
    pub label: String,
    /// The stage whose record lacks it.
    pub stage: Stage,
}

/// A caution for the buyer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// The hazard, such as `tip_over`.
    pub hazard: String,
    /// A heading.
    pub title: String,
    /// The lines to print.
    pub lines: Vec<String>,
}

/// Something a final report needs and the record lacks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Gap {
    /// A stable code, such as `part_without_statement`.
    pub code: String,
    /// What is missing.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

impl Gap {
    pub(crate) fn new(code: &str, message: String, remedy: String) -> Self {
        Self {
            code: code.to_owned(),
            message,
            remedy,
        }
    }
}
