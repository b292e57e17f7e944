//! At a glance: numbers first, then a short list.

use serde::Serialize;

use crate::assess::findings::counts::ByLevel;
use crate::assess::findings::extent::Extent;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::last_seen::MoreSinceLeft;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::worked::Worked;
use crate::model::ids::FindingNo;
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
use crate::tongue::stopped;

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
    pub(in crate::report) unexamined_title: String,
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
        let things: Vec<&Unexamined> = { unexamined.iter() }
            .filter(|it| it.finding.is_none())
            .collect();
        let found: Vec<FindingNo> = unexamined.iter().filter_map(|it| it.finding).collect();
        let tongue = sources.tongue();
        let mut things = names::things(&sources.assessment.parts, &things, tongue);
        if !found.is_empty() {
            things.insert(0, sources.numbers(&found));
        }
        let withdrawn = withdrawn::findings(sources.assessment);
        Self {
            lead: sources.all_said(&lead(sources)),
            parts: sources.all_said(&parts(sources)).join(" "),
            lists: lists(sources),
            unexamined_title: sources.said(&say::glance_not_examined(counts.lacks.text())),
            covered: sources.all_said(&covered::lines(sources)),
            unexamined: stopped(&tongue.parted(&things)),
            withdrawn: withdrawn.map(|it| sources.said(&it)),
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
            _ if is_past(finding) => Saying::nothing(),
            (Some((was, it)), ..) => say::came_again(was, it),
            (_, _, None) => Saying::nothing(),
            (_, Origin::Found, Some(it)) => say::there_when_in(it.day),
            (_, Origin::AfterSale, Some(it)) => say::day(it.day),
            (_, _, Some(it)) => say::first_seen_on(it.day),
        };
        Self {
            since: sources.said(&since),
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

fn lead(sources: &PageContext<'_>) -> Vec<Saying> {
    let counts = &sources.assessment.counts;
    let mut lead = vec![say::findings_counted(counts.findings.faults())];
    let mut is_first_beside = true;
    for (outcome, number) in counts.findings.groups() {
        let what = outcome.words();
        lead.push(match (outcome, counts.levels.get(&outcome)) {
            (Outcome::Open, Some(levels)) => say::group_open_levels(number, what, by_level(levels)),
            (_, Some(levels)) => say::group_levels(number, what, by_level(levels)),
            _ if !outcome.is_fault() && std::mem::take(&mut is_first_beside) => {
                say::group_besides(number, what)
            }
            _ => say::group_only(number, what),
        });
    }
    if counts.after_sale > 0 {
        lead.push(say::after_sale_counted(counts.after_sale));
    }
    for how in [MoreSinceLeft::Worse, MoreSinceLeft::Again] {
        lead.extend(more_since(sources, how));
    }
    lead.extend(sources.assessment.not_there());
    lead.extend(repairs(sources));
    lead.extend(withdrawn::pictures(sources.assessment, sources.for_owner()));
    lead.push(say::lacks_named(counts.lacks.text()));
    lead
}

/// Which faults of before were seen to be worse, or there again, after the piece had left.
fn more_since(sources: &PageContext<'_>, how: MoreSinceLeft) -> Option<Saying> {
    let late = |it: &&Finding| {
        let open = it.outcome == Some(Outcome::Open) && it.origin != Origin::AfterSale;
        open && it.more_since_left() == Some(how)
    };
    let late: Vec<FindingNo> = { sources.findings() }
        .filter(late)
        .map(|it| it.no)
        .collect();
    let late = Saying::numbers(&late);
    (!late.is_empty()).then(|| match how {
        MoreSinceLeft::Again => say::again_since_left(late),
        MoreSinceLeft::Worse => say::worse_since_left(late),
    })
}

/// How many repairs are on record, and by name those that mend none of the findings: no other line here tells of these.
fn repairs(sources: &PageContext<'_>) -> Option<Saying> {
    let assessment = sources.assessment;
    let repairs = &assessment.repairs;
    // Of a finding that is withdrawn no line here tells either.
    let told = |it: &&Repair| it.findings.iter().any(|no| sources.finding(*no).is_some());
    let without = repairs.iter().filter(|it| !told(it));
    let without: Vec<Saying> = without
        .map(|it| {
            let label = |part: &PartId| say::within(sources.part(part));
            let on = Worked::by(it, &assessment.findings).labels(label);
            let method = sources.method(&it.method);
            match it.findings.is_empty() {
                true => say::repair_without(it.no, method, on),
                false => {
                    let gone = Saying::numbers(&it.findings);
                    say::repair_for_withdrawn(it.no, method, on, gone)
                }
            }
        })
        .collect();
    match (repairs.len(), without.is_empty()) {
        (0, _) => None,
        (number, true) => Some(say::repairs_counted(number)),
        (number, false) => Some(say::repairs_counted_without(
            number,
            Saying::Parted(without),
        )),
    }
}

fn by_level(counts: &ByLevel) -> Vec<Saying> {
    let levels = [1_u8, 2, 3, 4].into_iter().zip(counts.levels).rev();
    let levels = levels.filter(|(_, number)| *number > 0);
    let without = (counts.without > 0).then(|| say::level_lacks(counts.without));
    levels
        .map(|(level, number)| say::level_counted(number, words::level(level)))
        .chain(without)
        .collect()
}

fn lists(sources: &PageContext<'_>) -> Vec<ListView> {
    let groups = sources.assessment.counts.findings.groups();
    let lists = groups.map(|(outcome, number)| {
        let is_shown = shows(outcome);
        let of = sources.findings().filter(|it| it.outcome == Some(outcome));
        let of: Vec<&Finding> = of.collect();
        let title = sources.said(&say::group_counted(heading(outcome, &of), number));
        list(sources, title, &of, is_shown)
    });
    lists.collect()
}

/// Says beside a finding that it came after the sale.
fn marked_late(sources: &PageContext<'_>, mut item: ItemView, origin: Origin) -> ItemView {
    if origin == Origin::AfterSale {
        item.text = sources.said(&say::seen_late(item.text));
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
            let item = marked_late(sources, ItemView::new(sources, it), it.origin);
            match is_shown {
                true => item.shown(sources, it),
                false => item,
            }
        })
        .collect();
    let slight = findings
        .iter()
        .filter(|it| !is_full(sources, it))
        .map(|it| say::finding_named(it.no.to_string(), Saying::fault(&it.term), it.placed()));
    let slight: Vec<Saying> = slight.collect();
    let rest = (!slight.is_empty()).then(|| say::in_brief(Saying::Parted(slight)).sentence());
    let rest = rest.map(|it| sources.said(&it));
    ListView {
        title,
        items,
        rest,
        shown: is_shown,
    }
}

fn parts(sources: &PageContext<'_>) -> Vec<Saying> {
    let counts = &sources.assessment.counts.parts;
    let all = say::parts_counted(counts.all(), counts.text());
    [all]
        .into_iter()
        .chain(sources.assessment.not_there())
        .collect()
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
