//! What becomes of the money put aside for open questions once the price and the plan are known: in the questions asked, out the
//! same with less.

use crate::advise::labour::exact::Spread;
use crate::advise::labour::plan::Plan;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::doubts::questions::BadAnswer;
use crate::advise::refinish::permit::LEAD_SAFE;
use crate::advise::refinish::permit::LEAD_TEST;
use crate::trade::entry::offer::Question;

/// Holds each to no more than this, minor units: what is put aside for a chest would eat a stool. What the user's own cost is
/// the user's word.
pub(in crate::advise) fn hold_to(asked: &mut [Asked], bad: &mut [BadAnswer], most: i64) {
    for it in asked.iter_mut().filter(|it| is_held(it.id)) {
        it.aside = it.aside.map(|it| it.at_most(most));
    }
    for it in bad.iter_mut().filter(|it| is_held(Question::of(&it.id))) {
        it.cost = it.cost.map(|it| it.at_most(most));
    }
}

/// Whether what is put aside for a question is held to a share of what the piece brings.
pub(in crate::advise) fn is_held(question: Question) -> bool {
    // Nor does lead get cheaper with the piece.
    !matches!(question, Question::Own | Question::LeadNotTested)
}

/// A test that is in the plan is paid there and not put aside again: whoever skips it works as if there were lead, so that not
/// knowing never costs more than the bad answer.
pub(in crate::advise) fn test_is_planned(asked: &mut [Asked], plan: &Plan) {
    let tests = plan.tasks.iter().filter(|it| it.method == LEAD_TEST);
    let paid: i64 = tests.filter_map(|it| it.cost).map(|it| it.likely).sum();
    let lead = asked.iter_mut();
    for it in lead.filter(|it| paid > 0 && it.id == Question::LeadNotTested) {
        it.aside = it.aside.map(|it| it.less(paid));
        it.look = format!("{} The test is in the plan.", it.look);
    }
}

/// Where the plan makes paint safe, and the bill for that is told, a bad answer costs no more than that, be it feared or found.
pub(in crate::advise) fn lead_is_planned(
    asked: &mut [Asked],
    bad: &mut Vec<BadAnswer>,
    plan: &Plan,
) {
    if !plan.tasks.iter().any(|it| it.method == LEAD_SAFE) {
        return;
    }
    bad.retain(|it| Question::of(&it.id) != Question::LeadNotTested);
    for it in asked
        .iter_mut()
        .filter(|it| it.id == Question::LeadNotTested)
    {
        (it.aside, it.counted) = (Some(Spread::default()), false);
        it.look = format!("{} The lead-safe work is in the plan.", it.look);
    }
}
