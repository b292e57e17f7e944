//! A repair: an event that cures findings.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Money;
use crate::model::ids::FindingNo;

/// One repair as the owner told it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Repair {
    /// Number within the piece, from 1.
    pub no: u32,
    /// The findings it is for, in order.
    pub findings: Vec<FindingNo>,
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
