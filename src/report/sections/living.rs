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
use crate::model::ids::FindingNo;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::report::sections::lead::LeadView;
use crate::tongue::Saying;
use crate::tongue::say;
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
        let see: Option<fn(Saying) -> Saying> = match beside {
            Beside::Sections => Some(say::see_safety),
            Beside::Nothing => None,
        };
        let mut using = unsafe_now(assessment);
        if using.is_empty() {
            using.extend(by_level(sources));
        }
        using.extend(untried(sources));
        using.extend(heavy_remains(sources));
        let (alive, lead) = (alive(sources), LeadView::new(sources));
        using.extend(in_it(sources, &alive, &lead, see));
        let first = { assessment.cautions.iter() }.filter_map(|it| it.first.clone());
        using.extend(first.map(see.unwrap_or(Saying::sentence)));
        using.extend(treated(sources));
        let mut carrying = lifted(sources, beside);
        carrying.extend(packed(sources));
        if !alive.is_empty() {
            carrying.push(say::carry_insects(sources.numbers(&alive)));
        }
        let loose = lead.loose();
        if !loose.is_empty() {
            carrying.push(say::carry_lead(sources.numbers(&loose)));
        }
        carrying.extend(held(sources));
        Self {
            using: sources.all_said(&using),
            carrying: sources.all_said(&carrying),
        }
    }
}

/// How it is lifted.
fn lifted(sources: &PageContext<'_>, beside: Beside) -> Vec<Saying> {
    let cautions = &sources.assessment.cautions;
    let there = |name: &str| is_there(sources, name);
    let heavy = cautions.iter().any(|it| it.hazard == LIFT);
    match (heavy, beside) {
        (true, Beside::Sections) => vec![say::carry_heavy_see()],
        _ if is_gilded(sources) && there("mirror-frame") => vec![say::carry_gilded_frame()],
        _ if !heavy && is_light(sources.assessment) && !cautions.iter().any(|it| it.shut) => {
            vec![say::carry_by_one()]
        }
        _ => lifting(there, heavy, cautions.iter().any(|it| it.shut)),
    }
}

/// What is minded in packing.
fn packed(sources: &PageContext<'_>) -> Vec<Saying> {
    let mut lines = Vec::new();
    if is_gilded(sources) {
        lines.push(say::carry_gilding_packed());
    }
    let of_trade = sources.assessment.carry.iter();
    lines.extend(of_trade.map(|it| Saying::caution(it)));
    // What was glued or filled is weaker than what never broke, and what nobody saw since may be so.
    let weak = sources
        .findings()
        .filter(|it| it.outcome != Some(Outcome::Gone) && it.was_there() && can_be_touched(it));
    let weak: Vec<FindingNo> = weak.map(|it| it.no).collect();
    if !weak.is_empty() {
        lines.push(say::carry_press(sources.numbers(&weak)));
    }
    let lacks = &sources.assessment.counts.lacks;
    if lacks.parts + lacks.silent_parts > 0 {
        lines.push(say::carry_unexamined());
    }
    lines
}

/// What whoever comes near has to know first: the faults on which somebody may come to harm, and what lives or lies in it.
pub(in crate::report) fn dangers(sources: &PageContext<'_>) -> Vec<Saying> {
    let mut lines = unsafe_now(sources.assessment);
    lines.extend(heavy_remains(sources));
    let (alive, lead) = (alive(sources), LeadView::new(sources));
    lines.extend(in_it(sources, &alive, &lead, Some(Saying::sentence)));
    lines
}

/// Insects and lead, where they are there or may be; `see` tells where more of it stands, `None` that nothing more does.
fn in_it(
    sources: &PageContext<'_>,
    alive: &[FindingNo],
    lead: &LeadView,
    see: Option<fn(Saying) -> Saying>,
) -> Vec<Saying> {
    let insects = (!alive.is_empty()).then(|| say::insects_may_live(sources.numbers(alive)));
    let watched = sources.findings().filter(|it| is_watched(it));
    let watched: Vec<FindingNo> = watched.map(|it| it.no).collect();
    let watched = (!watched.is_empty()).then(|| say::watch_untold(sources.numbers(&watched)));
    // Where nothing stands that a reader could be sent to, all that is said of what lives in it is said here.
    let told = sources.assessment.told_first().map(|it| it.0);
    let told = told.filter(|it| see.is_none() && LIVING.contains(&it.hazard.as_str()));
    let told = told.flat_map(|it| it.lines.iter().cloned());
    insects
        .into_iter()
        .chain(watched)
        .chain(told)
        .chain(lead.using(sources, see))
        .collect()
}

/// The caution on faults on which somebody may come to harm; empty without one.
fn unsafe_now(assessment: &Assessment) -> Vec<Saying> {
    let failing = assessment.not_to_be_used().into_iter();
    failing
        .flat_map(|it| std::iter::once(say::colon(it.title.clone())).chain(it.lines.clone()))
        .collect()
}

/// What the levels say of the faults that are there, or may be.
fn by_level(sources: &PageContext<'_>) -> Vec<Saying> {
    let there = sources
        .findings()
        .filter(|it| it.outcome.is_none_or(|it| !it.is_closed() && it.is_fault()));
    let there: Vec<&Finding> = there.collect();
    let without = there.iter().filter(|it| it.level.is_none()).count();
    let failing = there.iter().filter(|it| it.level == Some(FAILING));
    let failing: Vec<FindingNo> = failing.map(|it| it.no).collect();
    let mut lines = vec![match (there.is_empty(), failing.is_empty()) {
        (true, _) => say::nothing_there(),
        (false, true) => say::failing_none(),
        (false, false) => say::failing_some(sources.numbers(&failing)),
    }];
    // What is not there is no fault that stays, and no piece that is whole.
    lines.extend(sources.assessment.not_there().filter(|_| there.is_empty()));
    if without > 0 {
        lines.push(say::levels_lack(without));
    }
    lines
}

/// Faults that came in heavy or failing and are repaired, where nobody wrote a level since.
fn untried(sources: &PageContext<'_>) -> Option<Saying> {
    let heavy = |it: &&Finding| {
        it.outcome == Some(Outcome::Repaired) && it.before.level.is_some_and(|it| it >= HEAVY)
    };
    let heavy = sources.findings().filter(heavy);
    let heavy: Vec<FindingNo> = heavy.map(|it| it.no).collect();
    (!heavy.is_empty()).then(|| say::untried(sources.numbers(&heavy)))
}

/// Faults that are said to be repaired, and of which as much remains as of a heavy or failing one.
fn heavy_remains(sources: &PageContext<'_>) -> Option<Saying> {
    let one = |it: &Finding| {
        let level = it.heavy_remains()?;
        let name = words::level(level);
        Some(say::at_level(it.no.to_string(), level, name))
    };
    let heavy: Vec<Saying> = sources.findings().filter_map(one).collect();
    (!heavy.is_empty()).then(|| say::heavy_remains(Saying::Parted(heavy)))
}

/// Faults that are there or may be, and say that insects live in it.
fn alive(sources: &PageContext<'_>) -> Vec<FindingNo> {
    let alive = sources.findings().filter(|it| {
        let may_live = LIVE.contains(&it.tag.as_str()) || is_watched(it);
        may_live && !it.outcome.is_some_and(Outcome::is_closed)
    });
    alive.map(|it| it.no).collect()
}

/// Whether it was watched for what may live in it, and nobody told what that showed.
fn is_watched(it: &Finding) -> bool {
    it.is_watch_untold() && !it.outcome.is_some_and(Outcome::is_closed)
}

/// Whether it is a place on the piece that packing can press or rub: not a smell, nor how a lid moves, nor what a test tells.
fn can_be_touched(it: &Finding) -> bool {
    let tag = trade::book().tag(&it.tag);
    let of_place = tag.is_none_or(|tag| {
        let smell = tag.affects.contains(&Affects::Hygiene) && tag.group == SURFACE;
        let moves = tag.group == SAFETY;
        !smell && !moves
    });
    of_place && it.test_found().is_none() && it.outcome.is_none_or(Outcome::is_fault)
}

/// What work on record left in it that is kept from food and children.
fn treated(sources: &PageContext<'_>) -> Vec<Saying> {
    let repairs = sources.assessment.repairs.iter();
    let told = repairs.filter_map(|it| {
        let method = trade::book().method(&it.method).filter(|it| it.poison)?;
        let lines = method.buyer.iter().map(|it| Saying::caution(it));
        let lines = Saying::Beside(lines.collect());
        Some(say::repair_poison(it.no, it.day, lines))
    });
    told.collect()
}

/// The groups of faults of which some lie in no place: what is on a surface, and what is a danger by itself.
const SURFACE: &str = "surface";
const SAFETY: &str = "safety";

/// The cautions on insects that live in it.
const LIVING: [&str; 2] = ["insects", "bed_bugs"];

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

/// Up to this width one person carries a seat, mm. Common practice, no source.
const ONE_SEAT: f64 = 800.0;

/// Whether it is a seat for one, as far as its size is known.
fn is_light(it: &Assessment) -> bool {
    let form = trade::book().form(&it.piece.form);
    let seat = form.is_some_and(|it| it.figure == Figure::Seat);
    seat && it.piece.size.is_some_and(|it| it.width_mm <= ONE_SEAT)
}

/// How it is lifted, in words about what it has. Common practice, no source.
fn lifting(there: impl Fn(&str) -> bool, heavy: bool, shut: bool) -> Vec<Saying> {
    let loose = match (there("drawer-") && !shut, there("shelf") && !shut) {
        (true, true) => Some(say::carry_loose_both()),
        (true, false) => Some(say::carry_loose_drawers()),
        (false, true) => Some(say::carry_loose_shelves()),
        (false, false) => None,
    };
    let lift = match (heavy, there("top"), there("leg")) {
        (false, false, false) => say::carry_two(),
        (false, true, false) => say::carry_two_top(),
        (false, false, true) => say::carry_two_legs(),
        (false, true, true) => say::carry_two_top_legs(),
        (true, false, false) => say::carry_more(),
        (true, true, false) => say::carry_more_top(),
        (true, false, true) => say::carry_more_legs(),
        (true, true, true) => say::carry_more_top_legs(),
    };
    loose.into_iter().chain([lift]).collect()
}

/// From which day on the last coat has had its usual time.
fn held(sources: &PageContext<'_>) -> Option<Saying> {
    let hold = sources.assessment.hold?;
    if hold.free_from.days_to(sources.order.made_on) > FORGET_DAYS {
        return None;
    }
    Some(say::last_coat(hold.coated, hold.free_from))
}
