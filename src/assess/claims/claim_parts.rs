//! Of what is said of the parts in the scope of a claim.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::findings::finding::Finding;
use crate::assess::part_list;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::Statement;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::trade::entry::kind::PartKind;

/// The observation that somebody tried it.
const TRIED: &str = "tried_works";
/// How many labels a sentence names.
pub(in crate::assess::claims) const NAMED_MOST: usize = 4;

/// Parts in the scope that are there.
pub(in crate::assess::claims) fn in_scope<'a>(
    ground: &ClaimContext<'a>,
    scope: &[PartId],
) -> Vec<&'a PartReport> {
    let there = |it: &&PartReport| !matches!(it.state, PartState::Absent { .. });
    let meant = |it: &&PartReport| scope.is_empty() || scope.contains(&it.part);
    ground.parts.iter().filter(there).filter(meant).collect()
}

/// The kind of a part; `None` for a part that is not on the form's list.
pub(in crate::assess::claims) fn kind<'a>(
    ground: &ClaimContext<'a>,
    part: &PartId,
) -> Option<&'a PartKind> {
    ground.book.kind(&ground.list.get(part)?.kind)
}

/// Whether it moves, or holds what moves.
pub(in crate::assess::claims) fn moves(ground: &ClaimContext<'_>, part: &PartId) -> bool {
    kind(ground, part).is_some_and(|it| it.moves)
}

/// Labels in a sentence, the first few of them.
pub(in crate::assess::claims) fn labels(parts: &[&PartReport]) -> String {
    let named: Vec<&str> = parts
        .iter()
        .take(NAMED_MOST)
        .map(|it| it.label.as_str())
        .collect();
    match parts.len().checked_sub(NAMED_MOST) {
        None | Some(0) => named.join("; "),
        Some(more) => format!("{}; and {more} more", named.join("; ")),
    }
}

/// Whether something said of one part counts for the scope.
pub(in crate::assess::claims) fn counts(part: &PartId, scope: &[PartId]) -> bool {
    let related = |it: &PartId| part_list::belongs(part, it) || part_list::belongs(it, part);
    scope.is_empty() || scope.iter().any(related)
}

/// When somebody tried the part itself, and in which picture: the newest word on it, and no older than any fault on it. What is said
/// of a whole says nothing of a lock in it, and what was found sound was not tried.
pub(in crate::assess::claims) fn tried(
    ground: &ClaimContext<'_>,
    part: &PartId,
) -> Option<(u32, Day)> {
    let since = ground.statements.last_fault_within(part);
    let trials = ground.time.marks().filter(|it| {
        let tag = it.mark.tag.as_deref();
        it.mark.part.as_ref() == Some(part) && tag == Some(TRIED)
    });
    let last = trials.last()?;
    // Where it was not looked at since, or is gone, a trial tells nothing of it now.
    let unseen = match ground.statements.said(part) {
        Some(Statement::Sound(_)) | None => None,
        Some(it) => it.rank(),
    };
    if unseen > Some(last.rank) {
        return None;
    }
    (last.mark.state.is_there() && since <= Some(last.rank)).then(|| (last.photo.no, last.day()))
}

/// When somebody found the part itself sound, and in which picture: the newest word on it, and no older than any fault on it.
pub(in crate::assess::claims) fn found_sound(
    ground: &ClaimContext<'_>,
    part: &PartId,
) -> Option<(u32, Day)> {
    let since = ground.statements.last_fault_within(part);
    let Some(Statement::Sound(said)) = ground.statements.said(part) else {
        return None;
    };
    let held = ground.statements.sound(part).last() == Some(&said) && said.wider().is_none();
    (held && since <= Some(said.rank)).then_some((said.photo(), said.day()))
}

/// Whether a finding may still be there: no picture since says that it is repaired or gone, or only hiding work lies over it.
pub(in crate::assess::claims) fn is_unsettled(finding: &Finding) -> bool {
    finding.outcome.is_some_and(|it| !it.is_closed())
}
