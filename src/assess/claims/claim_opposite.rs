//! What on record says the opposite of a claim: a finding or a repair by its number.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_parts::counts;
use crate::assess::claims::claim_parts::is_unsettled;
use crate::assess::claims::claim_there::called;
use crate::assess::claims::claim_there::there_still;
use crate::assess::findings::finding::Finding;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::trade::claims::claim::Found;
use crate::trade::claims::claim::Opposite;

/// How many words after a claim may say what it is about.
const REACH: usize = 3;

/// `F4 beetle holes, Left side: still there; that says the opposite`; `None` when nothing on record does.
pub(crate) fn opposite(
    ground: &ClaimContext<'_>,
    text: &str,
    found: &Found<'_>,
    scope: &[PartId],
) -> Option<String> {
    let words = ground.book.claims.words_of(text);
    let own = words
        .iter()
        .filter(|it| it.start >= found.start && it.end <= found.end);
    let clause = own.clone().next_back()?.clause;
    let after = words
        .iter()
        .filter(|it| it.start >= found.end && it.clause == clause);
    let about: Vec<&str> = own
        .chain(after.take(REACH))
        .map(|it| it.text.as_str())
        .collect();
    let said = found.claim.contradicted_by.iter().find_map(|it| match it {
        Opposite::Findings => finding(ground, &about, scope).map(there_still),
        Opposite::Repairs => repair(ground, &about, scope),
    });
    said.map(|it| format!("{it}; that says the opposite"))
}

/// A finding that may still be there, of the fault that the words name; any one where they mean all faults.
fn finding<'a>(ground: &ClaimContext<'a>, about: &[&str], scope: &[PartId]) -> Option<&'a Finding> {
    let claims = &ground.book.claims;
    let named: Vec<&str> = about
        .iter()
        .copied()
        .filter(|it| claims.is_fault(it) && !claims.is_any_fault(it))
        .collect();
    let any = named.is_empty() && about.iter().any(|it| claims.is_any_fault(it));
    let mut open = ground
        .findings
        .iter()
        .filter(|it| is_unsettled(it) && counts(&it.part, scope));
    open.find(|it| any || named.iter().any(|word| called(ground, it, word)))
}

/// A repair, where the words are about work.
fn repair(ground: &ClaimContext<'_>, about: &[&str], scope: &[PartId]) -> Option<String> {
    if !about.iter().any(|it| ground.book.claims.is_work(it)) {
        return None;
    }
    let on = |it: &Repair| Worked::by(it, ground.findings);
    let reached = |it: &&Repair| scope.is_empty() || on(it).any(|part| counts(part, scope));
    let repair = ground.case.repairs.iter().find(reached)?;
    let labels = on(repair).labels(|it| ground.list.label(it)).join("; ");
    Some(format!(
        "repair {} of {} was done on: {labels}",
        repair.no,
        repair.day.spoken()
    ))
}
