//! What a record lacks or should say: missing views, silences, cautions, gaps; plain data.

use serde::Serialize;

use crate::kit::text::joined;
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
    /// The pictures that had it and were taken out of the record, by number; none where it was not taken.
    pub taken_out: Vec<u32>,
}

impl MissingView {
    /// `picture 5`, `pictures 5 and 7`: those that had it and were taken out of the record; empty where it was not taken.
    #[must_use]
    pub fn pictures_out(&self) -> String {
        let numbers: Vec<String> = self.taken_out.iter().map(ToString::to_string).collect();
        match numbers.len() {
            0 => String::new(),
            1 => format!("picture {}", numbers[0]),
            _ => format!("pictures {}", joined(&numbers)),
        }
    }
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
    /// What is done before the piece is used, in few words; empty when there is nothing.
    #[serde(skip)]
    pub first: String,
    /// Whether something has to stay shut meanwhile.
    #[serde(skip)]
    pub shut: bool,
    /// Whether a test found it, and nobody wrote since that it is gone.
    #[serde(skip)]
    pub found: bool,
    /// What is said of dusting in place of the usual line; empty where that may stand.
    #[serde(skip)]
    pub dust: String,
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
