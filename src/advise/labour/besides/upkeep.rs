//! Cleaning and waxing that are on record already.

use crate::advise::labour::plan_input::PlanInput;
use crate::assess::findings::finding::Finding;
use crate::assess::part_list::belongs;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;
use crate::trade::entry::tag::Affects;

/// Whether a step that only cleans or waxes was done on a part, and nothing that it is for was seen there since: what was waxed was
/// cleaned before, and its wax is not taken off again. Where the part has still to be mended, what was done to its face is done again after.
pub(in crate::advise::labour) fn is_done(
    method: &Method,
    part: &PartId,
    need: &PlanInput<'_>,
) -> bool {
    if !matches!(method.phase, Phase::CleanDry | Phase::Rub) {
        return false;
    }
    let (repairs, findings) = (&need.it.repairs, &need.it.findings);
    let waxed = |it: &Repair| {
        let done = need.book.method(&it.method);
        method.phase == Phase::CleanDry && done.is_some_and(|it| it.phase == Phase::Rub)
    };
    let same = { repairs.iter() }.filter(|it| it.method == method.id || waxed(it));
    let on_it = same.filter(|it| Worked::by(it, findings).reaches(part));
    let done = on_it.map(|it| it.day).max();
    done.is_some_and(|done| {
        let again = |it: &Finding| is_new(it, method, part, done, need) || weakens(it, part, need);
        !findings.iter().any(again)
    })
}

/// Whether a part has still to be mended for a fault of strength: its joint or split is cleaned, glued and clamped.
fn weakens(it: &Finding, part: &PartId, need: &PlanInput<'_>) -> bool {
    let tag = need.book.tag(&it.tag);
    let strength = tag.is_some_and(|it| it.affects.contains(&Affects::Structure));
    strength && it.is_to_do() && belongs(&it.part, part)
}

/// Whether a fault for which the step is a repair was seen on the part after that day.
fn is_new(it: &Finding, method: &Method, part: &PartId, done: Day, need: &PlanInput<'_>) -> bool {
    let tag = need.book.tag(&it.tag);
    let answers = tag.is_some_and(|tag| tag.fixes().any(|it| *it == method.id));
    let there = it.history.iter().rev().find(|it| it.state.is_there());
    answers && it.is_to_do() && belongs(&it.part, part) && there.is_some_and(|it| it.day > done)
}
