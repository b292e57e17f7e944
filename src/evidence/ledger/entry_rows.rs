//! What lines say of findings, shoots and stamps, rows of the record on which reports rest, and of photos that came back.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;

/// A finding was given its number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingNumbered {
    /// The number, never given again within the piece.
    pub finding: FindingNo,
    /// Where it is.
    pub part: PartId,
    /// What it is, by the trade book's word.
    pub tag: String,
    /// Which one, in the owner's words; empty for the only one of its kind there.
    pub which: String,
    /// Whether it was there before findings had lines: the line is then younger than the number.
    pub later: bool,
}

/// A shoot was begun, or its day was put right with the camera's clock.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShootBegun {
    /// Its number within the piece, from 1.
    pub shoot: u32,
    /// Its occasion.
    pub stage: Stage,
    /// Its first day, by corrected camera time, else of import.
    pub day: Day,
    /// Name of its folder in the piece's folder.
    pub folder: String,
    /// Whether it was there before shoots had lines: the line is then younger than the shoot.
    pub later: bool,
}

/// A seal was time-stamped; the line is about the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealStamped {
    /// The seal's number.
    pub seal: u32,
    /// The time that the reply proves.
    pub at: Moment,
    /// Digest of the reply, DER.
    pub sha256: Digest,
    /// Whether it was there before stamps had lines: the line is then younger than the stamp.
    pub later: bool,
}

/// A photo that was taken out of the book was put back, under its old number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoReturned {
    /// Its number within the piece.
    pub photo: u32,
    /// Digest of the file.
    pub sha256: Digest,
}

impl FindingNumbered {
    /// Of a finding.
    #[must_use]
    pub fn of(it: &NumberedFinding, later: bool) -> Self {
        Self {
            finding: it.no,
            part: it.key.part.clone(),
            tag: it.key.tag.clone(),
            which: it.key.which.clone(),
            later,
        }
    }
}

impl ShootBegun {
    /// Of a shoot.
    #[must_use]
    pub fn of(it: &Shoot, later: bool) -> Self {
        Self {
            shoot: it.no,
            stage: it.stage,
            day: it.day,
            folder: it.folder.clone(),
            later,
        }
    }
}

impl SealStamped {
    /// Of the reply to a seal's request, and the time that it proves.
    #[must_use]
    pub fn of(seal: u32, reply: &[u8], at: Moment, later: bool) -> Self {
        Self {
            seal,
            at,
            sha256: Digest::of(reply),
            later,
        }
    }
}
