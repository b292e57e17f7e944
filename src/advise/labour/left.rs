//! What is left alone, and what of it is not after all: a pin through a tenon comes out before its joint is opened, however well it
//! holds; flakes are made safe with the lead in them. Common practice, no source.

use std::collections::BTreeSet;

use crate::advise::labour::draft::Draft;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::LeftAlone;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::is_covered_danger;
use crate::assess::findings::outcome::Outcome;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;

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

/// Why nothing is done about what the work on record did already.
pub(crate) const DONE: &str =
    "that was done on record, and nobody looked since: look, and mark what it shows";

/// Why nothing is done about what is no danger where the piece is left as it was found.
pub(crate) const AS_FOUND: &str = "left as it was found";

/// A fault of the coat that is left as found and only made safe is still there after the work.
pub(crate) fn stays(finding: &Finding, method: &Method, book: &TradeBook) -> Option<LeftAlone> {
    let of_coat = book
        .tag(&finding.tag)
        .is_some_and(|it| it.group == "finish");
    let only_safe = of_coat && method.cures == Cures::Handles;
    only_safe.then(|| {
        let why = format!("{} makes it safe; the fault stays", small(&method.name));
        alone(finding, why)
    })
}

/// A line on what is left alone.
pub(crate) fn alone(finding: &Finding, why: String) -> LeftAlone {
    LeftAlone {
        finding: finding.no,
        what: format!("{}, {}", finding.term, finding.part_label),
        level: finding.level_there(),
        why,
    }
}

/// What is left as it was found, and is made safe all the same by work that is done there on a danger.
pub(crate) fn made_safe<'d>(
    need: &PlanInput<'_>,
    drafts: impl Iterator<Item = &'d Draft<'d>> + Clone,
    left: &mut [LeftAlone],
) {
    for line in left.iter_mut().filter(|it| it.why == AS_FOUND) {
        let mut findings = need.it.findings.iter();
        let finding = findings.find(|it| it.no == line.finding);
        let safe = finding.and_then(|it| {
            let tag = need.book.tag(&it.tag)?;
            let done = drafts.clone().filter(|of| of.parts().contains(&it.part));
            let mut methods = done.map(Draft::method);
            let method = methods.find(|of| tag.fixes().any(|fix| *fix == of.id))?;
            stays(it, method, need.book)
        });
        if let Some(safe) = safe {
            *line = safe;
        }
    }
}
