//! What comes out before a joint is opened, however well it holds, such as a pin through a tenon. Common practice, no source.

use std::collections::BTreeSet;

use crate::advise::labour::area;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::LeftAlone;
use crate::advise::part::gather;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::assess::findings::finding::Finding;
use crate::model::ids::PartId;

/// Of what would be left alone, the findings that are undone because a joint of their part is opened; they are left no more.
pub(crate) fn undone<'a>(
    need: &'a PlanInput<'a>,
    opened: &BTreeSet<PartId>,
    left: &mut Vec<LeftAlone>,
) -> Vec<(&'a Finding, Permit<'a>)> {
    let mut undone = Vec::new();
    left.retain(|line| {
        let mut findings = need.it.findings.iter();
        let finding = findings.find(|it| it.no == line.finding && opened.contains(&it.part));
        let found = finding.and_then(|it| Some((it, undone_by(it, need)?)));
        let stays = found.is_none();
        undone.extend(found);
        stays
    });
    undone
}

/// The method that undoes it where the joint of its part is opened, if it may be done there.
fn undone_by<'a>(finding: &Finding, need: &'a PlanInput<'a>) -> Option<Permit<'a>> {
    let mut fixes = need.book.tag(&finding.tag)?.fix.iter();
    let fix = fixes.find(|it| it.opened)?;
    let kinds = area::kinds(need.it, need.book);
    let kind = kinds.get(&finding.part).map_or("", String::as_str);
    let lead = gather::facts(need.it, &finding.part, kind, need.book).lead();
    let advice = need.advice_on(&finding.part);
    let ground = Ground::of(&finding.part, advice, None, lead, need.book);
    ground.permit(need.book.method(&fix.method)?).ok()
}
