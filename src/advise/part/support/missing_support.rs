//! What is done where a part is not there on which the piece stands, or that holds what falls: as where a fault tells the same.

use crate::advise::labour::plan_input::PlanInput;
use crate::advise::next_step::NextStep;
use crate::advise::next_step::step;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::assess::assessment::Assessment;
use crate::assess::missing_support::MISSING;
use crate::assess::missing_support::missing_support;
use crate::assess::part_report::PartReport;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Method;

/// The level of that fault of a part that has to be there.
const MAIN: u8 = 4;

/// Each such part with the usual work on it.
fn work<'a>(it: &'a Assessment, book: &'a TradeBook) -> Vec<(&'a PartReport, &'a Method)> {
    let kind = |of: &PartId| it.kinds.get(of).map(String::as_str);
    let missing = missing_support(&it.parts, kind, &it.findings, book).into_iter();
    let usual = |of: &PartReport| {
        let kind = it.kinds.get(&of.part).map_or("", String::as_str);
        let mut fixes = book.tag(MISSING)?.fix.iter();
        book.method(&fixes.find(|it| it.suits(MAIN, kind))?.method)
    };
    missing.filter_map(|of| Some((of, usual(of)?))).collect()
}

/// The work on each such part, with leave to do it.
pub(in crate::advise) fn leaves<'a>(need: &PlanInput<'a>) -> Vec<(&'a PartReport, Permit<'a>)> {
    let leave = |(of, method): (&'a PartReport, &'a Method)| {
        let kind = need.it.kinds.get(&of.part).map_or("", String::as_str);
        let lead = need.facts_on(&of.part, kind).lead();
        let ground = Ground::of(&of.part, None, None, lead, need.book);
        Some((of, ground.permit(method).ok()?))
    };
    let work = work(need.it, need.book).into_iter();
    work.filter_map(leave).collect()
}

/// The same as steps to take.
pub(in crate::advise) fn steps(it: &Assessment, book: &TradeBook) -> Vec<NextStep> {
    let line = |(of, method): (&PartReport, &Method)| {
        let what = format!("{} is not there: {}", of.label, small(&method.name));
        step("danger", what, "until then it is not used")
    };
    work(it, book).into_iter().map(line).collect()
}
