//! Observations that are no faults, and when the piece was made as far as they tell; plain data.

use serde::Serialize;

use crate::assess::findings::sighting::MarkAt;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::tongue::Saying;

/// An observation that is no fault, where and when it was made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Observation {
    /// The part.
    pub part: PartId,
    /// The cue of the trade book.
    pub cue: String,
    /// What the user added to tell it apart, such as the name of a wood; empty when nothing.
    pub which: String,
    /// The measure as written.
    pub size: Option<String>,
    /// The note.
    pub note: Option<String>,
    /// Where it stands.
    pub at: MarkAt,
    /// The day of that photo's shoot.
    pub day: Day,
}

/// When a piece was made, as far as clues on parts that seem to be its first ones bound it; an opinion, never a certificate.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Made {
    /// Not before about this year.
    pub from: Option<i16>,
    /// Probably not after about this year.
    pub to: Option<i16>,
    /// In words, marked as an opinion; empty when there is no clue.
    pub text: Saying,
    /// What it rests on.
    pub clues: Vec<Clue>,
}

/// A clue to the time of making.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Clue {
    /// The part.
    pub part: PartId,
    /// The part's label.
    pub part_label: String,
    /// What is seen.
    pub term: String,
    /// Earliest plausible year of that part.
    pub from: Option<i16>,
    /// Latest probable year of that part.
    pub to: Option<i16>,
    /// Where it is seen.
    pub at: MarkAt,
    /// Why it does not count for the piece, such as that the part is a later one; `None` when it counts.
    pub aside: Option<Saying>,
}
