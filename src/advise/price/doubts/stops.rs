//! Reasons not to buy, to buy only for the parts, or to ask before paying.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::LeftAlone;
use crate::advise::part::facts::Facts;
use crate::advise::part::surface::Kinds;
use crate::advise::part::truth::Truth;
use crate::advise::price::doubts::lead::is_found;
use crate::advise::price::doubts::lead::lead_not_tested;
use crate::advise::price::doubts::questions::AllFacts;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::options::Way;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::is_failing;
use crate::kit::money::Money;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::market::MeantFor;
use crate::model::market::SoldAs;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::offer::Stop;
use crate::trade::entry::offer::StopRule;
use crate::trade::entry::path::Leaves;

/// A door is at least so wide and so high, mm; a flight of stairs turns with so long a piece. Common practice, no source.
const DOOR_MM: [f64; 2] = [740.0, 1950.0];
const STAIRS_MM: f64 = 2100.0;

/// Forms with more show surface than this are large when nobody measured them, m2.
const LARGE_M2: f64 = 2.6;

/// The rule on what may be two pieces put together.
pub(in crate::advise) const MARRIAGE: &str = "marriage";

/// The rules on what is asked: more than it is worth to us, more than leaves the margin.
pub(in crate::advise) const ASKS_TOO_MUCH: &str = "asks_too_much";
pub(in crate::advise) const ASKS_INTO_MARGIN: &str = "asks_into_margin";

/// The rule on a plan that leaves what may harm somebody, and that on what was not seen.
pub(in crate::advise) const UNSAFE_LEFT: &str = "unsafe_left";
pub(in crate::advise) const NOT_SHOWN: &str = "not_shown";

/// The rule on paint of which nobody knows whether it holds lead.
const LEAD_AND_CHILD: &str = "lead_and_child";

/// The observation that speaks for it, and those that speak with it and not alone. Common practice, no source.
const TWO_PIECES: &str = "two_backs_differ";
const WITH_IT: [&str; 2] = ["screw_cross", "hw_extra_holes"];

/// A reason to stop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stopped {
    /// The rule.
    pub id: String,
    /// What it says.
    pub stop: Stop,
    /// What is so.
    pub what: String,
    /// Why that is a reason.
    pub why: String,
    /// When it is none.
    pub unless: String,
    /// The parts, by label; empty for the whole piece.
    pub parts: Vec<String>,
    /// The parts, by label, on which the rule was found to hold.
    #[serde(skip)]
    pub found_on: Vec<String>,
}

/// The reasons to stop, the strongest first, for a way of refinishing and its open questions.
#[must_use]
pub fn stops(need: &PlanInput<'_>, way: &Way, asked: &[Asked], facts: &AllFacts) -> Vec<Stopped> {
    let sold_as = need.it.piece.market.sold_as.map(SoldAs::word);
    let rules = need.book.offer.stops.iter();
    let rules = rules.filter(|it| it.met_by.is_none() || it.met_by.as_deref() != sold_as);
    let mut found: Vec<Stopped> = rules
        .filter_map(|rule| {
            if rule.when.is_empty() {
                known_by_id(need, asked, &rule.id).then(|| Stopped {
                    what: what(need, rule, asked),
                    ..stopped(rule, rule.stop, Vec::new())
                })
            } else {
                let found = by_facts(need, way, facts, rule)?;
                // Of the same parts as the question, so that the two never differ.
                let untested = lead_not_tested(need, facts).filter(|_| rule.id == LEAD_AND_CHILD);
                let parts = untested.unwrap_or_else(|| found.parts.clone());
                let what = match rule.id == LEAD_AND_CHILD {
                    true => what(need, rule, asked),
                    false => found.what.clone(),
                };
                Some(Stopped {
                    what,
                    parts,
                    ..found
                })
            }
        })
        .collect();
    for rule in &need.book.offer.stops {
        fold(&mut found, rule);
    }
    found.sort_by_key(|it| it.stop);
    found
}

/// Where a reason stands that says others too, they go, and their parts become its own. One that only asks says no more than
/// they do, and folds none that is stronger.
fn fold(found: &mut Vec<Stopped>, rule: &StopRule) {
    let Some(at) = found.iter().position(|it| it.id == rule.id) else {
        return;
    };
    let stop = found[at].stop;
    let is_said = |it: &Stopped| rule.instead_of.contains(&it.id) && it.stop >= stop;
    let said: Vec<Stopped> = found.iter().filter(|it| is_said(it)).cloned().collect();
    let parts = &mut found[at].parts;
    for part in said.into_iter().flat_map(|it| it.parts) {
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    found.retain(|it| !is_said(it));
}

/// What a rule says; of one on two pieces, all that speaks for it; of one on what was not shown, which of it that is.
fn what(need: &PlanInput<'_>, rule: &StopRule, asked: &[Asked]) -> String {
    if rule.id == MARRIAGE {
        return format!(
            "{}: {}.",
            rule.what.trim_end_matches('.'),
            two_pieces(need).join(", ")
        );
    }
    if rule.id == LEAD_AND_CHILD && is_found(need.it) {
        return "Paint that was not tested; lead was found elsewhere on the piece.".to_owned();
    }
    let unseen = asked.iter().filter_map(|it| it.id.unseen());
    let unseen: Vec<&str> = unseen.collect();
    if rule.id != NOT_SHOWN || unseen.is_empty() {
        return rule.what.clone();
    }
    format!("Not seen yet: {}.", unseen.join(", "))
}

/// More is asked than the piece is worth to us, or than leaves the margin where the hours would be paid; said once the offers
/// are known.
#[must_use]
pub fn asks_too_much(
    need: &PlanInput<'_>,
    asks: Money,
    by_margin: Money,
    by_hours: Money,
) -> Option<Stopped> {
    let id = match asks.minor > by_hours.minor {
        true => ASKS_TOO_MUCH,
        false if asks.minor > by_margin.minor => ASKS_INTO_MARGIN,
        // Something else holds the offer down, and is said.
        false => return None,
    };
    let mut rules = need.book.offer.stops.iter();
    let rule = rules.find(|it| it.id == id)?;
    Some(stopped(rule, rule.stop, Vec::new()))
}

/// A plan leaves a fault on which somebody may come to harm.
#[must_use]
pub fn unsafe_left(need: &PlanInput<'_>, plan: &Plan) -> Option<Stopped> {
    let parts = harmful(need, &plan.left);
    let mut rules = need.book.offer.stops.iter();
    let rule = rules.find(|it| it.id == UNSAFE_LEFT && !parts.is_empty())?;
    Some(stopped(rule, rule.stop, parts))
}

/// The parts, by label, with a fault that is left and on which somebody may come to harm.
pub(in crate::advise) fn harmful(need: &PlanInput<'_>, left: &[LeftAlone]) -> Vec<String> {
    let kinds = Kinds::of(need.it, need.book);
    let left = |it: &&Finding| left.iter().any(|line| line.finding == it.no);
    let found = need.it.findings.iter().filter(left);
    let harms = found.filter(|it| is_failing(it, kinds.kind(&it.part), need.book));
    let mut parts: Vec<String> = harms.map(|it| it.part_label.clone()).collect();
    parts.dedup();
    parts
}

/// What was observed that speaks for two pieces, with its part; empty unless one thing does so by itself.
fn two_pieces(need: &PlanInput<'_>) -> Vec<String> {
    let marks = need.it.photos.iter().flat_map(|it| &it.sidecar.marks);
    let there: Vec<&Mark> = marks.filter(|it| it.state.is_there()).collect();
    let seen = |cue: &str| there.iter().find(|it| it.tag.as_deref() == Some(cue));
    if seen(TWO_PIECES).is_none() {
        return Vec::new();
    }
    let all = std::iter::once(TWO_PIECES).chain(WITH_IT);
    let said = all.filter_map(|cue| {
        let (mark, cue) = (seen(cue)?, need.book.cue(cue)?);
        let mut parts = need.it.parts.iter();
        let on = parts.find(|it| Some(&it.part) == mark.part.as_ref());
        let on = on.map_or_else(String::new, |it| format!(" ({})", it.label.to_lowercase()));
        Some(format!("{}{on}", lower_first(&cue.term)))
    });
    said.collect()
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(letters).collect()
}

fn stopped(rule: &StopRule, stop: Stop, parts: Vec<String>) -> Stopped {
    Stopped {
        id: rule.id.clone(),
        stop,
        what: rule.what.clone(),
        why: rule.why.clone(),
        unless: rule.unless.clone(),
        found_on: parts.clone(),
        parts,
    }
}

/// Where a rule holds.
fn by_facts(need: &PlanInput<'_>, way: &Way, facts: &AllFacts, rule: &StopRule) -> Option<Stopped> {
    let kinds = &need.it.kinds;
    let counts = |part: &PartId| {
        let kind = kinds.get(part).map_or("", String::as_str);
        let whole = kinds.get(&part.whole()).map_or("", String::as_str);
        let of = |kind: &str| rule.kinds.iter().any(|it| it == kind);
        rule.kinds.is_empty() || of(kind) || of(whole)
    };
    let spared = |part: &PartId| rule.id == "veneer_gone" && is_painted(need, way, part);
    let mut sure = BTreeSet::new();
    let mut unsure = BTreeSet::new();
    for (part, facts) in facts.iter().filter(|it| counts(it.0) && !spared(it.0)) {
        match holds(facts, &rule.when) {
            Truth::Yes => {
                sure.insert(part.whole());
            }
            Truth::Open => {
                unsure.insert(part.whole());
            }
            Truth::No => {}
        }
    }
    unsure.retain(|it| !sure.contains(it));
    let labels = |parts: &BTreeSet<PartId>| {
        let of = need.it.parts.iter().filter(|it| parts.contains(&it.part));
        of.map(|it| it.label.clone()).collect()
    };
    if sure.len() >= rule.places {
        return Some(stopped(rule, rule.stop, labels(&sure)));
    }
    let both: BTreeSet<PartId> = sure.union(&unsure).cloned().collect();
    (both.len() >= rule.places && !unsure.is_empty()).then(|| {
        let found = stopped(rule, Stop::Ask, labels(&both));
        let may_be_else = |it: &PartId| facts.get(it).is_some_and(|it| hangs_on_stuff(it, rule));
        match sure.is_empty() && unsure.iter().any(may_be_else) {
            true => Stopped {
                what: format!("Perhaps {}", lower_first(&found.what)),
                ..found
            },
            false => found,
        }
    })
}

/// Whether it hangs on what a part is made of, which is not known, that a rule holds there: what it says may not be so at all.
fn hangs_on_stuff(facts: &Facts, rule: &StopRule) -> bool {
    let is_of_stuff = |it: &Condition| {
        let fact = Fact::Material;
        matches!(it, Condition::Is { fact: of, .. } if *of == fact)
    };
    let mut lines = rule.when.iter().filter(|it| it.iter().any(is_of_stuff));
    lines.any(|line| facts.holds(std::slice::from_ref(line)) == Truth::Open)
}

/// Whether the faults and observations of a rule are on record, and all else is so (yes) or may be (open). What nobody looked for is no
/// reason to stop: that is what the open questions are for. What the owner did not tell of its
/// worth counts as the worse case; for whom it is meant is asked.
fn holds(facts: &Facts, when: &[Vec<Condition>]) -> Truth {
    let mut all = Truth::Yes;
    for line in when {
        let answer = facts.holds(std::slice::from_ref(line));
        let about_finds = line.iter().any(|it| {
            use Condition::{Cue, Fault, Group};
            matches!(it, Fault { .. } | Group { .. } | Cue { .. })
        });
        let of_owner = line.iter().all(|it| {
            matches!(
                it,
                Condition::Is {
                    fact: Fact::Worth,
                    ..
                }
            )
        });
        let answer = match answer {
            Truth::Open if about_finds => Truth::No,
            Truth::Open if of_owner => Truth::Yes,
            other => other,
        };
        all = all.and(answer);
    }
    all
}

fn is_painted(need: &PlanInput<'_>, way: &Way, part: &PartId) -> bool {
    let choice = way.choice();
    let paths = &choice.paths;
    let path = paths.get(part).or_else(|| paths.get(&part.whole()));
    let path = path.and_then(|it| need.book.path(it));
    path.is_some_and(|it| it.leaves == Leaves::Paint)
}

/// Rules that the program itself knows.
fn known_by_id(need: &PlanInput<'_>, asked: &[Asked], id: &str) -> bool {
    match id {
        "crib" => is_crib(need),
        "preservative_and_child" => is_poisoned(need) && for_child(need),
        "too_big" => is_too_big(need),
        NOT_SHOWN => asked.iter().any(|it| it.id.unseen().is_some()),
        MARRIAGE => !two_pieces(need).is_empty(),
        // Whether too much is asked is said once the offers are known.
        _ => false,
    }
}

/// The book has no form for cots: the title tells, or a bed that is meant for a child.
fn is_crib(need: &PlanInput<'_>) -> bool {
    let piece = &need.it.piece;
    let title = piece.title.to_lowercase();
    let mut words = title.split(|c: char| !c.is_alphabetic());
    let is_bed = piece.form == "bed";
    words.any(|it| ["crib", "cot"].contains(&it)) || (is_bed && for_child(need))
}

fn for_child(need: &PlanInput<'_>) -> bool {
    need.it.piece.market.meant_for == Some(MeantFor::Child)
}

/// Whether work on record left something in it that is kept from children.
fn is_poisoned(need: &PlanInput<'_>) -> bool {
    let mut done = need.it.repairs.iter();
    done.any(|it| need.book.method(&it.method).is_some_and(|it| it.poison))
}

fn is_too_big(need: &PlanInput<'_>) -> bool {
    let piece = &need.it.piece;
    let Some(size) = piece.size else {
        let mut surfaces = need.book.offer.surfaces.iter();
        return surfaces.any(|it| it.form == piece.form && it.m2 > LARGE_M2);
    };
    let mut sides = [size.height_mm, size.width_mm, size.depth_mm];
    sides.sort_by(f64::total_cmp);
    let [small, middle, long] = sides;
    small > DOOR_MM[0] || middle > DOOR_MM[1] || long > STAIRS_MM
}
