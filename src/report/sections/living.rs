//! Living with it: whether it may be used and carried, how it moves with the air, how to keep it.

use serde::Serialize;

use crate::advise::part::facts::Facts;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::FAILING;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::report::sections::lead::LeadView;
use crate::trade;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::form::Figure;
use crate::trade::entry::tag::Affects;

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
            "Dust with a soft dry cloth, old paint with a damp one; wipe spills at once. No silicone polish: it spoils later repairs.",
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
const SET_DOWN: [&str; 7] = [
    "top",
    "leaf",
    "shelf",
    "lid",
    "fall",
    "stone-top",
    "writing-surface",
];

/// What shellac does not bear. Common practice, no source.
const SHELLAC: &str = "Shellac: spirit, heat and standing water mark it.";

/// What gilding bears. Common practice, no source.
const GILDED: &str = "Never wipe or polish the gilding, dry or damp: no water, no spirit, no wax. Loose dust comes off with a soft brush; all else is a gilder's work.";

/// How what is gilded is carried. Common practice, no source.
const GILDED_FRAME: &str = "Two people, in clean gloves, upright: hold it from behind and below where nothing is loose, never by the gilding.";

/// How gilding is packed. Common practice, no source.
const GILDED_PACKED: &str = "Do not wipe, tape or wrap the gilding close: loose gold comes off with what touches it; a stiff box keeps all off it.";

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
        // What a danger forbids is no care.
        let cautions = &sources.assessment.cautions;
        if let Some(of) = cautions.iter().find(|it| !it.dust.is_empty()) {
            care[0].lines[0].clone_from(&of.dust);
        }
        if is_gilded(sources) {
            care[0].lines[0] = GILDED.to_owned();
        }
        let there = |name: &str| is_there(sources, name);
        let stands = !sources.assessment.hangs;
        let loaded = !cautions.iter().any(|it| it.shut);
        if !SET_DOWN.iter().any(|it| there(it) && stands && loaded) {
            care[0].lines.truncate(1);
        }
        if has_coat(sources, &["shellac"]) {
            care[0].lines.push(SHELLAC.to_owned());
        }
        Self {
            movement: sources.scene.movement.clone(),
            care,
        }
    }
}

/// What stands on the same page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::report) enum Beside {
    /// The sections of a report.
    Sections,
    /// Nothing to point at.
    Nothing,
}

/// Whether it may be used and carried, as far as the record tells.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct FitView {
    /// What is to be minded before it is used.
    pub(in crate::report) using: Vec<String>,
    /// What is to be minded when it is packed and carried. Common practice, no source.
    pub(in crate::report) carrying: Vec<String>,
}

impl FitView {
    /// Of the piece; `beside` tells on what page it stands.
    pub(in crate::report) fn new(sources: &PageContext<'_>, beside: Beside) -> Self {
        let assessment = sources.assessment;
        let see = |section: &str| match beside {
            Beside::Sections => format!(": see {section}."),
            Beside::Nothing => ".".to_owned(),
        };
        let mut using = unsafe_now(assessment);
        if using.is_empty() {
            using.extend(by_level(sources));
        }
        using.extend(untried(sources));
        using.extend(heavy_remains(sources));
        let (alive, lead) = (alive(sources), LeadView::new(sources));
        using.extend(in_it(alive.as_deref(), &lead, &see("Safety")));
        let first = assessment.cautions.iter().filter(|it| !it.first.is_empty());
        using.extend(first.map(|it| format!("{}{}", it.first, see("Safety"))));
        let there = |name: &str| is_there(sources, name);
        let gilded = is_gilded(sources);
        using.extend(treated(sources));
        let heavy = assessment.cautions.iter().any(|it| it.hazard == LIFT);
        let mut carrying = vec![match (heavy, beside) {
            (true, Beside::Sections) => {
                format!("Two people or more{} Do not drag it.", see("Heavy to lift"))
            }
            _ if gilded && there("mirror-frame") => GILDED_FRAME.to_owned(),
            _ if !heavy && is_light(assessment) => BY_ONE.to_owned(),
            _ => lifting(there, heavy, assessment.cautions.iter().any(|it| it.shut)),
        }];
        if gilded {
            carrying.push(GILDED_PACKED.to_owned());
        }
        let lid = |it: &PartReport| it.part.as_str() == "lid";
        if present(sources).any(lid) {
            carrying.push("Tie the lid shut.".to_owned());
        }
        if there("fall") {
            carrying.push("Tie the fall shut.".to_owned());
        }
        // What was glued or filled is weaker than what never broke, and what nobody saw since may be so.
        let weak = sources
            .findings()
            .filter(|it| it.outcome != Some(Outcome::Gone) && it.was_there() && can_be_touched(it));
        let weak: Vec<String> = weak.map(|it| it.no.to_string()).collect();
        if !weak.is_empty() {
            let weak = words::listed(&weak);
            carrying.push(format!("Pack so that nothing presses or rubs on {weak}."));
        }
        let lacks = &assessment.counts.lacks;
        if lacks.parts + lacks.silent_parts > 0 {
            carrying.push("What nobody examined may be weak.".to_owned());
        }
        if let Some(alive) = &alive {
            carrying.push(format!(
                "Wrap it closed; load nothing of wood or cloth beside it ({alive})."
            ));
        }
        if let Some(lead) = lead.loose() {
            carrying.push(format!(
                "Wrap loose paint closed and rub nothing on it ({lead}); wipe flakes and dust up wet, and wash your hands."
            ));
        }
        carrying.extend(held(sources));
        Self { using, carrying }
    }
}

/// What whoever comes near has to know first: the faults on which somebody may come to harm, and what lives or lies in it.
pub(in crate::report) fn dangers(sources: &PageContext<'_>) -> Vec<String> {
    let mut lines = unsafe_now(sources.assessment);
    lines.extend(heavy_remains(sources));
    let (alive, lead) = (alive(sources), LeadView::new(sources));
    lines.extend(in_it(alive.as_deref(), &lead, "."));
    lines
}

/// Insects and lead, where they are there or may be; `see` tells where more of it stands.
fn in_it(alive: Option<&str>, lead: &LeadView, see: &str) -> Vec<String> {
    let alive = alive.map(|it| {
        format!("Insects may live in it: {it}. Keep it apart from other things of wood and cloth.")
    });
    alive.into_iter().chain(lead.using(see)).collect()
}

/// The caution on faults on which somebody may come to harm; empty without one.
fn unsafe_now(assessment: &Assessment) -> Vec<String> {
    let failing = assessment.not_to_be_used().into_iter();
    failing
        .flat_map(|it| std::iter::once(format!("{}:", it.title)).chain(it.lines.clone()))
        .collect()
}

/// What the levels say of the faults that are there, or may be.
fn by_level(sources: &PageContext<'_>) -> Vec<String> {
    let there = sources
        .findings()
        .filter(|it| it.outcome.is_none_or(|it| !it.is_closed() && it.is_fault()));
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
    // What is not there is no fault that stays, and no piece that is whole.
    lines.extend(sources.assessment.not_there().filter(|_| there.is_empty()));
    if without > 0 {
        lines.push(format!("Without a level: {without}."));
    }
    lines
}

/// Faults that came in heavy or failing and are repaired, where nobody wrote a level since.
fn untried(sources: &PageContext<'_>) -> Option<String> {
    let heavy = |it: &&Finding| {
        it.outcome == Some(Outcome::Repaired) && it.before.level.is_some_and(|it| it >= HEAVY)
    };
    let heavy = sources.findings().filter(heavy);
    let heavy: Vec<String> = heavy.map(|it| it.no.to_string()).collect();
    (!heavy.is_empty()).then(|| {
        format!(
            "Repaired from level 3 or 4, no level since: {}.",
            words::listed(&heavy)
        )
    })
}

/// Faults that are said to be repaired, and of which as much remains as of a heavy or failing one.
fn heavy_remains(sources: &PageContext<'_>) -> Option<String> {
    let one = |it: &Finding| {
        let level = it.heavy_remains()?;
        Some(format!(
            "{} (level {level}, {})",
            it.no,
            words::level(level)
        ))
    };
    let heavy: Vec<String> = sources.findings().filter_map(one).collect();
    (!heavy.is_empty()).then(|| {
        format!(
            "Said to be repaired, with as much left as of a heavy or failing fault: {}.",
            words::listed(&heavy)
        )
    })
}

/// Faults that are there or may be, and say that insects live in it.
fn alive(sources: &PageContext<'_>) -> Option<String> {
    let alive = sources.findings().filter(|it| {
        let may_live = LIVE.contains(&it.tag.as_str()) || it.is_watch_untold();
        may_live && !it.outcome.is_some_and(Outcome::is_closed)
    });
    let told = |it: &Finding| match it.is_watch_untold() {
        true => format!("{} (watched, result not told)", it.no),
        false => it.no.to_string(),
    };
    let alive: Vec<String> = alive.map(told).collect();
    (!alive.is_empty()).then(|| words::listed(&alive))
}

/// Whether it is a place on the piece that packing can press or rub: not a smell, nor how a lid moves, nor what a test tells.
fn can_be_touched(it: &Finding) -> bool {
    let tag = trade::book().tag(&it.tag);
    let of_place = tag.is_none_or(|tag| {
        let smell = tag.affects.contains(&Affects::Hygiene) && tag.group == SURFACE;
        let moves = tag.group == SAFETY;
        !smell && !moves
    });
    of_place && it.test_found.is_none() && it.outcome.is_none_or(Outcome::is_fault)
}

/// What work on record left in it that is kept from food and children.
fn treated(sources: &PageContext<'_>) -> Vec<String> {
    let repairs = sources.assessment.repairs.iter();
    let told = repairs.filter_map(|it| {
        let method = trade::book().method(&it.method).filter(|it| it.poison)?;
        let (no, day) = (it.no, it.day.spoken());
        Some(format!("Repair {no} of {day}: {}", method.buyer.join(" ")))
    });
    told.collect()
}

/// The groups of faults of which some lie in no place: what is on a surface, and what is a danger by itself.
const SURFACE: &str = "surface";
const SAFETY: &str = "safety";

/// The faults that say that insects live in it.
const LIVE: [&str; 2] = ["worm_active", "bed_bugs"];

/// The caution on what one person cannot lift.
const LIFT: &str = "heavy_lift";

/// Whether a part of this kind is on the list and not absent.
fn is_there(sources: &PageContext<'_>, name: &str) -> bool {
    present(sources).any(|it| it.part.as_str().starts_with(name))
}

/// The parts that are not absent.
fn present<'a>(sources: &'a PageContext<'_>) -> impl Iterator<Item = &'a PartReport> {
    let parts = sources.assessment.parts.iter();
    parts.filter(|it| !matches!(it.state, PartState::Absent(_)))
}

/// Whether a part of it is gilded, or painted with bronze paint, as far as the record tells.
fn is_gilded(sources: &PageContext<'_>) -> bool {
    has_coat(sources, &["bronze", "gilding"])
}

/// Whether the coat of some part can be none but these.
fn has_coat(sources: &PageContext<'_>, coats: &[&str]) -> bool {
    let facts = Facts::of_all(sources.assessment, trade::book());
    let mut possible = facts.values().map(|it| it.possible(Fact::Finish));
    possible.any(|it| !it.is_empty() && it.iter().all(|it| coats.contains(it)))
}

/// How one person lifts a chair. Common practice, no source.
const BY_ONE: &str =
    "Lift it by the seat frame, not by its back or arms; do not drag it on its legs.";

/// Up to this width one person carries a seat, mm. Common practice, no source.
const ONE_SEAT: f64 = 800.0;

/// Whether it is a seat for one, as far as its size is known.
fn is_light(it: &Assessment) -> bool {
    let form = trade::book().form(&it.piece.form);
    let seat = form.is_some_and(|it| it.figure == Figure::Seat);
    seat && it.piece.size.is_some_and(|it| it.width_mm <= ONE_SEAT)
}

/// How it is lifted, in words about what it has.
fn lifting(there: impl Fn(&str) -> bool, heavy: bool, shut: bool) -> String {
    let loose = match (there("drawer-") && !shut, there("shelf") && !shut) {
        (true, true) => "Take drawers and shelves out first. ",
        (true, false) => "Take drawers out first. ",
        (false, true) => "Take shelves out first. ",
        (false, false) => "",
    };
    let edge = match there("top") {
        true => ", never by the top's edge",
        false => "",
    };
    let on = if there("leg") { " on its legs" } else { "" };
    let more = if heavy { " or more" } else { "" };
    format!("{loose}Two people{more}; lift by the body or frame{edge}; do not drag it{on}.")
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
