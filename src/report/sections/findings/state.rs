//! The findings, by what became of them, and the schedule of parts.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::faces::flat_faces;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::places::sizes::is_outside;
use crate::model::ids::FindingNo;
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
use crate::tongue::stopped;

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
                Some(outcome) => heading(outcome, &all),
                None => say::group_other(),
            };
            (!all.is_empty()).then(|| OutcomeView::new(sources, sources.said(&title()), &all))
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
        let mut findings: Vec<FindingView> = alike
            .iter()
            .map(|it| FindingView::new(sources, it))
            .collect();
        // What the name means is said of the first of them.
        for it in findings.iter_mut().skip(1) {
            it.plain.clear();
        }
        Self {
            line: match gone {
                true => sources.said(&line(sources, alike)),
                false => String::new(),
            },
            findings,
        }
    }
}

/// `F2 and F5: Split, Top; repairs 3, 7`.
fn line(sources: &PageContext<'_>, alike: &[&Finding]) -> Saying {
    let place = match alike {
        [one] => one.placed(),
        _ => Saying::part(&alike[0].part_label),
    };
    let numbers: Vec<FindingNo> = alike.iter().map(|it| it.no).collect();
    let at = say::finding_at(Saying::fault(&alike[0].term), place);
    let named = say::group_line(sources.numbers(&numbers), at);
    Saying::Parted(vec![named, work(alike)])
}

/// `repairs 3, 7`: the work on any of them, nothing without any.
fn work(alike: &[&Finding]) -> Saying {
    let done: BTreeSet<u32> = alike.iter().flat_map(|it| it.repairs.clone()).collect();
    words::repairs(&done.into_iter().collect::<Vec<u32>>())
}

impl FindingView {
    fn new(sources: &PageContext<'_>, finding: &Finding) -> Self {
        Self {
            no: finding.no.to_string(),
            anchor: anchor(finding),
            term: sources.said(&Saying::fault(&finding.term)),
            place: sources.said(&finding.placed().capital()),
            plain: stopped(&sources.said(&Saying::meaning(&finding.plain))),
            group: words::sign(finding.outcome),
            facts: facts(sources, finding),
            stages: StagesView::new(sources, finding),
        }
    }
}

/// The measure goes first: a number before every other word.
fn facts(sources: &PageContext<'_>, finding: &Finding) -> Vec<FactView> {
    let fact = |name: Saying, lines: &[Saying]| FactView {
        name: sources.said(&name),
        lines: sources.all_said(lines),
    };
    // What was not found has no extent.
    let is_there = finding.outcome.is_none_or(Outcome::is_fault);
    let measured = is_there.then(|| fact(say::fact_measure(), &measure(finding)));
    let lies = lies(sources, finding).map(|it| fact(say::fact_place(), &[it]));
    let level = is_there.then(|| fact(say::fact_level(), &level(finding)));
    let state = fact(say::fact_state(), &[sources.state(finding).sentence()]);
    let origin = fact(say::fact_origin(), &came(sources, finding));
    let work = work(&[finding]);
    let work = (!work.is_nothing()).then(|| fact(say::fact_work(), &[work.sentence()]));
    let all = [measured, lies, level, Some(state), Some(origin), work];
    all.into_iter().flatten().collect()
}

/// When it came; and which of the words that tell so were entered late.
fn came(sources: &PageContext<'_>, finding: &Finding) -> Vec<Saying> {
    let late = sources.order.late.as_ref();
    let first = finding.history.iter().find(|it| it.state.is_there());
    let told = late.zip(first).and_then(|(late, it)| late.all_of(it));
    let photos = &sources.assessment.photos;
    let of_part = late.map(|it| it.of_part(photos, &finding.part));
    words::came(finding)
        .into_iter()
        .chain(told.map(say::first_entered))
        .chain(of_part.into_iter().flatten())
        .collect()
}

fn measure(finding: &Finding) -> Vec<Saying> {
    let said = |size: Option<Saying>| size.unwrap_or_else(say::not_measured);
    if !is_past(finding) {
        let size = said(words::dated(finding.size.as_deref(), finding.size_of));
        return std::iter::once(size.sentence())
            .chain(drawn(finding))
            .collect();
    }
    let then = said(words::dated(
        finding.before.size.as_deref(),
        finding.before.size_of,
    ));
    let remains = remains(finding).map(say::it_remains);
    std::iter::once(say::was_before(then))
        .chain(remains)
        .collect()
}

/// Where it lies on its face, where that is known; two marks of it that cannot be one place leave it open.
fn lies(sources: &PageContext<'_>, finding: &Finding) -> Option<Saying> {
    let conflicts = &sources.assessment.places.conflicts;
    let place = finding.place.as_ref()?;
    let is_open = conflicts.iter().any(|it| it.finding == finding.no);
    (!is_open).then(|| words::lies(place))
}

/// Of a fault that nobody measured: how large it is drawn on a laid face.
fn drawn(finding: &Finding) -> Option<Saying> {
    let place = finding.place.as_ref().filter(|_| finding.size.is_none())?;
    let [_, _, width, height] = place.bounds();
    let whole = |mm: f64| format!("{mm:.0}");
    (width.max(height) > 0.0).then(|| {
        say::drawn_within(
            place.from.photo,
            whole(width),
            whole(height),
            flat_faces::said(&place.face),
            whole(place.uncertainty_mm.max(1.0)),
        )
    })
}

/// The level with the criterion that goes with it.
fn level(finding: &Finding) -> Vec<Saying> {
    let (level, criterion) = printed(finding);
    let level = level.map_or_else(say::level_untold, words::level_named);
    let level = match is_past(finding) {
        true => say::was_before(level),
        false => level.sentence(),
    };
    let criterion = criterion.map(|it| of_level(finding, it));
    std::iter::once(level).chain(criterion).collect()
}

/// The criterion of a level; where the measure on record lies outside it, that it is not met by that.
fn of_level(finding: &Finding, criterion: &str) -> Saying {
    let size = match is_past(finding) {
        true => finding.before.size.as_deref(),
        false => finding.size.as_deref(),
    };
    let told = Saying::criterion(criterion);
    let told = match size.filter(|it| is_outside(it, criterion)) {
        Some(size) => say::level_not_met(Saying::size(size), told),
        None => say::level_criterion(told),
    };
    told.sentence()
}
