//! What comes of an import, as plain data.

use serde::Serialize;

use crate::model::photo::Shoot;
use crate::work::photos::known_photos::KnownPhoto;
use crate::work::photos::known_photos::OutPhoto;
use crate::work::photos::lay_faces::LaidOver;

/// What came of an import.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Imported {
    /// The shoot the photos went to; `None` when none was new.
    pub shoot: Option<Shoot>,
    /// How many photos were taken in.
    pub taken: usize,
    /// How many were in the book already.
    pub already: usize,
    /// Of how many of those taken in the camera's clock was put right.
    pub clock_put_right: usize,
    /// Where those that were in already are; and pictures of other pieces that have the same bytes as one taken in now.
    pub known: Vec<KnownPhoto>,
    /// Those that were taken out of the book, and stay out.
    pub removed: Vec<OutPhoto>,
    /// What was kept out, and why.
    pub refused: Vec<Refusal>,
    /// Files that only go with photos, and were left where they are: short films, edits, lists of an export.
    pub beside: Vec<String>,
    /// Of those taken in the names of which the fresh sidecar says, as comments, what another program wrote into the photo.
    pub written: Vec<String>,
    /// What should be looked at.
    pub warnings: Vec<String>,
    /// The photos taken in, by number.
    pub photos: Vec<TakenPhoto>,
    /// Faces laid by hand that were found in other pictures and are in no sidecar yet; `None` where none was looked for.
    pub laid: Option<LaidOver>,
}

/// A file that was kept out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refusal {
    /// The file, as the user knows it.
    pub file: String,
    /// Why.
    pub reason: String,
}

/// A photo taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TakenPhoto {
    /// Its number within the piece.
    pub no: u32,
    /// Its name in the book.
    pub name: String,
    /// The file it came from.
    pub file: String,
}
