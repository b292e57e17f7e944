//! Assessment -> facts of a part.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::part::coat;
use crate::advise::part::context::PartContext;
use crate::advise::part::context::is_said_gone;
use crate::advise::part::context::set;
use crate::advise::part::face;
use crate::advise::part::facts::Facts;
use crate::advise::part::facts::Levels;
use crate::advise::part::span::Span;
use crate::advise::part::surface;
use crate::advise::part::surface::Kinds;
use crate::advise::part::truth::Truth;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::part_list::belongs;
use crate::assess::part_list::is_face;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::market::Worth;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::condition::Op;
use crate::trade::entry::material::CORES;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::tag::Tag;

/// Groups of faults that concern the whole of a part, wherever on it they are; others count on its face alone.
const THROUGHOUT: [&str; 2] = ["structure", "biology"];

/// The highest level, for a fault whose level nobody wrote.
const WORST: u8 = 4;

/// The level that counts: the worst, where none was written.
pub(crate) fn level(finding: &Finding) -> u8 {
    finding.level_there().unwrap_or(WORST)
}

/// The same, of a fault that a test tells: where no test of all of it is told, it counts as the worst that is none.
fn level_known(finding: &Finding, tag: Option<&Tag>) -> u8 {
    let tested = |it: &Tag| finding.level.is_none() || it.is_test(finding.level);
    let untested =
        tag.filter(|it| it.is_test(Some(WORST)) && tested(it) && finding.test_found().is_none());
    let levels = (1..WORST).rev();
    let worst = untested.and_then(|tag| { levels }.find(|it| !tag.is_test(Some(*it))));
    worst.unwrap_or_else(|| level(finding))
}

impl Facts {
    /// Of a part of the piece, with the faults of the whole piece where a rule reaches that far.
    #[must_use]
    pub fn of(it: &Assessment, part: &PartId, book: &TradeBook) -> Self {
        let kinds = Kinds::of(it, book);
        facts(it, part, kinds.kind(part), book)
    }

    /// Of every part on the list of the piece.
    #[must_use]
    pub fn of_all(it: &Assessment, book: &TradeBook) -> BTreeMap<PartId, Self> {
        let kinds = Kinds::of(it, book);
        let one = |part: &PartId| facts(it, part, kinds.kind(part), book);
        it.parts
            .iter()
            .map(|it| (it.part.clone(), one(&it.part)))
            .collect()
    }
}

/// What is known of a part of this kind.
pub(crate) fn facts(it: &Assessment, part: &PartId, kind: &str, book: &TradeBook) -> Facts {
    let about = PartContext { it, part, book };
    let mut opinions = Vec::new();
    let made = made(about, &mut opinions);
    let materials = materials(about, &mut opinions);
    let looked_at = about.looked_at();
    let coat = coat::coat(about, &materials, looked_at, &mut opinions);
    let mut words = BTreeMap::from([
        (Fact::Material, materials),
        (Fact::Core, core(about)),
        (Fact::OldPaint, old_paint(about, made)),
        (Fact::Finish, coat.now),
        (Fact::FirstFinish, coat.first),
        (Fact::OwnFinish, coat.ours),
        (Fact::Worth, worth(it, made)),
        (
            Fact::Place,
            set(surface::places(surface::shown(kind, about.book))),
        ),
        (Fact::Wood, wood(about)),
        (Fact::Fittings, fittings(about, kind)),
    ]);
    let market = &it.piece.market;
    // A wish that is not told is none; for whom it is meant is not known until it is told.
    let wish = market.wish.map_or("none", |it| it.word());
    words.insert(Fact::Wish, set(&[wish]));
    let meant = market.meant_for.map(|it| set(&[it.word()]));
    words.insert(
        Fact::MeantFor,
        meant.unwrap_or_else(|| set(&["child", "anybody"])),
    );
    let is_covered = surface::is_covered(it, part, book);
    let yes = |it: bool| set(&[if it { "yes" } else { "no" }]);
    words.insert(Fact::Hangs, yes(it.hangs));
    words.insert(Fact::Covered, yes(is_covered));
    let mut facts = Facts {
        part: part.clone(),
        looked_at,
        material_look: about.report().and_then(|it| it.material.look.clone()),
        words,
        face: thickness(about, &mut opinions),
        made,
        here: levels(about, Some(part)),
        anywhere: levels(about, None),
        opinions,
        cues: cues(about),
        is_covered,
    };
    let lead = facts.lead().word();
    facts.words.insert(Fact::Lead, set(&[lead]));
    facts
}

/// When it was made, as far as clues bound it. What its owner takes for ordinary is, in our opinion, later than what is kept for
/// its age, unless a clue says otherwise.
fn made(about: PartContext<'_>, opinions: &mut Vec<String>) -> Span {
    let it = about.it;
    let told = Span {
        from: it.made.from.map_or(f64::NEG_INFINITY, f64::from),
        to: it.made.to.map_or(f64::INFINITY, f64::from),
    };
    let open = told.compares(Op::Less, EARLY) == Truth::Open;
    if !(open && it.piece.market.worth == Some(Worth::Ordinary)) {
        return told;
    }
    let label = about.report().map_or("", |it| it.label.as_str());
    opinions.push(format!(
        "{label}: taken in our opinion to be later than 1850, as you call the piece ordinary; hand-cut joints and hand-made screws would speak against it."
    ));
    Span {
        from: EARLY,
        ..told
    }
}

/// What was seen on it. What was seen of a face says nothing of one that was laid since.
fn cues(about: PartContext<'_>) -> BTreeSet<String> {
    let laid = face::laid(about);
    let still = about.on_it().filter(|it| {
        let of_face = is_face(&it.part, about.part);
        !of_face || laid.is_none_or(|day| it.day > day)
    });
    still.map(|it| it.cue.clone()).collect()
}

/// What it may be made of; anything when nothing is known. What others of its kind make likely counts, as an opinion.
fn materials(about: PartContext<'_>, opinions: &mut Vec<String>) -> BTreeSet<String> {
    let material = about.report().map(|it| &it.material);
    if let Some(class) = material.and_then(|it| it.settled.clone()) {
        return BTreeSet::from([class]);
    }
    if let Some(likely) = material.and_then(|it| it.likely.as_ref()) {
        opinions.push(likely.text.clone());
        return set(&[&likely.class]);
    }
    let possible = material.map(|it| it.possible.clone()).unwrap_or_default();
    if possible.is_empty() {
        let named = about.book.cues.iter().filter_map(|it| it.supports.clone());
        return named.collect();
    }
    possible.into_iter().collect()
}

/// How thick its face wood is; of a face that is likely like others and was not measured, as thin as the thinnest of those.
fn thickness(about: PartContext<'_>, opinions: &mut Vec<String>) -> Span {
    let own = face::face(about);
    let likely = about.report().and_then(|it| it.material.likely.as_ref());
    let Some(likely) = likely.filter(|_| !face::is_told(about)) else {
        return own;
    };
    let others = likely.like.iter().map(|part| PartContext { part, ..about });
    let told = others.filter(|it| face::is_told(*it)).map(face::face);
    let Some(thinnest) = told.reduce(Span::lower).filter(|it| it.from > 0.0) else {
        return own;
    };
    let label = about.report().map_or("", |it| it.label.as_str());
    opinions.push(format!(
        "{label}: its face wood is taken in our opinion to be {} mm, the thinnest of those like it; measure it before it is sanded.",
        thinnest.from
    ));
    thinnest
}

/// What may lie below its face; of a face of solid wood, the same wood.
fn core(about: PartContext<'_>) -> BTreeSet<String> {
    let material = about.report().map(|it| &it.material);
    let known = material.and_then(|it| it.core.clone());
    known.map_or_else(|| set(&CORES), |it| set(&[&it]))
}

/// Whether paint on it may be old enough to hold lead. Where no law is known, or no time of making, any paint may, but what is
/// told to be new.
fn old_paint(about: PartContext<'_>, made: Span) -> BTreeSet<String> {
    let before = about.it.lead_before.map(f64::from);
    if is_new_paint(about) {
        return set(&["ruled_out"]);
    }
    match before.map_or(Truth::Yes, |year| made.compares(Op::Less, year)) {
        Truth::Yes | Truth::Open => set(&["possible"]),
        Truth::No => set(&["ruled_out"]),
    }
}

/// Whether its paint is told to be new, and nothing speaks of older paint there.
fn is_new_paint(about: PartContext<'_>) -> bool {
    let seen = |cue: &str| about.on_face().any(|it| it.cue == cue);
    let told = |it: &&Finding| it.was_there() && about.is_on_face(it);
    let mut findings = about.it.findings.iter().filter(told);
    let older = findings.any(|it| it.tag == "overpaint" || it.tag == "lead_paint");
    seen("fin_paint_new") && !seen("fin_paint") && !older
}

/// What it may be worth. A piece that a clue puts later than the rules' 1850 counts as fine only when its owner says so.
fn worth(it: &Assessment, made: Span) -> BTreeSet<String> {
    match it.piece.market.worth {
        Some(told) => set(&[told.word()]),
        None if made.from >= EARLY => set(&["good", "ordinary"]),
        None => set(&["fine", "good", "ordinary"]),
    }
}

/// Before about this year an old surface is much of the worth of a piece (common practice, no source).
const EARLY: f64 = 1850.0;

/// Whether its wood bleeds colour through paint, by what the wood was said to look like.
fn wood(about: PartContext<'_>) -> BTreeSet<String> {
    let named = about.on_face().filter(|it| it.cue == "looks_like_wood");
    let bleeds = |name: &str| about.book.wood(name).map(|it| it.bleeds);
    let told: Vec<Option<bool>> = named.map(|it| bleeds(&it.which)).collect();
    if told.contains(&Some(true)) {
        return set(&["bleeds"]);
    }
    match told.is_empty() || told.contains(&None) {
        true => set(&["bleeds", "calm"]),
        false => set(&["calm"]),
    }
}

/// Whether its fittings are the first ones.
fn fittings(about: PartContext<'_>, kind: &str) -> BTreeSet<String> {
    if !about.book.kind(kind).is_some_and(|it| it.fittings) {
        return set(&["none"]);
    }
    let seen = |cue: &str| about.on_it().any(|it| it.cue == cue);
    let odd = about
        .it
        .findings
        .iter()
        .any(|it| it.tag == "pull_odd" && it.was_there() && belongs(&it.part, about.part));
    let later = odd || seen("hw_extra_holes") || seen("hw_shadow");
    match (seen("hw_one_set_of_holes"), later) {
        (true, false) => set(&["original"]),
        (false, true) => set(&["later"]),
        _ => set(&["later", "original"]),
    }
}

/// The fault that looking cannot rule out, and its level for a test that found none.
const LEAD: &str = "lead_paint";
const TEST_FOUND_NONE: u8 = 1;

/// Whether a danger of the coat that was handled, sealed in or said to be repaired is there still: no look found it gone, and nothing
/// on record took the coat off since it was last seen.
fn is_left_in(about: PartContext<'_>, finding: &Finding) -> bool {
    let there = finding.history.iter().rev().find(|it| it.state.is_there());
    let Some(there) = there.filter(|_| finding.state != FindingState::Withdrawn) else {
        return false;
    };
    let found_gone = finding
        .last_told()
        .is_some_and(|it| it.state == MarkState::Gone);
    let off = |it: &&Repair| {
        let method = about.book.method(&it.method);
        let bares = method.is_some_and(Method::bares);
        bares && it.day >= there.day && Worked::by(it, &about.it.findings).reaches(&finding.part)
    };
    !found_gone && !about.it.repairs.iter().any(|it| off(&it))
}

/// The highest levels of open faults, of a part or of the whole piece.
fn levels(about: PartContext<'_>, part: Option<&PartId>) -> Levels {
    let mut levels = Levels::default();
    for finding in &about.it.findings {
        let tag = about.book.tag(&finding.tag);
        let left_in = || tag.is_some_and(|it| it.in_coat || it.stays) && is_left_in(about, finding);
        if !(finding.is_to_do() || left_in()) {
            continue;
        }
        let group = tag.map_or("", |it| &it.group);
        let throughout = THROUGHOUT.contains(&group) || tag.is_some_and(|it| it.throughout);
        let counts = part.is_none_or(|part| {
            about.is_on_face(finding) || (throughout && belongs(&finding.part, part))
        });
        if counts {
            levels.add(&finding.tag, group, level_known(finding, tag));
        }
    }
    if part.is_some_and(|part| is_said_gone(about.it, LEAD, part)) && levels.tag(LEAD) == 0 {
        let group = about.book.tag(LEAD).map_or("", |it| &it.group);
        levels.add(LEAD, group, TEST_FOUND_NONE);
    }
    levels
}
