//! Repairs that the rest of the record does not bear.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::history;
use crate::assess::gaps::lacks::Gap;
use crate::model::repair::Repair;

/// Of each finding: a repair that no mark since speaks of, and one that is older than the fault.
pub(super) fn gaps(ground: &ClaimContext<'_>) -> Vec<Gap> {
    let repairs = &ground.case.repairs;
    let findings = ground.findings.iter();
    let unseen = findings.clone().filter_map(|it| repair_unseen(it, repairs));
    let early = findings.filter_map(|it| repaired_before_seen(it, repairs));
    unseen.chain(early).collect()
}

/// A repair that is older than the first look at its fault, where that look shows the fault there: the day is wrong, or the fault is
/// another.
fn repaired_before_seen(finding: &Finding, repairs: &[Repair]) -> Option<Gap> {
    let first = history::first_telling(&finding.history).filter(|it| it.state.is_there())?;
    let its = repairs
        .iter()
        .filter(|it| it.findings.contains(&finding.no));
    let early = its.min_by_key(|it| (it.day, it.no))?;
    if early.day >= first.day {
        return None;
    }
    let (no, term, part) = (finding.no, &finding.term, &finding.part_label);
    Some(Gap::new(
        "repair_before_its_fault",
        format!(
            "{no} ({term}, {part}): repair {} for it is dated {}, and it is first marked on {}",
            early.no,
            early.day.spoken(),
            first.day.spoken()
        ),
        format!(
            "mark it in a picture from before the repair; if the day is wrong, `asfound repair ... --again {} --day DAY`; \
             if what is seen since is another fault, give its mark a `which`",
            early.no
        ),
    ))
}

fn repair_unseen(finding: &Finding, repairs: &[Repair]) -> Option<Gap> {
    if finding.state != FindingState::RepairUnseen {
        return None;
    }
    let (no, term, part) = (finding.no, &finding.term, &finding.part_label);
    let its = repairs.iter().filter(|it| finding.repairs.contains(&it.no));
    let last = its.max_by_key(|it| (it.day, it.no));
    // Repairs are often told in the evening, with the day left out: then the picture seems older than the work it shows.
    if let (Some(repair), Some(seen)) = (last, finding.seen_cured()) {
        return Some(Gap::new(
            "repair_without_picture",
            format!(
                "{no} ({term}, {part}): repair {} is dated {}, after the picture of {} that shows it done",
                repair.no,
                repair.day.spoken(),
                seen.day.spoken()
            ),
            format!(
                "if it was done before that picture, `asfound repair ... --again {} --day {}` puts its day right; else photograph it again",
                repair.no, seen.day
            ),
        ));
    }
    Some(Gap::new(
        "repair_without_picture",
        format!("{no} ({term}, {part}) was repaired, and no mark since says what became of it"),
        format!(
            "beside a picture that shows it since, or a new one, write a mark with `finding = \"{no}\"` and `state = \"repaired\"`"
        ),
    ))
}
