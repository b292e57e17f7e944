//! What comes out before a joint is opened, however well it holds, such as a pin through a tenon. Common practice, no source.

use std::collections::BTreeSet;

use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::LeftAlone;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::is_covered_danger;
use crate::assess::findings::outcome::Outcome;
use crate::model::ids::PartId;

/// Of what would be left alone, and of what is only covered, the findings that are undone because a joint of their part is opened;
/// they are left no more.
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
    let covered = |it: &&Finding| {
        let kind = need.it.kinds.get(&it.part).map_or("", String::as_str);
        let hidden = it.outcome == Some(Outcome::Hidden) && opened.contains(&it.part);
        hidden && !is_covered_danger(it, kind, need.book)
    };
    let covered = need.it.findings.iter().filter(covered);
    undone.extend(covered.filter_map(|it| Some((it, undone_by(it, need)?))));
    undone
}

/// The method that undoes it where the joint of its part is opened, if it may be done there.
fn undone_by<'a>(finding: &Finding, need: &'a PlanInput<'a>) -> Option<Permit<'a>> {
    let mut fixes = need.book.tag(&finding.tag)?.fix.iter();
    let fix = fixes.find(|it| it.opened)?;
    let kind = need.it.kinds.get(&finding.part).map_or("", String::as_str);
    let lead = need.facts_on(&finding.part, kind).lead();
    let advice = need.advice_on(&finding.part);
    let ground = Ground::of(&finding.part, advice, None, lead, need.book);
    ground.permit(need.book.method(&fix.method)?).ok()
}
