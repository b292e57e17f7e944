//! What a line says: the kinds of entries, as plain data, and where the files they name lie in a dossier.

use serde::Deserialize;
use serde::Serialize;
use serde_json::Value;
use serde_json::json;

use crate::evidence::ledger::entry_rows::FindingNumbered;
use crate::evidence::ledger::entry_rows::KeyChanged;
use crate::evidence::ledger::entry_rows::PhotoMoved;
use crate::evidence::ledger::entry_rows::PhotoReturned;
use crate::evidence::ledger::entry_rows::PieceReinstated;
use crate::evidence::ledger::entry_rows::PieceWithdrawn;
use crate::evidence::ledger::entry_rows::SealStamped;
use crate::evidence::ledger::entry_rows::ShootBegun;
use crate::evidence::ledger::entry_rows::TakenIn;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::CameraTime;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::photo::Stage;
use crate::model::repair::Repair;

/// The book was begun: always its first line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Begun {
    /// Its name, as the owner gave it.
    pub book: String,
    /// Whether the book held entries before it had a ledger: what comes next was then entered earlier than its line.
    pub built_later: bool,
}

/// An original was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoTaken {
    /// Its number within the piece, from 1.
    pub photo: u32,
    /// Number of its shoot within the piece, from 1.
    pub shoot: u32,
    /// Occasion of the shoot.
    pub stage: Stage,
    /// Name of the file in the shoot's folder.
    pub name: String,
    /// Digest of the file.
    pub sha256: Digest,
    /// Length of the file.
    pub bytes: u64,
    /// What the camera claims, uncorrected; `None` when it claims nothing.
    pub camera_time: Option<CameraTime>,
    /// What the owner said must be added to the camera's clock, seconds.
    pub clock_off: ClockOff,
    /// When the file was taken into the book, by the machine's clock.
    pub imported: Moment,
}

/// What the owner wrote beside a photo was read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SidecarRead {
    /// The photo's number within the piece.
    pub photo: u32,
    /// Digest of the text.
    pub sha256: Digest,
}

/// A repair was recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RepairRecorded {
    /// Its number within the piece, from 1.
    pub no: u32,
    /// The findings it is for.
    pub findings: Vec<FindingNo>,
    /// Parts that it was done on besides; with neither, the piece as a whole.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<PartId>,
    /// Its method, by the trade book's word.
    pub method: String,
    /// The day it was done, as the owner told it.
    pub day: Day,
    /// New material that is now part of the piece; `None` when none was told.
    pub new_material: Option<String>,
    /// What it hides rather than cures; `None` when nothing was told.
    pub hides: Option<String>,
    /// A note for the reader.
    pub note: Option<String>,
}

impl From<&Repair> for RepairRecorded {
    /// All of it that is not private.
    fn from(it: &Repair) -> Self {
        Self {
            no: it.no,
            findings: it.findings.clone(),
            parts: it.parts.clone(),
            method: it.method.clone(),
            day: it.day,
            new_material: it.new_material.clone(),
            hides: it.hides.clone(),
            note: it.note.clone(),
        }
    }
}

/// An edition of the report was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EditionMade {
    /// For whom: `buyer` or `owner`.
    pub reader: String,
    /// Its number, from 1, counted for each reader.
    pub no: u32,
    /// Digest of the page.
    pub sha256: Digest,
    /// The day printed on it.
    pub made: Day,
}

/// The clock correction of photos was changed after they were taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClockCorrected {
    /// Their numbers within the piece.
    pub photos: Vec<u32>,
    /// What must be added to the camera's clock, seconds.
    pub clock_off: ClockOff,
}

/// A photo was taken out of the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoRemoved {
    /// Its number within the piece.
    pub photo: u32,
    /// Digest of the file.
    pub sha256: Digest,
    /// Why, in the owner's words.
    pub why: String,
}

/// A paper or a message was put by: a listing as it stood, a thread with the buyer, a delivery note.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kept {
    /// Name of the file.
    pub name: String,
    /// Digest of the file.
    pub sha256: Digest,
}

/// The other side confirmed a seal, on a paper or in a message that was put by; who it was is private.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Countersigned {
    /// As what: `buyer`, `carrier` and the like.
    pub by: String,
    /// `paper`, `message`, or `key` of a message that names the key and no seal; a message from before that was told apart may be either.
    pub how: String,
    /// Digest of the kept file that shows it.
    pub sha256: Digest,
    /// Number of the seal that it confirms.
    pub seal: u32,
    /// How many lines that seal covers.
    pub size: u64,
    /// Root of their tree.
    pub root: Digest,
}

/// A piece was sold; price and buyer are private.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaleRecorded {
    /// The day.
    pub day: Day,
}

/// A sale that was told did not come about; why is private.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaleWithdrawn {
    /// The day that was told of it.
    pub day: Day,
    /// The day on which it was taken back, as the owner told it; `None` in a line from before this was told to anybody.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<Day>,
}

/// What a line says.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// Of a kind that this program knows.
    Known(EntryKind),
    /// Of another kind, kept as it is.
    Other {
        /// The kind.
        kind: String,
        /// What it says.
        public: Value,
    },
}

/// The kinds that this program knows; a line's `what` and `open`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "what", content = "open", rename_all = "lowercase")]
pub enum EntryKind {
    /// The book was begun.
    Begun(Begun),
    /// A piece was taken in.
    Piece(TakenIn),
    /// An original was taken in.
    Photo(PhotoTaken),
    /// A sidecar was read.
    Sidecar(SidecarRead),
    /// A repair was recorded.
    Repair(RepairRecorded),
    /// A report was made.
    Edition(EditionMade),
    /// A clock was corrected.
    Clock(ClockCorrected),
    /// A photo was taken out.
    Removed(PhotoRemoved),
    /// A paper or message was put by.
    Kept(Kept),
    /// The piece was sold.
    Sale(SaleRecorded),
    /// A sale did not come about.
    Unsold(SaleWithdrawn),
    /// A finding was given its number.
    Finding(FindingNumbered),
    /// A shoot was begun, or its occasion or day put right.
    Shoot(ShootBegun),
    /// A seal was time-stamped.
    Stamp(SealStamped),
    /// A photo that was taken out was put back.
    Returned(PhotoReturned),
    /// The other side confirmed a seal.
    Countersigned(Countersigned),
    /// The piece was withdrawn.
    Withdrawn(PieceWithdrawn),
    /// A withdrawn piece was brought back.
    Reinstated(PieceReinstated),
    /// The book got another key.
    Key(KeyChanged),
    /// A photo was put into another shoot.
    Moved(PhotoMoved),
}

/// The words of the known kinds.
const KINDS: [&str; 20] = [
    "begun",
    "piece",
    "photo",
    "sidecar",
    "repair",
    "edition",
    "clock",
    "removed",
    "kept",
    "sale",
    "unsold",
    "finding",
    "shoot",
    "stamp",
    "returned",
    "countersigned",
    "withdrawn",
    "reinstated",
    "key",
    "moved",
];

/// A line of a known kind says something else than its kind allows.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("it does not say what a line of the kind `{what}` says: {why}")]
pub struct EntryError {
    what: String,
    why: String,
}

impl Entry {
    /// Reads what a line says.
    ///
    /// # Errors
    /// When its kind is known and its content is not of that kind.
    pub fn read(line: &LedgerLine) -> Result<Self, EntryError> {
        if !KINDS.contains(&line.what.as_str()) {
            return Ok(Self::Other {
                kind: line.what.clone(),
                public: line.open.clone(),
            });
        }
        let wrong = |why: String| EntryError {
            what: line.what.clone(),
            why,
        };
        let whole = json!({"what": line.what, "open": line.open});
        let known: EntryKind =
            serde_json::from_value(whole).map_err(|why| wrong(why.to_string()))?;
        let it = Self::Known(known);
        // `2026-05-03T10:02:11.5Z` and `2026-05-03T10:02:11Z` are one moment, but not one line.
        (it.public() == line.open)
            .then_some(it)
            .ok_or_else(|| wrong("a value in it is not in its own spelling".to_owned()))
    }

    /// The word of its kind: a line's `what`.
    #[must_use]
    pub fn kind(&self) -> String {
        match self.whole() {
            Value::Object(mut it) => match it.remove("what") {
                Some(Value::String(it)) => it,
                _ => String::new(),
            },
            _ => String::new(),
        }
    }

    /// What anybody may see of it: a line's `open`.
    #[must_use]
    pub fn public(&self) -> Value {
        match self.whole() {
            Value::Object(mut it) => it.remove("open").unwrap_or_default(),
            _ => Value::Null,
        }
    }

    fn whole(&self) -> Value {
        match self {
            Self::Known(it) => serde_json::to_value(it).expect("an entry is plain JSON"),
            Self::Other { kind, public } => json!({"what": kind, "open": public}),
        }
    }
}

impl From<EntryKind> for Entry {
    fn from(it: EntryKind) -> Self {
        Self::Known(it)
    }
}

impl PhotoTaken {
    /// Where it lies in a dossier: below `data/originals/`, and its sidecar with `.toml` below `data/sidecars/`.
    #[must_use]
    pub fn place(&self) -> String {
        format!("{}-{}/{}", self.shoot, self.stage, self.name)
    }

    /// The same for a name that a dossier cannot carry: with a `%`, or the same as another but for capitals.
    #[must_use]
    pub fn numbered_place(&self) -> String {
        let name = self.name.replace('%', "_");
        format!("{}-{}/{:04} {name}", self.shoot, self.stage, self.photo)
    }
}

impl EditionMade {
    /// Where it lies in a dossier, below `data/reports/`.
    #[must_use]
    pub fn place(&self) -> String {
        format!("{}-{:02}.html", self.reader, self.no)
    }
}

#[cfg(test)]
#[path = "entry_tests.rs"]
mod tests;
