//! What a line says: the kinds of entries, as plain data, and where the files they name lie in a dossier.

use serde::Deserialize;
use serde::Serialize;
use serde_json::Value;
use serde_json::json;

use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::CameraTime;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::ids::FindingNo;
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

/// A piece was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakenIn {
    /// Its short description.
    pub title: String,
    /// Its form, by the trade book's word.
    pub form: String,
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
    /// `paper` or `message`.
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
    /// The other side confirmed a seal.
    Countersigned(Countersigned),
}

/// The words of the known kinds.
const KINDS: [&str; 11] = [
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
    "countersigned",
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
mod tests {
    use serde_json::Value;
    use serde_json::json;

    use super::Entry;
    use super::EntryKind;
    use super::KINDS;
    use crate::evidence::ledger::line::LedgerLine;

    fn line(what: &str, open: Value) -> LedgerLine {
        LedgerLine {
            v: 1,
            no: 4,
            in_piece: None,
            at: "2026-05-03T10:02:11Z".parse().unwrap(),
            what: what.to_owned(),
            piece: "26-001".to_owned(),
            open,
            private: None,
        }
    }

    fn photo() -> Value {
        json!({"photo": 3, "shoot": 1, "stage": "purchase", "name": "50%.jpg", "sha256": "ab".repeat(32), "bytes": 9,
            "camera_time": "2026-05-03T10:02:11+02:00", "clock_off": -3600, "imported": "2026-05-03T20:00:00Z"})
    }

    #[test]
    fn every_kind_reads_back_to_what_was_written() {
        let sum = "cd".repeat(32);
        let opens = [
            json!({"book": "Brandt & Ohm", "built_later": true}),
            json!({"title": "walnut chest", "form": "chest_of_drawers"}),
            photo(),
            json!({"photo": 3, "sha256": sum}),
            json!({"no": 1, "findings": ["F3", "F4"], "method": "glue_block", "day": "2026-05-20", "new_material": "beech block",
                "hides": null, "note": null}),
            json!({"reader": "buyer", "no": 2, "sha256": sum, "made": "2026-06-21"}),
            json!({"photos": [3, 4], "clock_off": 90000}),
            json!({"photo": 3, "sha256": sum, "why": "a person in it"}),
            json!({"name": "listing.html", "sha256": sum}),
            json!({"day": "2026-06-30"}),
            json!({"by": "carrier", "how": "paper", "sha256": sum, "seal": 3, "size": 41, "root": sum}),
        ];
        for (what, open) in KINDS.into_iter().zip(opens) {
            let read = Entry::read(&line(what, open.clone())).unwrap();
            assert!(matches!(read, Entry::Known(_)), "{what}");
            assert_eq!((read.kind().as_str(), read.public()), (what, open));
        }
    }

    #[test]
    fn an_unknown_kind_is_kept_as_it_is() {
        let open = json!({"degrees": [1, 2.5], "x": null});
        let read = Entry::read(&line("moisture", open.clone())).unwrap();
        assert!(matches!(read, Entry::Other { .. }));
        assert_eq!(
            (read.kind(), read.public()),
            ("moisture".to_owned(), open.clone())
        );
    }

    #[test]
    fn a_known_kind_says_just_what_its_kind_says() {
        let change = |key: &str, value: Value| {
            let mut open = photo();
            open[key] = value;
            Entry::read(&line("photo", open))
        };
        assert!(change("photo", json!(4)).is_ok());
        for (key, value) in [
            ("colour", json!("brown")),
            ("photo", json!("3")),
            ("bytes", json!(9.0)),
            ("sha256", json!("AB".repeat(32))),
            ("imported", json!("2026-05-03T20:00:00.5Z")),
            ("stage", json!("elsewhere")),
        ] {
            assert!(change(key, value).is_err(), "{key}");
        }
        let wrong = Entry::read(&line("sale", json!({}))).unwrap_err();
        assert!(wrong.to_string().contains("`sale`"), "{wrong}");
    }

    #[test]
    fn places_of_photos() {
        let Ok(Entry::Known(EntryKind::Photo(it))) = Entry::read(&line("photo", photo())) else {
            panic!()
        };
        assert_eq!(it.place(), "1-purchase/50%.jpg");
        assert_eq!(it.numbered_place(), "1-purchase/0003 50_.jpg");
    }
}
