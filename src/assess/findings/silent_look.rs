//! Shoots that say nothing of a fault, though they have pictures of its part or of all of its place; plain data.

use serde::Serialize;

use crate::assess::places::sight::LiesWhole;
use crate::kit::clock::Day;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;

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
    pub fn text(&self) -> Saying {
        say::silent_look(self.lies.photo(), self.lies.day())
    }
}

/// The newest shoot since a finding was last spoken of that has a picture of its part, and says nothing of the finding.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct QuietLook {
    /// The shoot.
    pub shoot: u32,
    /// Its day.
    pub day: Day,
    /// The picture that has its place largest; where none has all of it, the one that shows most of the part.
    pub photo: u32,
    /// Whether somebody wrote that the part was not examined in that shoot.
    pub not_examined: bool,
    /// The same look, where all of its place lies in that picture.
    #[serde(skip)]
    pub of_place: Option<SilentLook>,
}

/// The newest shoot after the piece had left, where none of its pictures is known to show the part of a fault that was there before.
#[derive(Clone, Debug, PartialEq)]
pub struct Unpictured {
    /// The shoot.
    pub shoot: u32,
    /// Its day.
    pub day: Day,
    /// Its pictures of which nobody has said what they show.
    pub unsaid: Vec<u32>,
}

impl Unpictured {
    /// `no picture of its part (Top) on 20 May 2026`; of the part as it is called.
    #[must_use]
    pub fn text(&self, part: &str) -> Saying {
        match self.unsaid.as_slice() {
            [] => say::no_picture_of_part(Saying::part(part), self.day),
            [one] => say::picture_unsaid(*one, self.day),
            all => say::pictures_unsaid(Saying::numbers(all), self.day),
        }
    }
}

impl QuietLook {
    /// `no mark of it on 20 April 2026, picture 25 is of the part`.
    #[must_use]
    pub fn text(&self) -> Saying {
        match &self.of_place {
            Some(it) => it.text(),
            None if self.not_examined => say::quiet_not_examined(self.day),
            None => say::quiet_look(self.day, self.photo),
        }
    }
}
