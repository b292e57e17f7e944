//! Findings into the groups in which they are counted.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::hidden::Hidden;
use crate::assess::findings::last_seen::is_said_ended;
use crate::assess::findings::last_seen::last_told;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::outcome::Tested;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::model::mark::MarkState;

/// The group of a finding; withdrawn ones have none.
fn outcome(finding: &Finding, hidden: &[Hidden]) -> Option<Outcome> {
    if hidden.iter().any(|it| it.no == finding.no) {
        return Some(Outcome::Hidden);
    }
    match finding.state {
        FindingState::Open
        | FindingState::Worse
        | FindingState::Better
        | FindingState::Reopened => {
            match finding.tested {
                Some(Tested::Clean | Tested::CleanThrough) => return Some(Outcome::Cleared),
                Some(Tested::CleanInPart) => return Some(Outcome::ClearedInPart),
                Some(Tested::Found) | None => {}
            }
            let silent = finding.quiet_since.is_some()
                || finding.unpictured.is_some()
                || is_said_ended(finding.state, &finding.history);
            Some(match finding.looks_since() {
                [] if !silent => Outcome::Open,
                _ => Outcome::NotSeenSince,
            })
        }
        FindingState::Repaired => Some(match finding.last_told().map(|it| it.state) {
            Some(MarkState::Gone) => Outcome::Gone,
            _ if finding.remains.is_some() => Outcome::Traces,
            _ => Outcome::Repaired,
        }),
        FindingState::RepairUnseen => Some(Outcome::RepairUnseen),
        FindingState::Gone => Some(Outcome::Gone),
        FindingState::NotFound => Some(Outcome::NotFound),
        FindingState::NotVisible => Some(Outcome::Untold),
        FindingState::Withdrawn => None,
    }
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
