//! What the user wrote beside a photo.

use serde::Deserialize;
use serde::Serialize;

use crate::model::face::LaidFace;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::region::Region;
use crate::tongue::Saying;
use crate::tongue::say;

/// The content of one sidecar.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Sidecar {
    /// Which view of the record the photo is, such as `top_raking`; empty while not yet said.
    pub view: Option<String>,
    /// The parts it shows.
    pub parts: Vec<PartId>,
    /// A note for the report.
    pub note: Option<String>,
    /// A note for the owner alone.
    pub private_note: Option<String>,
    /// A thing of known size in the picture.
    pub scale: Option<Scale>,
    /// The faces of the piece that were laid in the picture.
    // Left out when there is none: what was read of a text before faces could be laid stays as it is kept.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faces: Vec<LaidFace>,
    /// The marks, in the order written; `sound = [...]`, `absent = [...]` and `not_examined = [...]` come first, as marks.
    pub marks: Vec<Mark>,
}

impl Sidecar {
    /// Whether nobody has said what the photo shows: neither view nor part, face nor mark.
    #[must_use]
    pub fn says_nothing(&self) -> bool {
        let Self {
            view,
            parts,
            faces,
            marks,
            ..
        } = self;
        view.is_none() && parts.is_empty() && faces.is_empty() && marks.is_empty()
    }
}

/// A thing of known size lying in the plane of the fault.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// Width, mm (an ISO/IEC 7810 ID-1 card: 85.60).
    pub width_mm: f64,
    /// Height, mm (53.98); `None` for a plain length between two points.
    pub height_mm: Option<f64>,
    /// Its corners in order round, or its two ends; percent of the upright picture.
    pub corners: Vec<[f64; 2]>,
}

/// One thing said about one part in one photo.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// A term of the vocabulary: a fault, an observation, or `sound`, `absent`, `not_examined`.
    /// `None` only when `finding` names a finding that has one.
    pub tag: Option<String>,
    /// The part it is about; `None` only with `finding`.
    pub part: Option<PartId>,
    /// Tells two faults of the same kind on one part apart, such as `left ring`.
    pub which: Option<String>,
    /// Ties the mark to a finding already numbered.
    pub finding: Option<FindingNo>,
    /// What became of it.
    pub state: MarkState,
    /// 1 trace, 2 visible, 3 heavy, 4 failing.
    pub level: Option<u8>,
    /// A measure as written, such as `70 mm` or `3 cm x 2 cm`.
    pub size: Option<String>,
    /// A note for the report.
    pub note: Option<String>,
    /// Where in the picture; `None` means the whole photo, or nothing that can be pointed at (a smell).
    pub region: Option<Region>,
}

impl Mark {
    /// A mark that says one word of a part, and no more.
    #[must_use]
    pub fn plain(tag: &str, part: PartId) -> Self {
        Self {
            tag: Some(tag.to_owned()),
            part: Some(part),
            which: None,
            finding: None,
            state: MarkState::Present,
            level: None,
            size: None,
            note: None,
            region: None,
        }
    }
}

/// What a mark says of its fault on that day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MarkState {
    /// It is there.
    #[default]
    Present,
    /// It was repaired; what remains to be seen is in level, size and note.
    Repaired,
    /// Still there, less than before.
    Better,
    /// Still there, more than before.
    Worse,
    /// Looked for, and not found there.
    Gone,
    /// The place is in the picture, but it cannot be told from it.
    NotVisible,
    /// Nobody looked.
    NotExamined,
}

impl MarkState {
    /// Every state with the word used in sidecars.
    pub const ALL: [(Self, &'static str); 7] = [
        (Self::Present, "present"),
        (Self::Repaired, "repaired"),
        (Self::Better, "better"),
        (Self::Worse, "worse"),
        (Self::Gone, "gone"),
        (Self::NotVisible, "not_visible"),
        (Self::NotExamined, "not_examined"),
    ];

    /// The word used in sidecars.
    #[must_use]
    pub fn word(self) -> &'static str {
        let found = Self::ALL.iter().find(|(state, _)| *state == self);
        found.map_or("present", |(_, word)| word)
    }

    /// The state of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        let found = Self::ALL.iter().find(|(_, it)| *it == word);
        found.map(|(state, _)| *state)
    }

    /// What it says, in words.
    #[must_use]
    pub fn said(self) -> Saying {
        match self {
            Self::Present => say::mark_present(),
            Self::Repaired => say::mark_repaired(),
            Self::Better => say::mark_better(),
            Self::Worse => say::mark_worse(),
            Self::Gone => say::mark_gone(),
            Self::NotVisible => say::mark_not_visible(),
            Self::NotExamined => say::mark_not_examined(),
        }
    }

    /// Whether the fault was to be seen.
    #[must_use]
    pub fn is_there(self) -> bool {
        matches!(self, Self::Present | Self::Better | Self::Worse)
    }

    /// Whether it tells that the fault is there, or cured, or gone.
    #[must_use]
    pub fn tells(self) -> bool {
        !matches!(self, Self::NotVisible | Self::NotExamined)
    }
}
