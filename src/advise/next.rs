//! What to do next with a piece, the most urgent first.

use std::collections::BTreeMap;

use crate::advise::first_aid::first_aid;
use crate::advise::labour::order::OwnLine;
use crate::advise::labour::order::in_order;
use crate::advise::next_step::NextStep;
use crate::advise::next_step::step;
use crate::advise::part::facts::Facts;
use crate::advise::part::gather;
use crate::advise::part::support::missing_support;
use crate::advise::part::surface::Kinds;
use crate::advise::price::doubts::lead::is_awaited_on;
use crate::advise::price::doubts::lead::is_found;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::permit::LEAD_TEST;
use crate::advise::to_be_told::results_to_tell;
use crate::advise::to_be_told::to_be_told;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::finding::is_covered_danger;
use crate::assess::findings::finding::is_failing;
use crate::assess::gaps::lacks::Gap;
use crate::assess::part_report::PartState;
use crate::kit::text::listed;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::tag::Affects;

/// Most parts or findings named in one line before the rest is counted.
const MOST: usize = 6;

/// What to do next, in the order of urgency: mistakes in texts, dangers, pictures of which nothing is said (what seems to be
/// missing may be on them), what must be looked at before anything can be decided, what the record lacks, then the plan and
/// the report. A piece that was sold or has left asks for no work, and one whose work is done for no look that only work needs.
#[must_use]
pub fn next(it: &Assessment, parts: &[PartAdvice], book: &TradeBook, sold: bool) -> Vec<NextStep> {
    let ours = !sold && !has_left(it);
    let mut steps = Vec::new();
    steps.extend(texts(it));
    if ours {
        steps.extend(dangers(it, parts, book));
        steps.extend(missing_support::steps(it, book));
        steps.extend(worsens(it, book));
    } else {
        steps.extend(to_be_told(it));
    }
    steps.extend(unsaid(it));
    if ours && !is_done(it) {
        let tested = |part: &PartId| is_found(it) || is_awaited_on(it, part, book);
        steps.extend(looks(parts, tested));
    }
    if !sold {
        steps.extend(views(it));
    }
    steps.extend(silent(it));
    if ours {
        steps.extend(unmeasured(it, book));
        steps.extend(unseen(it));
        steps.extend(plan(it));
    }
    steps.extend(report(it));
    if steps.is_empty() {
        steps.extend(gaps(it));
    }
    steps
}

/// Whether what was found was worked on and nothing of it is still there. Work that was told of no finding, perhaps before anybody
/// looked for faults, ends nothing.
#[must_use]
pub fn is_done(it: &Assessment) -> bool {
    let for_a_fault = it.repairs.iter().any(|it| !it.findings.is_empty());
    for_a_fault && !it.findings.iter().any(|it| it.is_to_do())
}

fn texts(it: &Assessment) -> Option<NextStep> {
    let files: Vec<String> = it
        .complaints
        .iter()
        .map(|it| format!("{}:{}", it.file, it.line))
        .collect();
    (!files.is_empty()).then(|| {
        let what = format!("Put right what cannot be read: {}", some(&files));
        step(
            "mend_text",
            what,
            "the last good text stays in force until then",
        )
    })
}

/// Faults still there that are a danger to people or to other pieces, and such on which somebody may come to harm.
fn dangers(it: &Assessment, parts: &[PartAdvice], book: &TradeBook) -> Vec<NextStep> {
    let kinds = Kinds::of(it, book);
    let dangerous = |it: &&Finding| {
        let covered = is_covered_danger(it, kinds.kind(&it.part), book);
        covered || (it.is_to_do() && is_dangerous(it, &kinds, book))
    };
    let mut untested: Vec<String> = Vec::new();
    let mut work: Vec<(OwnLine, NextStep)> = Vec::new();
    let mut no_work = Vec::new();
    for finding in it.findings.iter().filter(dangerous) {
        let part = small(&finding.part_label);
        let line = |what: &str| format!("{} {}, {part}: {what}", finding.no, finding.term);
        match first_aid(it, finding, &kinds, parts, book) {
            Ok((method, test)) => {
                let test = test && !is_awaited_on(it, &finding.part, book);
                untested.extend(test.then(|| finding.no.to_string()));
                let on = [kinds.kind(&finding.part), kinds.kind(&finding.part.whole())];
                let found = Facts::of(it, &finding.part, book).lead().found(book);
                let how = method.cautions_on(on.into(), found).into_iter().next();
                let how = how.unwrap_or_default();
                let on = OwnLine {
                    method: method.id.clone(),
                    part: Some(finding.part.clone()),
                };
                work.push((on, step("danger", line(&small(&method.name)), how)));
            }
            Err(why) => no_work.push(step("danger", line(&why), "")),
        }
    }
    // A test that is on record is not made again: first its result is told.
    let mut steps = results_to_tell(it, book);
    work.splice(..0, lead_test(&untested, book));
    // In the order of the work, so that the two never differ; what waits comes last.
    let lines: Vec<OwnLine> = work.iter().map(|it| it.0.clone()).collect();
    let sorted = in_order(&lines, book);
    steps.extend(sorted.iter().map(|at| work[*at].1.clone()));
    steps.extend(no_work);
    steps
}

fn is_dangerous(it: &Finding, kinds: &Kinds<'_>, book: &TradeBook) -> bool {
    let tag = book.tag(&it.tag);
    tag.is_some_and(|tag| tag.is_danger(it.level)) || is_failing(it, kinds.kind(&it.part), book)
}

/// Heavy faults that harm nobody and get worse by themselves.
fn worsens(it: &Assessment, book: &TradeBook) -> Option<NextStep> {
    let kinds = Kinds::of(it, book);
    let soon = it.findings.iter().filter(|it| {
        let tag = book.tag(&it.tag);
        let progressive = tag.is_some_and(|it| it.affects.contains(&Affects::Progressive));
        let heavy = gather::level(it) >= HEAVY;
        it.is_to_do() && progressive && heavy && !is_dangerous(it, &kinds, book)
    });
    let named: Vec<String> = soon
        .map(|it| format!("{} {} ({})", it.no, small(&it.term), small(&it.part_label)))
        .collect();
    (!named.is_empty()).then(|| {
        let what = format!(
            "Do not wait with what gets worse by itself: {}",
            some(&named)
        );
        step("worsens", what, "")
    })
}

/// The test of old paint that comes before work on these findings.
fn lead_test(untested: &[String], book: &TradeBook) -> Option<(OwnLine, NextStep)> {
    let test = book.method(LEAD_TEST).filter(|_| !untested.is_empty())?;
    let what = format!("{}, before the work on {}", test.name, some(untested));
    let how = test.cautions.first().cloned().unwrap_or_default();
    let line = OwnLine {
        method: test.id.clone(),
        part: None,
    };
    Some((line, step("danger", what, how)))
}

/// How the look begins that a test of old paint is.
const LEAD_LOOK: &str = "Have a sample through all layers tested";

/// What keeps ways to refinish waiting, each look once with the parts it would help.
fn looks(parts: &[PartAdvice], is_tested: impl Fn(&PartId) -> bool) -> Vec<NextStep> {
    let mut by_look: BTreeMap<&str, (usize, Vec<String>)> = BTreeMap::new();
    for part in parts {
        for path in part
            .paths
            .iter()
            .filter(|it| it.verdict == Verdict::Waiting)
        {
            let is_done = |it: &&String| it.starts_with(LEAD_LOOK) && is_tested(&part.part);
            for look in path.look.iter().filter(|it| !is_done(it)) {
                let entry = by_look.entry(look).or_default();
                entry.0 += 1;
                if !entry.1.contains(&part.label) {
                    entry.1.push(part.label.clone());
                }
            }
        }
    }
    let mut all: Vec<_> = by_look.into_iter().collect();
    // What opens most comes first; the sort is stable, so equal ones stay in the order of their words.
    all.sort_by_key(|it| std::cmp::Reverse(it.1.0));
    let line = |(look, (_, parts)): (&str, (usize, Vec<String>))| {
        let parts: Vec<String> = parts.iter().map(|it| small(it)).collect();
        let how = format!("for {}; ways to refinish wait for it", some(&parts));
        step("look", look.trim_end_matches('.').to_owned(), how)
    };
    all.into_iter().take(MOST).map(line).collect()
}

fn views(it: &Assessment) -> Option<NextStep> {
    let stage = it.shoots.last().map(|it| it.stage)?;
    let missing: Vec<String> = it
        .missing_views
        .iter()
        .filter(|it| it.stage == stage)
        .map(|it| small(&it.label))
        .collect();
    (!missing.is_empty()).then(|| {
        let what = format!(
            "Take the views that the {stage} record lacks: {}",
            some(&missing)
        );
        step(
            "take_views",
            what,
            format!("asfound shotlist {} --stage {stage}", it.piece.stock_no),
        )
    })
}

fn unsaid(it: &Assessment) -> Option<NextStep> {
    let bare = it.photos.iter().filter(|it| it.sidecar.view.is_none());
    let numbers: Vec<String> = bare.map(|it| it.no.to_string()).collect();
    (!numbers.is_empty()).then(|| {
        let what = match numbers.as_slice() {
            [one] => format!("Say which view it shows: picture {one}"),
            _ => format!("Say which view they show: pictures {}", some(&numbers)),
        };
        step(
            "say_view",
            what,
            format!(
                "asfound mark {}, or `view = \"...\"` in their sidecars",
                it.piece.stock_no
            ),
        )
    })
}

fn silent(it: &Assessment) -> Option<NextStep> {
    let parts: Vec<String> = it
        .parts
        .iter()
        .filter(|it| it.required && it.state == PartState::Silent)
        .map(|it| small(&it.label))
        .collect();
    (!parts.is_empty()).then(|| {
        let what = format!(
            "Say of the parts without a statement whether they have faults: {}",
            some(&parts)
        );
        step(
            "say_part",
            what,
            format!(
                "asfound mark {}, or `sound`, `absent` or `not_examined = [...]` in a sidecar",
                it.piece.stock_no
            ),
        )
    })
}

/// What is told by a length and has none.
fn unmeasured(it: &Assessment, book: &TradeBook) -> Option<NextStep> {
    let long =
        |it: &Finding| { book.tag(&it.tag) }.is_some_and(|it| it.measure_unit.starts_with("mm"));
    let heavy =
        |it: &&Finding| it.level.is_some_and(|it| it >= HEAVY) && it.size.is_none() && long(it);
    let open: Vec<String> = it
        .findings
        .iter()
        .filter(heavy)
        .filter(|it| it.is_to_do())
        .map(|it| it.no.to_string())
        .collect();
    (!open.is_empty()).then(|| {
        let what = format!("Measure what is heavy or failing: {}", some(&open));
        step("measure", what, "`size = \"70 mm\"` in its mark")
    })
}

fn unseen(it: &Assessment) -> Option<NextStep> {
    let unseen: Vec<String> = it
        .findings
        .iter()
        .filter(|it| it.state == FindingState::RepairUnseen)
        .map(|it| it.no.to_string())
        .collect();
    (!unseen.is_empty()).then(|| {
        let what = format!("Photograph what was repaired: {}", some(&unseen));
        step(
            "show_repair",
            what,
            "same place and light as before; `state = \"repaired\"` in its mark",
        )
    })
}

/// A plan, while there is work.
fn plan(it: &Assessment) -> Option<NextStep> {
    let open = it.findings.iter().filter(|it| it.is_to_do()).count();
    (open > 0).then(|| {
        let word = if open == 1 { "finding" } else { "findings" };
        step(
            "plan",
            format!("Plan the work and the price: {open} open {word}"),
            format!("asfound estimate {}", it.piece.stock_no),
        )
    })
}

fn report(it: &Assessment) -> Option<NextStep> {
    let ready = it.gaps.is_empty() && !it.photos.is_empty();
    ready.then(|| {
        step(
            "report",
            "Write the condition report: nothing required is missing".to_owned(),
            format!("asfound report {}", it.piece.stock_no),
        )
    })
}

/// What a report still lacks, where nothing above says it.
fn gaps(it: &Assessment) -> Vec<NextStep> {
    let line = |it: &Gap| {
        step(
            "gap",
            format!("For a final report: {}", it.message),
            &*it.remedy,
        )
    };
    it.gaps.iter().map(line).collect()
}

/// Whether the piece has left the seller, as far as its newest shoot tells.
fn has_left(it: &Assessment) -> bool {
    it.shoots.last().is_some_and(|it| it.stage.after_sale())
}

/// The first few, and how many more.
fn some(names: &[String]) -> String {
    let shown = listed(&names[..names.len().min(MOST)]);
    match names.len().saturating_sub(MOST) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
