//! The findings, by what became of them, and the schedule of parts.

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::places::sizes::is_outside;
use crate::kit::text::capital;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::findings::stages::StagesView;
use crate::report::sections::findings::stages::in_brief;
use crate::report::sections::findings::stages::paired;
use crate::report::sections::glance::ItemView;
use crate::report::sections::glance::anchor;
use crate::report::sections::glance::is_full;
use crate::report::sections::glance::is_past;
use crate::report::sections::glance::printed;
use crate::report::sections::glance::remains;
use crate::tongue::Saying;
use crate::tongue::say;

/// The findings and the parts.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct StateView {
    /// Every finding, by what became of it.
    groups: Vec<OutcomeView>,
}

/// The findings of which the same became.
#[derive(Clone, Debug, Serialize)]
struct OutcomeView {
    /// What became of them.
    title: String,
    /// Those that are told in full.
    blocks: Vec<BlockView>,
    /// Those below the level that must be told, a line each.
    brief: Vec<BriefView>,
}

/// One finding, or several of one kind on one part.
#[derive(Clone, Debug, Serialize)]
struct BlockView {
    /// The line to which it is folded; empty where it stands open.
    line: String,
    /// Its findings.
    findings: Vec<FindingView>,
}

/// A finding in one line.
#[derive(Clone, Debug, Serialize)]
struct BriefView {
    /// Number, name, level, measure.
    item: ItemView,
    /// What became of it.
    state: String,
    /// What was written of it, a sentence each.
    words: Vec<String>,
    /// Its pictures.
    figures: Vec<FigureView>,
}

/// A finding in full.
#[derive(Clone, Debug, Serialize)]
struct FindingView {
    /// `F3`.
    no: String,
    /// Where it stands on this page.
    anchor: String,
    /// The fault's name.
    term: String,
    /// Where it is.
    place: String,
    /// What the fault's name means.
    plain: String,
    /// Its sign: `there`, `hidden`, `traces`, `closed` or `unsettled`.
    group: &'static str,
    /// State, level, measure, origin, repairs.
    facts: Vec<FactView>,
    /// What was seen of it, look by look.
    stages: StagesView,
}

impl StateView {
    /// Of all findings and parts.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let of = |outcome: Option<Outcome>| {
            let all = sources.findings().filter(|it| it.outcome == outcome);
            let all: Vec<&Finding> = all.collect();
            let title = || match outcome {
                Some(outcome) => heading(outcome, &all).to_string(),
                None => "Other findings".to_owned(),
            };
            (!all.is_empty()).then(|| OutcomeView::new(sources, title(), &all))
        };
        let outcomes = Outcome::ALL.map(Some).into_iter().chain([None]);
        Self {
            groups: outcomes.filter_map(of).collect(),
        }
    }
}

impl OutcomeView {
    fn new(sources: &PageContext<'_>, title: String, all: &[&Finding]) -> Self {
        let (full, brief): (Vec<&Finding>, Vec<&Finding>) =
            all.iter().partition(|it| is_full(sources, it));
        let mut kinds: Vec<Vec<&Finding>> = Vec::new();
        for it in full {
            match kinds.iter_mut().find(|of| is_alike(of[0], it)) {
                Some(kind) => kind.push(it),
                None => kinds.push(vec![it]),
            }
        }
        let brief = brief.iter().map(|it| BriefView {
            item: ItemView::new(sources, it),
            state: sources.said(&sources.state(it)),
            words: in_brief(sources, it),
            figures: paired(sources, it),
        });
        Self {
            title,
            brief: brief.collect(),
            blocks: kinds.iter().map(|it| BlockView::new(sources, it)).collect(),
        }
    }
}

/// Whether two findings are one kind of fault on one part.
fn is_alike(a: &Finding, b: &Finding) -> bool {
    (&a.tag, &a.part) == (&b.tag, &b.part)
}

impl BlockView {
    /// Of findings that are alike; what is gone is folded to its line.
    fn new(sources: &PageContext<'_>, alike: &[&Finding]) -> Self {
        let gone = matches!(alike[0].outcome, Some(Outcome::Gone | Outcome::NotFound));
        let numbers: Vec<String> = alike.iter().map(|it| it.no.to_string()).collect();
        let mut findings: Vec<FindingView> = alike
            .iter()
            .map(|it| FindingView::new(sources, it))
            .collect();
        // What the name means is said of the first of them.
        for it in findings.iter_mut().skip(1) {
            it.plain.clear();
        }
        let place = match alike {
            [one] => one.placed().to_string(),
            _ => alike[0].part_label.clone(),
        };
        Self {
            line: match gone {
                true => {
                    let named = format!("{}: {}, {place}", words::listed(&numbers), alike[0].term);
                    format!("{named}{}", work(alike))
                }
                false => String::new(),
            },
            findings,
        }
    }
}

/// `; repairs 3, 7`: the work on any of them, empty without any.
fn work(alike: &[&Finding]) -> String {
    let done: Vec<u32> = alike.iter().flat_map(|it| it.repairs.clone()).collect();
    let runs = words::runs(&done).to_string();
    match (done.is_empty(), runs.contains(' ')) {
        (true, _) => String::new(),
        (false, true) => format!("; repairs {runs}"),
        (false, false) => format!("; repair {runs}"),
    }
}

impl FindingView {
    fn new(sources: &PageContext<'_>, finding: &Finding) -> Self {
        Self {
            no: finding.no.to_string(),
            anchor: anchor(finding),
            term: finding.term.clone(),
            place: finding.placed().to_string(),
            plain: words::sentence(&finding.plain),
            group: words::sign(finding.outcome),
            facts: facts(sources, finding),
            stages: StagesView::new(sources, finding),
        }
    }
}

/// The measure goes first: a number before every other word.
fn facts(sources: &PageContext<'_>, finding: &Finding) -> Vec<FactView> {
    let sentence = |text: &str| words::sentence(&capital(text));
    // What was not found has no extent.
    let is_there = finding.outcome.is_none_or(Outcome::is_fault);
    let mut facts: Vec<FactView> = is_there.then(|| measure(finding)).into_iter().collect();
    facts.extend(lies(sources, finding));
    facts.extend(is_there.then(|| level(finding)));
    facts.push(FactView::new(
        "State",
        sentence(&sources.said(&sources.state(finding))),
    ));
    facts.push(FactView {
        name: "Origin".to_owned(),
        lines: sources.all_said(&words::came(finding)),
    });
    if !finding.repairs.is_empty() {
        let done = capital(work(&[finding]).trim_start_matches("; "));
        facts.push(FactView::new("Work", words::sentence(&done)));
    }
    facts
}

fn measure(finding: &Finding) -> FactView {
    let said = |size: Option<Saying>| size.unwrap_or_else(say::not_measured).to_string();
    if !is_past(finding) {
        let size = said(words::dated(finding.size.as_deref(), finding.size_of));
        let mut fact = FactView::new("Measure", words::sentence(&capital(&size)));
        fact.lines.extend(drawn(finding));
        return fact;
    }
    let then = said(words::dated(
        finding.before.size.as_deref(),
        finding.before.size_of,
    ));
    let mut fact = FactView::new("Measure", format!("Before: {then}."));
    fact.lines
        .extend(remains(finding).map(|it| format!("Remains: {it}.")));
    fact
}

/// Where it lies on its face, where that is known; two marks of it that cannot be one place leave it open.
fn lies(sources: &PageContext<'_>, finding: &Finding) -> Option<FactView> {
    let conflicts = &sources.assessment.places.conflicts;
    let place = finding.place.as_ref()?;
    if conflicts.iter().any(|it| it.finding == finding.no) {
        return None;
    }
    Some(FactView::new("Place", words::lies(place)))
}

/// Of a fault that nobody measured: how large it is drawn on a laid face.
fn drawn(finding: &Finding) -> Option<String> {
    let place = finding.place.as_ref().filter(|_| finding.size.is_none())?;
    let [_, _, width, height] = place.bounds();
    (width.max(height) > 0.0).then(|| {
        format!(
            "Drawn in picture {} within {width:.0} x {height:.0} mm of the {}, \u{b1} {:.0} mm.",
            place.from.photo,
            place.face,
            place.uncertainty_mm.max(1.0)
        )
    })
}

/// The level with the criterion that goes with it.
fn level(finding: &Finding) -> FactView {
    let (level, criterion) = printed(finding);
    let text = level.map_or_else(|| "not stated".to_owned(), words::level_named);
    let text = match is_past(finding) {
        true => format!("Before: {text}."),
        false => capital(&format!("{text}.")),
    };
    let mut fact = FactView::new("Level", text);
    fact.lines.extend(criterion.map(|it| of_level(finding, it)));
    fact
}

/// The criterion of a level; where the measure on record lies outside it, that it is not met by that.
fn of_level(finding: &Finding, criterion: &str) -> String {
    let size = match is_past(finding) {
        true => finding.before.size.as_deref(),
        false => finding.size.as_deref(),
    };
    match size.filter(|it| is_outside(it, criterion)) {
        Some(size) => format!(
            "Measured {size}; the level names: {}",
            words::sentence(criterion)
        ),
        None => format!("Its criterion: {}", words::sentence(criterion)),
    }
}
