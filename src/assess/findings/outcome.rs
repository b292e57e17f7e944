//! What became of a finding, as it is counted and told.

use serde::Deserialize;
use serde::Serialize;

use crate::assess::assessment::Finding;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::MarkAt;
use crate::assess::assessment::Sighting;
use crate::assess::findings::hidden::Hidden;
use crate::assess::findings::history;
use crate::model::mark::MarkState;

/// In which group a finding is counted, in the order in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// There.
    Open,
    /// Out of sight under work that hides and does not cure.
    Hidden,
    /// Repaired, and somebody wrote how much of it can still be seen.
    Traces,
    /// Repaired, and nobody wrote how much of it can still be seen.
    Repaired,
    /// A repair is recorded, but no picture since.
    RepairUnseen,
    /// Looked for and no longer there, with a repair or without one.
    Gone,
    /// Looked for only in pictures that cannot show it.
    Untold,
}

impl Outcome {
    /// All groups, in the order in which they are told.
    pub const ALL: [Self; 7] = [
        Self::Open,
        Self::Hidden,
        Self::Traces,
        Self::Repaired,
        Self::RepairUnseen,
        Self::Gone,
        Self::Untold,
    ];

    /// Its words in a count: `4 repaired, can still be seen`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "still there",
            Self::Hidden => "hidden, still there",
            Self::Traces => "repaired, can still be seen",
            Self::Repaired => "repaired, no level given",
            Self::RepairUnseen => "repaired, not seen since",
            Self::Gone => "gone",
            Self::Untold => "not to be told from the pictures",
        }
    }

    /// Whether a picture since says that it is repaired or gone, and nothing hides it.
    #[must_use]
    pub fn is_closed(self) -> bool {
        matches!(self, Self::Traces | Self::Repaired | Self::Gone)
    }
}

/// The group of a finding; withdrawn ones have none.
fn outcome(finding: &Finding, hidden: &[Hidden]) -> Option<Outcome> {
    if hidden.iter().any(|it| it.no == finding.no) {
        return Some(Outcome::Hidden);
    }
    match finding.state {
        FindingState::Open
        | FindingState::Worse
        | FindingState::Better
        | FindingState::Reopened => Some(Outcome::Open),
        FindingState::Repaired => Some(match last_told(&finding.history).map(|it| it.state) {
            Some(MarkState::Gone) => Outcome::Gone,
            _ if finding.remains.is_some() => Outcome::Traces,
            _ => Outcome::Repaired,
        }),
        FindingState::RepairUnseen => Some(Outcome::RepairUnseen),
        FindingState::Gone => Some(Outcome::Gone),
        FindingState::NotVisible => Some(Outcome::Untold),
        FindingState::Withdrawn => None,
    }
}

/// The newest sighting that tells whether the fault is there, cured or gone.
fn last_told(history: &[Sighting]) -> Option<&Sighting> {
    history.iter().rev().find(|it| history::tells(it.state))
}

/// The mark that says, as the newest word, that a fault is repaired or gone; `state` tells what a mark says.
pub(crate) fn closed_by(
    history: &[Sighting],
    state: impl Fn(MarkAt) -> Option<MarkState>,
) -> Option<MarkAt> {
    let last = last_told(history).filter(|it| !it.state.is_there())?;
    let mut marks = last.marks.iter().copied();
    marks.find(|it| state(*it) == Some(last.state))
}

/// Puts every finding into its group.
pub(crate) fn settle(findings: &mut [Finding], hidden: &[Hidden]) {
    for finding in findings {
        finding.outcome = outcome(finding, hidden);
    }
}
