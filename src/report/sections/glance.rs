//! At a glance: numbers first, then a short list.

use serde::Serialize;

use crate::assess::findings::counts::ByLevel;
use crate::assess::findings::extent::Extent;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::last_seen::MoreSinceLeft;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::worked::Worked;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::report::page::became;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::findings::withdrawn;
use crate::report::sections::work::covered;
use crate::tongue::Saying;
use crate::tongue::say;

/// At a glance.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct GlanceView {
    /// The state in sentences of numbers.
    pub(in crate::report) lead: Vec<String>,
    /// What was said of how many parts.
    pub(in crate::report) parts: String,
    /// Findings by what became of them.
    pub(in crate::report) lists: Vec<ListView>,
    /// How many parts, tests and views were not examined.
    pub(in crate::report) unexamined_count: String,
    /// What is new, what is hidden and not cured, and what was mended before it came in.
    pub(in crate::report) covered: Vec<String>,
    /// What was not examined, in one paragraph.
    pub(in crate::report) unexamined: String,
    /// Findings that no mark names any more: told, but not what the piece is first of all.
    pub(in crate::report) withdrawn: Option<String>,
}

/// A list of findings.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ListView {
    /// Its heading.
    pub(in crate::report) title: String,
    /// Its findings.
    pub(in crate::report) items: Vec<ItemView>,
    /// What was left out and where it stands.
    pub(in crate::report) rest: Option<String>,
    /// Whether its findings are shown close.
    pub(in crate::report) shown: bool,
}

/// A finding in a line.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ItemView {
    /// `F3`.
    pub(in crate::report) no: String,
    /// Where it stands on this page.
    pub(in crate::report) anchor: String,
    /// What it is and where.
    pub(in crate::report) text: String,
    /// Level and measure.
    pub(in crate::report) measure: String,
    /// Since when it is there; empty where that is not told.
    pub(in crate::report) since: String,
    /// It, close and small.
    pub(in crate::report) crop: Option<FigureView>,
}

impl GlanceView {
    /// Over all findings.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let (unexamined, counts) = (&sources.assessment.not_examined, &sources.assessment.counts);
        // The findings stand by name in the lists above.
        let things = unexamined.iter().filter(|it| it.finding.is_none());
        let things: Vec<_> = things.map(|it| it.what.as_str()).collect();
        let found = unexamined.iter().filter_map(|it| it.finding);
        let found: Vec<String> = found.map(|it| it.to_string()).collect();
        let mut things = names::folded(&sources.assessment.parts, &things);
        if !found.is_empty() {
            things.insert(0, words::listed(&found));
        }
        Self {
            lead: lead(sources),
            parts: parts(sources),
            lists: lists(sources),
            unexamined_count: counts.lacks.text().to_string(),
            covered: covered::lines(sources),
            unexamined: words::sentence(&things.join("; ")),
            withdrawn: withdrawn::findings(sources.assessment).map(|it| it.to_string()),
        }
    }
}

impl ItemView {
    /// Of a finding.
    pub(in crate::report) fn new(sources: &PageContext<'_>, finding: &Finding) -> Self {
        let at = say::finding_at(Saying::fault(&finding.term), finding.placed());
        Self {
            no: finding.no.to_string(),
            anchor: anchor(finding),
            text: sources.said(&at),
            measure: sources.said(&measure(finding)),
            since: String::new(),
            crop: None,
        }
    }

    /// With its newest close picture that shows it, and with the day since when it is on record.
    fn shown(self, sources: &PageContext<'_>, finding: &Finding) -> Self {
        // A picture in which it cannot be told shows nothing of it.
        let newest = finding.history.iter().rev().filter(|it| it.state.tells());
        let at = newest.filter_map(|it| sources.best_mark(it)).next();
        let crop = at.and_then(|it| FigureView::mini(sources, it, &self.text));
        let first = finding.history.iter().find(|it| it.state.is_there());
        let again = became::relapse(finding).zip(finding.again_on());
        let since = match (again, finding.origin, first) {
            _ if is_past(finding) => String::new(),
            (Some((was, it)), ..) => format!("{was}; there again on {it}"),
            (_, _, None) => String::new(),
            (_, Origin::Found, Some(it)) => {
                format!("there when the piece came in, {}", it.day.spoken())
            }
            (_, Origin::AfterSale, Some(it)) => it.day.spoken(),
            (_, _, Some(it)) => format!("first seen on {}", it.day.spoken()),
        };
        Self {
            since,
            crop,
            ..self
        }
    }
}

/// The number first, then the level; of what is repaired, what it was and what remains. What was not found has neither.
pub(in crate::report) fn measure(finding: &Finding) -> Saying {
    if finding.outcome.is_some_and(|it| !it.is_fault()) {
        return Saying::nothing();
    }
    if !is_past(finding) {
        let size = words::dated(finding.size.as_deref(), finding.size_of);
        return words::measured(size, finding.level);
    }
    let was = extent(&finding.before);
    match remains(finding) {
        Some(now) => say::before_remains(was, now),
        None => say::before(was),
    }
}

fn extent(it: &Extent) -> Saying {
    let size = words::dated(it.size.as_deref(), it.size_of);
    words::measured(size, it.level)
}

/// What can still be seen of a repaired or covered fault, when somebody said so.
pub(in crate::report) fn remains(finding: &Finding) -> Option<Saying> {
    let seen = matches!(finding.outcome, Some(Outcome::Traces | Outcome::Hidden));
    finding.remains.as_ref().filter(|_| seen).map(extent)
}

/// Where a finding stands on the page.
pub(in crate::report) fn anchor(finding: &Finding) -> String {
    format!("finding-{}", finding.no.0)
}

fn lead(sources: &PageContext<'_>) -> Vec<String> {
    let counts = &sources.assessment.counts;
    let all = words::count(counts.findings.faults(), "finding is", "findings are");
    let mut lead = vec![format!("{all} on record.")];
    let mut beside = "Besides: ";
    for (outcome, number) in counts.findings.groups() {
        let what = outcome.words();
        lead.push(match (outcome, counts.levels.get(&outcome)) {
            (Outcome::Open, Some(levels)) => {
                format!("{} {what}: {}.", words::are(number), by_level(levels))
            }
            (_, Some(levels)) => format!("{number} {what}: {}.", by_level(levels)),
            _ if outcome.is_fault() => format!("{number} {what}."),
            _ => format!("{}{number} {what}.", std::mem::take(&mut beside)),
        });
    }
    if counts.after_sale > 0 {
        let were = words::count(counts.after_sale, "was", "were");
        lead.push(format!("{were} first seen after the piece had left."));
    }
    for how in [MoreSinceLeft::Worse, MoreSinceLeft::Again] {
        lead.extend(more_since(sources, how));
    }
    lead.extend(sources.assessment.not_there().map(|it| it.to_string()));
    lead.extend(repairs(sources));
    let out = withdrawn::pictures(sources.assessment, sources.for_owner());
    lead.extend(out.iter().map(ToString::to_string));
    lead.push(format!("Not examined: {}.", counts.lacks.text()));
    lead
}

/// Which faults of before were seen to be worse, or there again, after the piece had left.
fn more_since(sources: &PageContext<'_>, how: MoreSinceLeft) -> Option<String> {
    let late = |it: &&Finding| {
        let open = it.outcome == Some(Outcome::Open) && it.origin != Origin::AfterSale;
        open && it.more_since_left() == Some(how)
    };
    let late: Vec<String> = { sources.findings() }
        .filter(late)
        .map(|it| it.no.to_string())
        .collect();
    let are = if late.len() == 1 { "is" } else { "are" };
    (!late.is_empty()).then(|| {
        format!(
            "{} {are} {} since the piece had left.",
            words::listed(&late),
            match how {
                MoreSinceLeft::Again => "there again",
                MoreSinceLeft::Worse => "worse",
            }
        )
    })
}

/// How many repairs are on record, and by name those that mend none of the findings: no other line here tells of these.
fn repairs(sources: &PageContext<'_>) -> Option<String> {
    let assessment = sources.assessment;
    let repairs = &assessment.repairs;
    // Of a finding that is withdrawn no line here tells either.
    let told = |it: &&Repair| it.findings.iter().any(|no| sources.finding(*no).is_some());
    let without = repairs.iter().filter(|it| !told(it));
    let without: Vec<String> = without
        .map(|it| {
            let label = |part: &PartId| small(&sources.part_label(part));
            let on = joined(&Worked::by(it, &assessment.findings).labels(label));
            let method = small(&sources.method_name(&it.method));
            let gone: Vec<String> = it.findings.iter().map(ToString::to_string).collect();
            let gone = match gone.is_empty() {
                true => String::new(),
                false => format!("; for {}, withdrawn", joined(&gone)),
            };
            format!("number {} ({method}, {on}{gone})", it.no)
        })
        .collect();
    let all = words::count(repairs.len(), "repair is", "repairs are");
    match (repairs.len(), without.is_empty()) {
        (0, _) => None,
        (_, true) => Some(format!("{all} on record.")),
        (_, false) => Some(format!(
            "{all} on record; of these without a finding: {}.",
            without.join("; ")
        )),
    }
}

fn by_level(counts: &ByLevel) -> String {
    let levels = [1_u8, 2, 3, 4].into_iter().zip(counts.levels).rev();
    let levels = levels.filter(|(_, number)| *number > 0);
    let mut said: Vec<String> = levels
        .map(|(level, number)| format!("{number} {}", words::level(level)))
        .collect();
    if counts.without > 0 {
        said.push(format!("{} without a level", counts.without));
    }
    words::listed(&said)
}

fn lists(sources: &PageContext<'_>) -> Vec<ListView> {
    let groups = sources.assessment.counts.findings.groups();
    let lists = groups.map(|(outcome, number)| {
        let is_shown = shows(outcome);
        let of = sources.findings().filter(|it| it.outcome == Some(outcome));
        let of: Vec<&Finding> = of.collect();
        let title = format!("{}: {number}", heading(outcome, &of));
        list(sources, title, &of, is_shown)
    });
    lists.collect()
}

/// Says beside a finding that it came after the sale.
fn marked_late(mut item: ItemView, origin: Origin) -> ItemView {
    if origin == Origin::AfterSale {
        item.text += " (first seen after the sale)";
    }
    item
}

/// Whether what became so of a finding can be seen on the piece, or may be.
fn shows(outcome: Outcome) -> bool {
    outcome.is_fault() && !matches!(outcome, Outcome::Repaired | Outcome::Gone)
}

/// The buyer's list leaves traces out that need not be told, and says how many.
fn list(
    sources: &PageContext<'_>,
    title: String,
    findings: &[&Finding],
    is_shown: bool,
) -> ListView {
    let mut worst_first: Vec<_> = findings
        .iter()
        .copied()
        .filter(|it| is_full(sources, it))
        .collect();
    worst_first.sort_by_key(|it| (std::cmp::Reverse(it.level), it.no));
    let items: Vec<_> = worst_first
        .into_iter()
        .map(|it| {
            let item = marked_late(ItemView::new(sources, it), it.origin);
            match is_shown {
                true => item.shown(sources, it),
                false => item,
            }
        })
        .collect();
    let slight = findings
        .iter()
        .filter(|it| !is_full(sources, it))
        .map(|it| format!("{} {}, {}", it.no, it.term, it.placed()));
    let slight: Vec<String> = slight.collect();
    let rest = (!slight.is_empty()).then(|| {
        words::sentence(&format!(
            "In one line under Findings: {}",
            slight.join("; ")
        ))
    });
    ListView {
        title,
        items,
        rest,
        shown: is_shown,
    }
}

fn parts(sources: &PageContext<'_>) -> String {
    let counts = &sources.assessment.counts.parts;
    let all = words::count(counts.all(), "part is", "parts are");
    let not_there = sources.assessment.not_there();
    let not_there = not_there.map_or_else(String::new, |it| format!(" {it}"));
    format!("{all} on the list: {}.{not_there}", counts.text())
}

/// Whether a finding is printed in full: the buyer's copy tells some in one line.
pub(in crate::report) fn is_full(sources: &PageContext<'_>, finding: &Finding) -> bool {
    finding.disclose || sources.for_owner() || came_later(finding)
}

/// Whether it is there and was not when its part was looked at before: when it came is what is asked of it.
fn came_later(finding: &Finding) -> bool {
    let later = [Origin::ByWork, Origin::BetweenLooks, Origin::AfterSale];
    !is_past(finding) && later.contains(&finding.origin)
}

/// The level that is printed for a finding: of what is repaired, gone or hidden, the one from before.
pub(in crate::report) fn printed(finding: &Finding) -> (Option<u8>, Option<&str>) {
    match is_past(finding) {
        true => (finding.before.level, finding.before.criterion.as_deref()),
        false => (finding.level, finding.level_words.as_deref()),
    }
}

/// Whether a finding is out of sight or repaired, so that its measure and level are those from before.
pub(in crate::report) fn is_past(finding: &Finding) -> bool {
    let past = |it: Outcome| it == Outcome::Hidden || (it.is_closed() && it.is_fault());
    finding.outcome.is_some_and(past)
}
