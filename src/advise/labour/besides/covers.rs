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

/// The work.
const COVER_OFF: &str = "cover_off";

/// Takes a fouled cover off, with its filling.
const FILLING_OFF: &str = "filling_off";

/// The fixed covers of a seat whose joints are opened by the work that is planned, with leave to take them off; but those whose filling
/// comes off anyway. A web of cane is none, nor is a seat that lifts out.
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
        let mut cues = cues.filter(|it| it.covers);
        let fixed = facts.is_covered && cues.all(|it| !it.web && !it.lifts_out);
        let stays = !off.iter().any(|it| belongs(it, &of.part));
        let ground = Ground::of(&of.part, None, None, facts.lead(), need.book);
        let leave = ground.permit(need.book.method(COVER_OFF)?).ok()?;
        (fixed && stays).then_some((of, leave))
    };
    let there = need
        .it
        .parts
        .iter()
        .filter(|it| !need.it.is_absent(&it.part));
    there.filter_map(leave).collect()
}
