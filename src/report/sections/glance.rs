//! At a glance: numbers first, then a short list.

use serde::Serialize;

use crate::assess::assessment::Finding;
use crate::assess::assessment::Origin;
use crate::assess::assessment::PartState;
use crate::model::mark::MarkState;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::words;
use crate::report::page::words::Group;

/// At a glance.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct GlanceView {
    /// The state in sentences of numbers.
    pub(in crate::report) lead: Vec<String>,
    /// What was said of how many parts.
    pub(in crate::report) parts: String,
    /// Still there, repaired or gone, not settled.
    pub(in crate::report) lists: Vec<ListView>,
    /// How many things were not examined.
    pub(in crate::report) unexamined_count: usize,
    /// What was not examined, in one paragraph.
    pub(in crate::report) unexamined: String,
    /// What the four levels mean.
    pub(in crate::report) levels: Vec<LevelView>,
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
}

/// A level and what it means.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct LevelView {
    /// `1, trace`.
    pub(in crate::report) name: String,
    /// What it means.
    pub(in crate::report) means: &'static str,
}

/// What the levels mean before a fault's own criterion says it with numbers.
const LEVELS: [&str; 4] = [
    "found only when looked for from 30 cm or by touch; nothing moves, nothing gets worse",
    "seen at arm's length by anyone; use is not affected",
    "seen from 3 m, or hinders use, or will get worse if left",
    "the part cannot be used, is unsafe, or its material is lost there",
];

impl GlanceView {
    /// Over all findings.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let levels = LEVELS.into_iter().zip(1_u8..).map(|(means, number)| {
            let name = words::level_named(number);
            LevelView { name, means }
        });
        let unexamined = &sources.assessment.not_examined;
        let things: Vec<_> = unexamined.iter().map(|it| it.what.as_str()).collect();
        let things = names::folded(&sources.assessment.parts, &things);
        Self {
            lead: lead(sources),
            parts: parts(sources),
            lists: lists(sources),
            unexamined_count: unexamined.len(),
            unexamined: words::sentence(&things.join("; ")),
            levels: levels.collect(),
        }
    }
}

impl ItemView {
    /// Of a finding.
    pub(in crate::report) fn new(sources: &PageContext<'_>, finding: &Finding) -> Self {
        Self {
            no: finding.no.to_string(),
            anchor: anchor(finding),
            text: format!("{}, {}", finding.term, words::place(finding)),
            measure: measure(sources, finding),
        }
    }
}

/// The number first, then the level; of what is repaired, what it was and what remains.
fn measure(sources: &PageContext<'_>, finding: &Finding) -> String {
    let (size, level) = (finding.size.as_deref(), finding.level);
    match sources.group(finding) {
        Some(Group::Hidden) => match sources.hidden(finding.no) {
            Some(it) => format!("{} before", words::measured(it.size.as_deref(), it.level)),
            None => words::measured(size, level),
        },
        Some(Group::Closed) => {
            let Then { size, level } = Then::of(finding);
            let was = format!("{} before", words::measured(size.as_deref(), level));
            match remains(finding) {
                Some(now) => format!("{was}; remains: {now}"),
                None => was,
            }
        }
        _ => words::measured(size, level),
    }
}

/// What a fault was when it was last seen there.
pub(in crate::report) struct Then {
    /// Its measure.
    pub(in crate::report) size: Option<String>,
    /// Its level.
    pub(in crate::report) level: Option<u8>,
}

impl Then {
    /// Of a finding; what the record gives at all, where no shoot saw it there.
    pub(in crate::report) fn of(finding: &Finding) -> Self {
        let mut there = finding
            .history
            .iter()
            .rev()
            .filter(|it| it.state.is_there());
        if there.clone().next().is_none() {
            return Self {
                size: finding.size.clone(),
                level: finding.level,
            };
        }
        Self {
            size: there.clone().find_map(|it| it.size.clone()),
            level: there.find_map(|it| it.level),
        }
    }
}

/// What remains of a repaired fault, when somebody said so.
pub(in crate::report) fn remains(finding: &Finding) -> Option<String> {
    let said = finding.history.iter().rev();
    let said = said.filter(|it| it.state == MarkState::Repaired);
    let size = said.clone().find_map(|it| it.size.as_deref());
    let level = said.clone().find_map(|it| it.level);
    (size.is_some() || level.is_some()).then(|| words::measured(size, level))
}

/// Where a finding stands on the page.
pub(in crate::report) fn anchor(finding: &Finding) -> String {
    format!("finding-{}", finding.no.0)
}

fn of<'a>(sources: &PageContext<'a>, group: Group) -> Vec<&'a Finding> {
    let all = sources.findings();
    all.filter(|it| sources.group(it) == Some(group)).collect()
}

fn lead(sources: &PageContext<'_>) -> Vec<String> {
    let there = of(sources, Group::There);
    let hidden = of(sources, Group::Hidden).len();
    let closed = of(sources, Group::Closed).len();
    let unsettled = of(sources, Group::Unsettled).len();
    let all = there.len() + hidden + closed + unsettled;
    let mut lead = vec![format!(
        "{} on record.",
        words::count(all, "finding is", "findings are")
    )];
    if !there.is_empty() {
        let levels = by_level(&there);
        lead.push(format!(
            "{} still there: {levels}.",
            words::are(there.len())
        ));
    }
    if hidden > 0 {
        lead.push(format!("{} hidden, still there.", words::are(hidden)));
    }
    if closed > 0 {
        lead.push(format!("{} repaired or gone.", words::are(closed)));
    }
    if unsettled > 0 {
        lead.push(format!(
            "{} not settled by a picture.",
            words::are(unsettled)
        ));
    }
    let later = sources
        .findings()
        .filter(|it| it.origin == Origin::AfterSale);
    match later.count() {
        0 => {}
        number => lead.push(format!(
            "{} first seen after the piece had left.",
            words::count(number, "was", "were")
        )),
    }
    let unseen = sources.assessment.not_examined.len();
    let things = words::count(unseen, "thing was", "things were");
    lead.push(format!("{things} not examined."));
    lead
}

fn by_level(findings: &[&Finding]) -> String {
    let mut said = Vec::new();
    for level in (1..=4_u8).rev() {
        let number = findings.iter().filter(|it| it.level == Some(level)).count();
        if number > 0 {
            said.push(format!("{number} {}", words::level(level)));
        }
    }
    let without = findings.iter().filter(|it| it.level.is_none()).count();
    if without > 0 {
        said.push(format!("{without} without a level"));
    }
    words::listed(&said)
}

fn lists(sources: &PageContext<'_>) -> Vec<ListView> {
    let groups = [
        ("Still there", Group::There),
        ("Hidden, still there", Group::Hidden),
        ("Repaired or gone", Group::Closed),
        ("Not settled", Group::Unsettled),
    ];
    let mut lists: Vec<ListView> = groups
        .into_iter()
        .map(|(title, group)| list(sources, title, &of(sources, group)))
        .collect();
    lists.retain(|it| !it.items.is_empty() || it.rest.is_some());
    lists
}

/// Says beside a finding that it came after the sale.
fn marked_late(mut item: ItemView, origin: Origin) -> ItemView {
    if origin == Origin::AfterSale {
        item.text += " (first seen after the sale)";
    }
    item
}

/// The buyer's list leaves traces out that need not be told, and says how many.
fn list(sources: &PageContext<'_>, title: &str, findings: &[&Finding]) -> ListView {
    let mut worst_first: Vec<_> = findings
        .iter()
        .filter(|it| it.disclose || sources.for_owner())
        .collect();
    worst_first.sort_by_key(|it| (std::cmp::Reverse(it.level), it.no));
    let items: Vec<_> = worst_first
        .into_iter()
        .map(|it| marked_late(ItemView::new(sources, it), it.origin))
        .collect();
    let left = findings.len() - items.len();
    let rest = (left > 0).then(|| {
        let more = words::count(left, "finding", "findings");
        format!("And {more} below the level that is listed here; one line each stands under State, part by part.")
    });
    ListView {
        title: format!("{title}: {}", findings.len()),
        items,
        rest,
    }
}

fn parts(sources: &PageContext<'_>) -> String {
    let parts = &sources.assessment.parts;
    let number = |of: fn(&PartState) -> bool| parts.iter().filter(|it| of(&it.state)).count();
    let groups = [
        (
            number(|it| matches!(it, PartState::Faults { .. })),
            "with findings",
        ),
        (
            number(|it| matches!(it, PartState::Sound { .. })),
            "looked at without finding a fault",
        ),
        (
            number(|it| matches!(it, PartState::Absent { .. })),
            "absent",
        ),
        (
            number(|it| matches!(it, PartState::NotExamined { .. })),
            "not examined",
        ),
        (
            number(|it| matches!(it, PartState::Silent)),
            "without a statement",
        ),
    ];
    let said = groups.iter().filter(|(number, _)| *number > 0);
    let said: Vec<_> = said
        .map(|(number, what)| format!("{number} {what}"))
        .collect();
    let all = words::count(parts.len(), "part is", "parts are");
    format!("{all} on the list: {}.", words::listed(&said))
}
