//! What page is wanted, with what pictures, and why there is none.

use crate::kit::clock::Day;
use crate::model::sale::FallenSale;
use crate::model::sale::Sale;
use crate::report::edition::edition_diff::EditionDiff;
use crate::report::edition::edition_summary::SealNamed;
use crate::report::edition::since_left::AfterSale;
use crate::report::edition::since_left::LateWords;
use crate::tongue::Saying;

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
    /// That it is made after the piece was sold; `None` of one that is not.
    pub after_sale: Option<AfterSale>,
    /// What was told only after it had left; `None` where nothing was.
    pub late: Option<LateWords>,
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
