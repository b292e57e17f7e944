//! A shoot that says nothing of a fault, though all of its place lies in one of its pictures; plain data.

use serde::Serialize;

use crate::assess::places::sight::LiesWhole;
use crate::model::photo::Stage;

/// A shoot after the first with a fault that says nothing of it, though all of its place lies in one of its pictures.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SilentLook {
    /// The shoot.
    pub shoot: u32,
    /// Its occasion.
    pub stage: Stage,
    /// The picture that has the place largest.
    #[serde(flatten)]
    pub lies: LiesWhole,
}

impl SilentLook {
    /// `no mark of it in picture 22 of 20 May 2026, in which all of its place lies`.
    #[must_use]
    pub fn text(&self) -> String {
        format!(
            "no mark of it in picture {} of {}, in which all of its place lies",
            self.lies.photo(),
            self.lies.day().spoken()
        )
    }
}
