//! What page is wanted, with what pictures, and why there is none.

use crate::kit::clock::Day;
use crate::model::sale::FallenSale;
use crate::model::sale::Sale;
use crate::report::dossier::lines::line_told::CameIn;
use crate::report::edition::edition_diff::EditionDiff;
use crate::report::edition::edition_summary::SealNamed;
use crate::tongue::Saying;
use crate::tongue::say;

/// For whom the page is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// Everything the buyer should know, nothing that is private.
    Buyer,
    /// The same, with prices, hours, private notes, places and serial numbers at the end.
    Owner,
}

/// How the pictures come with the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Packing {
    /// Inside it, as data.
    OneFile,
    /// Beside it, under the names of `Crop::file_name`; each opens full size.
    Folder,
}

/// What page is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReportRequest {
    /// For whom.
    pub reader: Reader,
    /// Whether gaps may stay; they are then listed, and the page says that it is not final.
    pub draft: bool,
    /// Number of the edition, from 1; a draft has none.
    pub edition: Option<u32>,
    /// The day printed as the day it was made.
    pub made_on: Day,
    /// How the pictures come with it.
    pub packing: Packing,
    /// Whether the edition was entered with its pictures in the other way, so that the record names that page and not this one.
    pub is_copy: bool,
    /// What changed since the edition before; `None` for a first one.
    pub since: Option<EditionDiff>,
    /// The newest seal when it was made, if it covers something of the piece.
    pub seal: Option<SealNamed>,
    /// The same as a code to scan, with its key; `None` when there is no seal to name.
    pub code: Option<SealCode>,
    /// The sale, if the piece was sold; price and buyer are in the owner's copy alone.
    pub sale: Option<Sale>,
    /// Private: sales that were told and did not come about; none in a buyer's copy.
    pub fallen: Vec<FallenSale>,
    /// What was told only after the first pictures from after the sale had come in; `None` where nothing was.
    pub late: Option<LateWords>,
}

/// What was told only after the first pictures from after the sale had come in, and so may have been written for a complaint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateWords {
    /// These pictures.
    pub came_in: CameIn,
    /// Pictures from before the sale with words that are later, by number.
    pub pictures: Vec<u32>,
    /// Repairs that were told later, by number.
    pub repairs: Vec<u32>,
    /// Whether something was told of the piece, or of parts that it lacks.
    pub of_piece: bool,
}

impl LateWords {
    /// In a sentence.
    pub(in crate::report) fn said(&self) -> Saying {
        let CameIn { stage, day, .. } = self.came_in;
        let beside = (!self.pictures.is_empty())
            .then(|| say::late_beside(self.pictures.len(), Saying::numbers(&self.pictures)));
        let repairs = (!self.repairs.is_empty())
            .then(|| say::late_repairs(self.repairs.len(), Saying::numbers(&self.repairs)));
        let piece = self.of_piece.then(say::late_piece);
        let what = [beside, repairs, piece].into_iter().flatten().collect();
        say::late_words(stage.saying(), day, Saying::Parted(what))
    }
}

/// A seal as it is printed for people and for a scanner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealCode {
    /// Fingerprint of its key, in groups of four.
    pub fingerprint: String,
    /// Its number, day, size, root and key in one line, as a letter names them.
    pub line: String,
    /// Its number and day, in words.
    pub named: Saying,
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// A final page was asked for, but statements are missing.
    #[error("the report cannot be final while required statements are missing ({0})")]
    NotFinal(usize),
    /// A template does not fit its view.
    #[error("could not fill the page")]
    Template(#[from] minijinja::Error),
}
