//! Faults that a repair hides and does not cure: they are still there, and a buyer is told.

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_list::belongs;
use crate::assess::worked::Worked;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;

/// The lowest level at which a hidden fault is told (common practice, no source).
const TOLD_FROM: u8 = 2;

/// A fault that is hidden and still there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Hidden {
    /// The finding.
    pub no: FindingNo,
    /// Its level before it was hidden; `None` when nobody gave one.
    pub level: Option<u8>,
    /// Its measure before, as written.
    pub size: Option<String>,
    /// The repairs that hide it, by number.
    pub by: Vec<u32>,
}

/// Every fault that somebody wrote to be hidden by work that is none for it, and every other from level 2 up, or without a level,
/// over which only hiding work lies; by number.
pub(crate) fn hidden(findings: &[Finding], repairs: &[Repair], book: &TradeBook) -> Vec<Hidden> {
    let mut repairs: Vec<&Repair> = repairs.iter().collect();
    repairs.sort_by_key(|it| it.no);
    let of_finding = |it| of_finding(findings, &repairs, book, it);
    findings.iter().filter_map(of_finding).collect()
}

/// The heading of what a repair for these findings is said to hide: what a mark since shows of every one of them is not hidden.
#[must_use]
pub fn hides_heading(findings: &[Finding], of: &[FindingNo]) -> Saying {
    let seen = |no: &FindingNo| {
        let mut all = findings.iter();
        let it = all.find(|it| it.no == *no);
        it.is_some_and(|it| matches!(it.outcome, Some(Outcome::Traces | Outcome::Open)))
    };
    match !of.is_empty() && of.iter().all(seen) {
        true => say::seen_not_cured(),
        false => say::hidden_not_cured(),
    }
}

fn of_finding(
    findings: &[Finding],
    repairs: &[&Repair],
    book: &TradeBook,
    finding: &Finding,
) -> Option<Hidden> {
    let out_of_sight = match finding.state {
        FindingState::Repaired | FindingState::RepairUnseen | FindingState::Gone => true,
        FindingState::Open
        | FindingState::Worse
        | FindingState::Better
        | FindingState::Reopened
        | FindingState::NotVisible
        | FindingState::NotFound
        | FindingState::Withdrawn => false,
    };
    let mut newest_first = finding.history.iter().rev();
    let day = newest_first.find(|it| it.state.is_there())?.day;
    let level = finding.before.level;
    let own = |it: &Repair| it.findings.contains(&finding.no);
    // What somebody wrote to be hidden by work that is none for such a fault is as it was.
    let told = |it: &Repair, method: &Method| {
        own(it)
            && it.hides.is_some()
            && !(method.cures == Cures::Cures && answers(book, finding, method))
    };
    let since = repairs.iter().filter(|it| it.day >= day);
    let known = since.filter_map(|it| Some((*it, book.method(&it.method)?)));
    let known: Vec<(&Repair, &Method)> = known.collect();
    let last_told = known.iter().rposition(|(it, method)| told(it, method));
    let small = level.is_some_and(|it| it < TOLD_FROM) && last_told.is_none();
    let later = known.iter().skip(last_told.map_or(0, |at| at + 1));
    let cured = { later }.any(|(it, method)| own(it) && cures(book, finding, method));
    if !out_of_sight || small || cured {
        return None;
    }
    let hides = |(it, method): &&(&Repair, &Method)| {
        let over = is_paint(book, method) && reaches(findings, it, &finding.part);
        told(it, method) || (method.cures == Cures::Hides && (own(it) || over))
    };
    let by: Vec<u32> = known.iter().filter(hides).map(|(it, _)| it.no).collect();
    (!by.is_empty()).then(|| Hidden {
        no: finding.no,
        level,
        size: finding.before.size.clone(),
        by,
    })
}

/// Whether a method takes this fault away. Work on a surface does so only for faults it answers.
fn cures(book: &TradeBook, finding: &Finding, method: &Method) -> bool {
    let surface = matches!(
        method.phase,
        Phase::CleanDry | Phase::Strip | Phase::Level | Phase::Colour | Phase::Coat | Phase::Rub
    );
    let takes_off = matches!(method.phase, Phase::Strip | Phase::Level);
    let by_path = takes_off
        && book.paths.iter().any(|path| {
            let step = path.steps.iter().any(|it| it.method == method.id);
            step && path.removes.contains(&finding.tag)
        });
    method.cures == Cures::Cures && (!surface || answers(book, finding, method) || by_path)
}

/// Whether it is the usual work on such a fault.
fn answers(book: &TradeBook, finding: &Finding, method: &Method) -> bool {
    let tag = book.tag(&finding.tag);
    tag.is_some_and(|it| it.fixes().any(|it| *it == method.id))
}

/// Whether a method covers wood with paint.
fn is_paint(book: &TradeBook, method: &Method) -> bool {
    let paths = book.paths.iter().filter(|it| it.leaves == Leaves::Paint);
    let mut steps = paths.flat_map(|it| &it.steps);
    method.phase == Phase::Coat && steps.any(|it| it.method == method.id)
}

/// Whether a repair was made on this part, or on what it belongs to.
fn reaches(findings: &[Finding], repair: &Repair, part: &PartId) -> bool {
    Worked::by(repair, findings).any(|it| belongs(it, part) || belongs(part, it))
}
