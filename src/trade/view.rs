//! Views: what a photo of the record shows, and how to take it.

use serde::Deserialize;
use serde::Serialize;

use crate::model::photo::Stage;
use crate::trade::form::FormPart;

/// A view of a piece.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    /// Its id, such as `top_raking`.
    pub id: String,
    /// Its name, such as `Top, low side light`.
    pub label: String,
    /// How to take it.
    pub how: String,
    /// The light it wants.
    pub light: String,
    /// The question it answers.
    pub why: String,
    /// Whether anybody would take it again from the same place, so that two of them may be called the same view.
    #[serde(default)]
    pub fixed: bool,
    /// Kinds of parts it shows, or ids of parts where it shows one of several, such as `side-left`.
    #[serde(default)]
    pub shows: Vec<String>,
    /// It makes sense only for a piece with one of these kinds; empty means always.
    #[serde(default)]
    pub needs: Vec<String>,
}

impl View {
    /// Whether the view, taken as described, shows this part.
    #[must_use]
    pub fn shows_part(&self, part: &FormPart) -> bool {
        let mut shown = self.shows.iter();
        shown.any(|it| *it == part.kind || it == part.id.as_str())
    }
}

/// The views of a complete record at one stage.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ViewSet {
    /// The stage.
    pub stage: Stage,
    /// Whether the form's own further views belong to it.
    #[serde(default)]
    pub with_form_views: bool,
    /// Ids of views.
    pub views: Vec<String>,
    /// What else to take, in words.
    pub plus: String,
}
