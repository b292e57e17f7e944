//! What one shoot says of a finding, and the marks that say it.

use serde::Serialize;
use serde::Serializer;

use crate::kit::clock::Day;
use crate::kit::json::both;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;

/// What one shoot says of a finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sighting {
    /// The shoot.
    pub shoot: u32,
    /// Its occasion.
    pub stage: Stage,
    /// Its day.
    pub day: Day,
    /// The strongest thing said in that shoot.
    pub state: MarkState,
    /// The highest level said.
    pub level: Option<u8>,
    /// The measure, from the mark with the highest level that has one.
    pub size: Option<String>,
    /// The notes, each once, in the order of the photos.
    pub notes: Vec<Note>,
    /// What the marks say beyond the finding's name and this one measure, each once a photo, in the order of the photos.
    pub more: Vec<WordAt>,
    /// The marks, in the order of the photos.
    #[serde(flatten, serialize_with = "marks_as_json")]
    pub marks: Vec<MarkAt>,
}

/// A note of a mark.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Note {
    /// As written.
    pub text: String,
    /// The day of its photo, where that is later than the shoot's.
    #[serde(skip)]
    pub day: Option<Day>,
}

/// A name or measure of a finding, as it is written beside one photo.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WordAt {
    /// The photo.
    pub photo: u32,
    /// As written.
    pub text: String,
}

impl Sighting {
    /// All that one shoot says of a finding in words: its notes, with their day where that is another, then the rest with the photo beside which it is written.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        self.told().iter().map(Saying::to_string).collect()
    }

    /// The same, before any language is chosen.
    #[must_use]
    pub fn told(&self) -> Vec<Saying> {
        self.told_as(Saying::Own)
    }

    /// The same as quotations.
    #[must_use]
    pub fn quoted(&self) -> Vec<Saying> {
        self.told_as(Saying::Quoted)
    }

    fn told_as(&self, own: fn(String) -> Saying) -> Vec<Saying> {
        let more = self.more.iter();
        let more = more.map(|it| say::word_at(own(it.text.clone()), it.photo));
        let notes = self.notes.iter().map(|it| it.told(own));
        notes.chain(more).collect()
    }
}

impl Note {
    fn told(&self, own: fn(String) -> Saying) -> Saying {
        match self.day {
            Some(day) => say::note_of(own(self.text.trim_end_matches('.').to_owned()), day),
            None => own(self.text.clone()),
        }
    }
}

/// A mark in its photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct MarkAt {
    /// The photo.
    pub photo: u32,
    /// Index of the mark in the photo's sidecar.
    pub mark: usize,
}

/// The marks, and the number of the photo of each.
fn marks_as_json<S: Serializer>(marks: &[MarkAt], to: S) -> Result<S::Ok, S::Error> {
    let photos: Vec<u32> = marks.iter().map(|it| it.photo).collect();
    both(to, ("photos", &photos), ("marks", marks))
}
