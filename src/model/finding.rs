//! A finding: one condition of one part, known by its number for good.

use serde::Deserialize;
use serde::Serialize;

use crate::model::ids::FindingNo;
use crate::model::ids::PartId;

/// What makes a finding the same finding: part, tag, and the user's `which`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct FindingKey {
    /// The part.
    pub part: PartId,
    /// The fault.
    pub tag: String,
    /// Tells two of the same kind on one part apart; empty for the only one.
    pub which: String,
}

/// A number that was given out, and for what.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct NumberedFinding {
    /// The number.
    pub no: FindingNo,
    /// What it stands for.
    pub key: FindingKey,
}
