//! What became of a finding, in words.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::silent_look::SilentLook;
use crate::model::mark::MarkState;
use crate::report::page::words::measured;
use crate::report::page::words::repairs;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;

/// What became of a finding, with the day on which that was seen; what a picture says of a repair, `PageContext::state` tells with
/// its number. `around`: of a fault that is gone without a repair of its own, the work on its part in between.
pub(in crate::report) fn state(finding: &Finding, around: &[u32]) -> Saying {
    let look = finding.last_seen();
    let seen = look.map(|it| it.day);
    let since = finding.not_told_since();
    let said = match (finding.outcome, seen, since) {
        (Some(Outcome::Open), Some(seen), _) => match relapse(finding) {
            Some(relapse) => {
                let seen = finding.again_on().unwrap_or_else(|| say::day(seen));
                say::is_there_again(relapse, seen)
            }
            None if finding.rests_on_one_look() => finding.standing(),
            None => say::last_seen(became(finding), seen),
        },
        (Some(Outcome::NotSeenSince), Some(seen), Some(since)) => {
            let first = finding.there_again().map(|it| it.day);
            let first = first.filter(|it| *it != seen).map(say::there_again_on);
            let relapse = relapse(finding);
            let first = first.filter(|_| relapse.is_some());
            let stage = look.map_or_else(Saying::nothing, |it| it.stage.saying());
            let last = match finding.still_after {
                Some(no) => say::last_seen_after_repair(seen, stage, no),
                None => say::last_seen_there(seen, stage),
            };
            let all = relapse.into_iter().chain(first).chain([last, since]);
            Saying::Parted(all.collect())
        }
        (Some(Outcome::Untold), _, Some(since)) => say::not_settled(since),
        (Some(it), Some(seen), _) if !it.is_fault() => say::found_on(became(finding), seen),
        _ => match (is_without_repair(finding), around) {
            (false, _) => became(finding),
            (true, []) => Saying::Parted(vec![became(finding), say::no_repair()]),
            (true, work) => Saying::Parted(vec![became(finding), say::work_between(repairs(work))]),
        },
    };
    let closed = finding.outcome.is_some_and(Outcome::is_closed);
    let silent = finding.silent_since().filter(|_| !closed);
    let all = std::iter::once(said).chain(silent.map(SilentLook::text));
    Saying::Parted(all.collect())
}

/// What became of a finding, without days, and with that nothing on record made it gone: two editions are compared by it.
pub(in crate::report) fn stated(finding: &Finding) -> Saying {
    let none = is_without_repair(finding).then(say::no_repair);
    let all = std::iter::once(became(finding)).chain(none);
    Saying::Parted(all.chain(treated(finding)).collect())
}

/// Whether nothing on record made a fault gone, or repaired it.
fn is_without_repair(finding: &Finding) -> bool {
    match finding.outcome {
        Some(Outcome::Gone) => {
            finding.state != FindingState::Repaired && finding.clean_looks.is_none()
        }
        Some(Outcome::Repaired | Outcome::Traces) => finding.repairs.is_empty(),
        _ => false,
    }
}

/// What became of a finding, in itself.
fn became(finding: &Finding) -> Saying {
    if let (Some(no), Some(Outcome::Open)) = (finding.still_after, finding.outcome) {
        return say::still_after_repair(no);
    }
    match (finding.outcome, finding.state) {
        (Some(Outcome::Open), FindingState::Worse) => say::more_than_at_first(),
        (Some(Outcome::Open), FindingState::Better) => say::less_than_at_first(),
        (Some(Outcome::Open), FindingState::Reopened) => match finding.cured_once() {
            Some(it) if it.state == MarkState::Gone => say::was_gone_is_again(),
            _ => say::was_repaired_is_again(),
        },
        (Some(Outcome::RepairUnseen), _) if finding.seen_cured().is_some() => {
            say::seen_repaired_untold()
        }
        (Some(Outcome::RepairUnseen), _) => say::repair_untold(),
        (Some(Outcome::Gone), FindingState::Repaired) => say::repaired_and_gone(),
        (Some(Outcome::Gone), _) => say::looked_no_longer(),
        (Some(Outcome::Untold), _) => say::not_settled_cannot_show(),
        (Some(Outcome::Repaired), _) if finding.repairs.is_empty() => say::repaired(),
        (Some(Outcome::Traces), _) if finding.repairs.is_empty() => say::repaired_traces(),
        (Some(outcome), _) => outcome.words(),
        (None, _) => say::withdrawn(),
    }
}

/// `was repaired (seen 20 April 2026; repair 2)`: of a fault that is there again, when it was seen repaired or gone, and what was done.
pub(in crate::report) fn relapse(finding: &Finding) -> Option<Saying> {
    let reopened = finding.state == FindingState::Reopened && finding.still_after.is_none();
    let cured = finding.cured_once().filter(|_| reopened)?;
    let work = (!finding.repairs.is_empty()).then(|| repairs(&finding.repairs));
    let told = cured.size.is_some() || cured.level.is_some();
    let left = || measured(cured.size.as_deref().map(Saying::size), cured.level);
    let left = told.then(left);
    Some(match (cured.state, work, left) {
        (MarkState::Gone, Some(work), _) => say::was_gone(cured.day, work),
        (MarkState::Gone, None, _) => say::was_gone_only(cured.day),
        (_, Some(work), Some(left)) => say::was_repaired_left(cured.day, work, left),
        (_, None, Some(left)) => say::was_repaired_only_left(cured.day, left),
        (_, Some(work), None) => say::was_repaired(cured.day, work),
        (_, None, None) => say::was_repaired_only(cured.day),
    })
}

/// `treated on 2 May 2026 (repair 3)`, for each repair that deals with a danger and leaves the fault as it was.
pub(in crate::report) fn treated(finding: &Finding) -> Vec<Saying> {
    finding.dealt_with(Arg::from)
}
