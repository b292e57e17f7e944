//! What became of a finding, as it is counted and told.

use serde::Deserialize;
use serde::Serialize;

use crate::tongue::Saying;
use crate::tongue::say;

/// In which group a finding is counted, in the order in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// There at the newest look.
    Open,
    /// There when it was last seen; at the newest look at its part somebody wrote that it was not seen, or nothing of it.
    NotSeenSince,
    /// Under work that hides and does not cure; out of sight, or what a mark since says can be seen of it.
    Hidden,
    /// Repaired, and somebody wrote how much of it can still be seen.
    Traces,
    /// Repaired, and nobody wrote how much of it can still be seen.
    Repaired,
    /// A repair is recorded, and no mark since says what became of it.
    RepairUnseen,
    /// A test of it is told, and found nothing.
    Cleared,
    /// A test of a part of it is told, such as of its top coat, and found nothing there; the rest was not tested.
    ClearedInPart,
    /// Looked for and not found, and nothing says that it was ever there: no fault of this piece.
    NotFound,
    /// Looked for and no longer there, with a repair or without one.
    Gone,
    /// Never seen: not examined, or looked for only in pictures that cannot show it.
    Untold,
}

/// What a test of a fault found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tested {
    /// The fault.
    Found,
    /// Nothing; how far the sample went nobody wrote.
    Clean,
    /// Nothing in any of it.
    CleanThrough,
    /// Nothing in the part of it that was tested, such as its top coat; the rest was not tested.
    CleanInPart,
}

impl Outcome {
    /// All groups, in the order in which they are told.
    pub const ALL: [Self; 11] = [
        Self::Open,
        Self::NotSeenSince,
        Self::Hidden,
        Self::Traces,
        Self::Repaired,
        Self::RepairUnseen,
        Self::Cleared,
        Self::ClearedInPart,
        Self::NotFound,
        Self::Gone,
        Self::Untold,
    ];

    /// Its words in a count: `4 repaired, can still be seen`.
    #[must_use]
    pub fn words(self) -> Saying {
        match self {
            Self::Open => say::group_open(),
            Self::NotSeenSince => say::group_not_seen_since(),
            Self::Hidden => say::group_hidden(),
            Self::Traces => say::group_traces(),
            Self::Repaired => say::group_repaired(),
            Self::RepairUnseen => say::group_repair_unseen(),
            Self::Cleared => say::group_cleared(),
            Self::ClearedInPart => say::group_cleared_in_part(),
            Self::NotFound => say::group_not_found(),
            Self::Gone => say::group_gone(),
            Self::Untold => say::group_untold(),
        }
    }

    /// Whether a picture since says that it is repaired or gone, and nothing hides it, or that a test or a look found nothing.
    #[must_use]
    pub fn is_closed(self) -> bool {
        matches!(
            self,
            Self::Traces | Self::Repaired | Self::Cleared | Self::NotFound | Self::Gone
        )
    }

    /// Whether it is a test that found nothing, be it of a part alone.
    #[must_use]
    pub fn is_test(self) -> bool {
        matches!(self, Self::Cleared | Self::ClearedInPart)
    }

    /// Whether a fault is or was there: what a test or a look did not find, and nobody ever saw, is none.
    #[must_use]
    pub fn is_fault(self) -> bool {
        !matches!(self, Self::Cleared | Self::ClearedInPart | Self::NotFound)
    }
}
