//! Living with it: whether it may be used and carried, how it moves with the air, how to keep it.

use serde::Serialize;

use crate::advise::part::facts::Facts;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_report::PartState;
use crate::report::dossier::cover::unsafe_now;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::trade;
use crate::trade::entry::condition::Fact;

/// Living with it.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct LivingView {
    /// How the parts move with the air, a line each.
    movement: Vec<String>,
    /// Advice that holds for such furniture in general.
    care: Vec<CareView>,
}

/// A heading and its lines.
#[derive(Clone, Debug, Serialize)]
struct CareView {
    title: &'static str,
    lines: Vec<String>,
}

/// Common practice, no source.
const CARE: [(&str, &[&str]); 2] = [
    (
        "The finish",
        &[
            "Dust with a soft dry cloth; wipe spills at once. No silicone polish: it spoils later repairs.",
            "Coasters under glasses and cups, felt under lamps and vases, no plant pots straight on the top.",
        ],
    ),
    (
        "Air and light",
        &[
            "Wood moves with the air: 40 to 60 % relative humidity is kind to it. Keep it off radiators, stoves and damp walls.",
        ],
    ),
];

/// Where something can be set down on it. Common practice, no source.
const SET_DOWN: [&str; 8] = [
    "top",
    "leaf",
    "shelf",
    "lid",
    "fall",
    "stone-top",
    "writing-surface",
    "seat",
];

/// What gilding bears. Common practice, no source.
const GILDED: &str = "Never wipe or polish the gilding, dry or damp: no water, no spirit, no wax. Loose dust comes off with a soft brush; all else is a gilder's work.";

/// Where loose paint may hold lead, dust is never wiped dry. Common practice, no source.
const WIPED_WET: &str = "Do not dust the paint dry: until a test finds no lead, wipe dust and loose flakes up with a damp cloth that is thrown away, and wash your hands. Safety says why.";

/// The day after which a hold is of no interest any more, days.
const FORGET_DAYS: i64 = 365;

impl LivingView {
    /// Of the piece.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let mut care: Vec<CareView> = CARE
            .iter()
            .map(|(title, lines)| CareView {
                title,
                lines: lines.iter().map(|it| (*it).to_owned()).collect(),
            })
            .collect();
        let loose = |it: &Finding| {
            let untested = it.tag == "lead_paint" && it.level != Some(1);
            it.is_to_do() && (it.tag == "flaking" || untested)
        };
        if sources.assessment.findings.iter().any(loose) {
            care[0].lines[0] = WIPED_WET.to_owned();
        }
        if is_gilded(sources) {
            care[0].lines[0] = GILDED.to_owned();
        }
        let there = |name: &str| is_there(sources, name);
        if !SET_DOWN.iter().any(|it| there(it)) {
            care[0].lines.truncate(1);
        }
        Self {
            movement: sources.scene.movement.clone(),
            care,
        }
    }
}

/// Whether it may be used and carried, as far as the record tells.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct FitView {
    /// What is to be minded before it is used.
    using: Vec<String>,
    /// What is to be minded when it is packed and carried. Common practice, no source.
    carrying: Vec<String>,
}

impl FitView {
    /// Of the piece.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let assessment = sources.assessment;
        let mut using = unsafe_now(assessment);
        if using.is_empty() {
            using.extend(by_level(sources));
        }
        let tips = assessment.cautions.iter().any(|it| it.hazard == "tip_over");
        if tips {
            using.push("Fix it to the wall first: see Safety.".to_owned());
        }
        let there = |name: &str| is_there(sources, name);
        let heavy = assessment.cautions.iter().any(|it| it.hazard == HEAVY);
        let mut carrying = vec![match heavy {
            true => "Two people or more: see Heavy to lift. Do not drag it.".to_owned(),
            false => lifting(there("drawer-"), there("shelf"), there("leg")),
        }];
        let open = sources
            .findings()
            .filter(|it| !it.outcome.is_some_and(Outcome::is_closed));
        let open: Vec<String> = open.map(|it| it.no.to_string()).collect();
        if !open.is_empty() {
            let open = words::listed(&open);
            carrying.push(format!("Pack so that nothing presses or rubs on {open}."));
        }
        carrying.extend(held(sources));
        Self { using, carrying }
    }
}

/// What the levels say of the faults that are there, or may be.
fn by_level(sources: &PageContext<'_>) -> Vec<String> {
    let there = sources
        .findings()
        .filter(|it| !it.outcome.is_some_and(Outcome::is_closed));
    let there: Vec<&Finding> = there.collect();
    let without = there.iter().filter(|it| it.level.is_none()).count();
    let failing = there.iter().filter(|it| it.level == Some(FAILING));
    let failing: Vec<String> = failing.map(|it| it.no.to_string()).collect();
    let mut lines = vec![match (there.is_empty(), failing.is_empty()) {
        (true, _) => "Nothing is on record as still there.".to_owned(),
        (false, true) => "Level 4 (not to be used, or unsafe): none.".to_owned(),
        (false, false) => format!(
            "Level 4 (not to be used, or unsafe): {}.",
            words::listed(&failing)
        ),
    }];
    if without > 0 {
        lines.push(format!("Without a level: {without}."));
    }
    lines
}

/// The caution on what one person cannot lift.
const HEAVY: &str = "heavy_lift";

/// The level at which a part cannot be used, or is unsafe.
const FAILING: u8 = 4;

/// Whether a part of this kind is on the list and not absent.
fn is_there(sources: &PageContext<'_>, name: &str) -> bool {
    let parts = sources.assessment.parts.iter();
    let mut parts = parts.filter(|it| !matches!(it.state, PartState::Absent(_)));
    parts.any(|it| it.part.as_str().starts_with(name))
}

/// Whether a part of it is gilded, or painted with bronze paint, as far as the record tells.
fn is_gilded(sources: &PageContext<'_>) -> bool {
    let facts = Facts::of_all(sources.assessment, trade::book());
    let mut coats = facts.values().map(|it| it.possible(Fact::Finish));
    coats.any(|it| !it.is_empty() && it.iter().all(|it| ["bronze", "gilding"].contains(it)))
}

/// How it is lifted, in words about what it has.
fn lifting(drawers: bool, shelves: bool, legs: bool) -> String {
    let loose = match (drawers, shelves) {
        (true, true) => "drawers, shelves and loose parts",
        (true, false) => "drawers and loose parts",
        (false, true) => "shelves and loose parts",
        (false, false) => "what is loose",
    };
    let on = if legs { " on its legs" } else { "" };
    format!(
        "Take {loose} out first. Two people; lift by the body or frame, never by the top's edge, and do not drag it{on}."
    )
}

/// From which day on the last coat has had its usual time.
fn held(sources: &PageContext<'_>) -> Option<String> {
    let hold = sources.assessment.hold?;
    if hold.free_from.days_to(sources.order.made_on) > FORGET_DAYS {
        return None;
    }
    let (coated, free) = (hold.coated.spoken(), hold.free_from.spoken());
    Some(format!(
        "Last coat: {coated}. With its usual time to harden it may be wrapped and loaded from {free} on (common practice; cold and damp take longer)."
    ))
}
