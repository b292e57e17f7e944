//! A repair: work that was done, on findings, on parts, or on the whole piece.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::kit::money::MoneyError;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;

/// One repair as it is on record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Repair {
    /// Number within the piece, from 1.
    pub no: u32,
    /// The findings it is for, in order.
    pub findings: Vec<FindingNo>,
    /// Parts that it was done on beside those of its findings, in order. With neither, it was done on the piece as a whole.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<PartId>,
    /// Method of the trade book, such as `veneer_patch`.
    pub method: String,
    /// The day it was done.
    pub day: Day,
    /// New material that is now part of the piece, as the buyer should read it.
    pub new_material: Option<String>,
    /// What of the fault is hidden rather than cured, as the buyer should read it.
    pub hides: Option<String>,
    /// A note for the report.
    pub note: Option<String>,
    /// Private: hands-on minutes.
    pub minutes: Option<u32>,
    /// Private: cost of materials.
    pub cost: Option<Money>,
    /// Private: a note for the owner alone.
    pub private_note: Option<String>,
}

impl Repair {
    /// Whether it was done on the piece as a whole.
    #[must_use]
    pub fn is_of_whole_piece(&self) -> bool {
        self.findings.is_empty() && self.parts.is_empty()
    }
}

/// What the owner says of a repair. Of one that is on record, what is `None` or empty stays.
///
/// `A` is an amount: a text as typed, until the currency of the book is known.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RepairInput<A = Money> {
    /// The number of a repair that is put right; `None` for a new one.
    pub again: Option<u32>,
    /// The findings it is for.
    pub findings: Vec<FindingNo>,
    /// Parts that it was done on, where no finding tells that.
    #[serde(default)]
    pub parts: Vec<PartId>,
    /// Whether it was done on the piece as a whole, and so for no finding and no part.
    #[serde(default)]
    pub whole_piece: bool,
    /// Method of the trade book; a new repair has one.
    pub method: Option<String>,
    /// The day; today when not said.
    pub day: Option<Day>,
    /// New material in the piece, for the buyer.
    pub new_material: Option<String>,
    /// What is hidden rather than cured, for the buyer.
    pub hides: Option<String>,
    /// A note for the report.
    pub note: Option<String>,
    /// Private: hands-on minutes.
    pub minutes: Option<u32>,
    /// Private: cost of materials.
    pub cost: Option<A>,
    /// Whether the cost that was told is taken back.
    #[serde(skip)]
    pub no_cost: bool,
    /// Private note.
    pub private_note: Option<String>,
}

impl RepairInput<String> {
    /// The same with its amount in a currency.
    ///
    /// # Errors
    /// When the amount is none.
    pub fn priced(self, currency: Currency) -> Result<RepairInput, MoneyError> {
        Ok(RepairInput {
            again: self.again,
            findings: self.findings,
            parts: self.parts,
            whole_piece: self.whole_piece,
            method: self.method,
            day: self.day,
            new_material: self.new_material,
            hides: self.hides,
            note: self.note,
            minutes: self.minutes,
            cost: currency.amount_of(self.cost)?,
            no_cost: self.no_cost,
            private_note: self.private_note,
        })
    }
}
