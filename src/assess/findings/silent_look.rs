//! Shoots that say nothing of a fault, though they have pictures of its part or of all of its place; plain data.

use serde::Serialize;

use crate::assess::places::sight::LiesWhole;
use crate::kit::clock::Day;
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

/// The newest shoot since a finding was last spoken of that has a picture of its part, and says nothing of the finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct QuietLook {
    /// The shoot.
    pub shoot: u32,
    /// Its day.
    pub day: Day,
    /// The picture that shows most of the part.
    pub photo: u32,
    /// Whether somebody wrote that the part was not examined in that shoot.
    pub not_examined: bool,
}

impl QuietLook {
    /// `no mark of it on 20 April 2026, picture 25 is of the part`.
    #[must_use]
    pub fn text(&self) -> String {
        let day = self.day.spoken();
        match self.not_examined {
            true => format!("the part was not examined on {day}"),
            false => format!(
                "no mark of it on {day}, picture {} is of the part",
                self.photo
            ),
        }
    }
}
