//! A fixed cover comes off its frame, or is eased there, before the joints below it are opened.

use std::collections::BTreeSet;

use crate::advise::labour::draft::Draft;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::assess::part_list::belongs;
use crate::assess::part_report::PartReport;
use crate::model::ids::PartId;
use crate::trade::entry::form::Figure;

/// The work on a cover, and that on a web of cane or rush.
const COVER_OFF: &str = "cover_off";
const WEB_EASED: &str = "web_eased";

/// Takes a fouled cover off, with its filling.
const FILLING_OFF: &str = "filling_off";

/// The parts of which joints are opened; where the whole frame comes apart, all.
pub(in crate::advise::labour) fn opened<'a: 'd, 'd>(
    need: &PlanInput<'_>,
    planned: impl Iterator<Item = &'d Draft<'a>> + Clone,
) -> BTreeSet<PartId> {
    let opening = planned.filter(|it| it.method().opens_joints);
    let whole = opening.clone().any(|it| !it.method().includes.is_empty());
    let all = need.it.parts.iter().map(|it| it.part.clone());
    let joints = opening.flat_map(|it| it.parts().clone());
    joints.chain(all.filter(|_| whole)).collect()
}

/// The fixed covers of a seat whose joints are opened by the work that is planned, with leave to take them off; but those whose filling
/// comes off anyway. A seat that lifts out is none.
pub(in crate::advise::labour) fn to_ease<'a: 'd, 'd>(
    need: &PlanInput<'a>,
    planned: impl Iterator<Item = &'d Draft<'a>> + Clone,
) -> Vec<(&'a PartReport, Permit<'a>)> {
    let form = need.book.form(&need.it.piece.form);
    let is_seat = form.is_some_and(|it| it.figure == Figure::Seat);
    if !is_seat || !planned.clone().any(|it| it.method().opens_joints) {
        return Vec::new();
    }
    let off = planned.filter(|it| it.method().id == FILLING_OFF);
    let off: BTreeSet<PartId> = off.flat_map(|it| it.parts().clone()).collect();
    let leave = |of: &'a PartReport| {
        let kind = need.it.kinds.get(&of.part).map_or("", String::as_str);
        let facts = need.facts_on(&of.part, kind);
        let cues = facts.cues.iter().filter_map(|it| need.book.cue(it));
        let cues: Vec<_> = cues.filter(|it| it.covers).collect();
        let fixed = facts.is_covered && cues.iter().all(|it| !it.lifts_out);
        let work = match cues.iter().any(|it| it.web) {
            true => WEB_EASED,
            false => COVER_OFF,
        };
        let stays = !off.iter().any(|it| belongs(it, &of.part));
        let ground = Ground::of(&of.part, None, None, facts.lead(), need.book);
        let leave = ground.permit(need.book.method(work)?).ok()?;
        (fixed && stays).then_some((of, leave))
    };
    let there = need
        .it
        .parts
        .iter()
        .filter(|it| !need.it.is_absent(&it.part));
    there.filter_map(leave).collect()
}
