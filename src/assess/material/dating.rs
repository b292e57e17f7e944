//! When a piece was made, as far as clues on parts that seem to be its first ones bound it.

use std::collections::BTreeSet;

use crate::assess::claims::cited::cited;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::material::clue::Clue;
use crate::assess::material::clue::Made;
use crate::assess::material::clue::Observation;
use crate::assess::part_list::PartList;
use crate::assess::part_list::belongs;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::cue::Cue;
use crate::trade::entry::repair::method::Phase;

/// What the time of making is judged by.
pub(crate) struct Dating<'a> {
    pub(crate) book: &'a TradeBook,
    pub(crate) list: &'a PartList,
    pub(crate) findings: &'a [Finding],
    pub(crate) repairs: &'a [Repair],
    pub(crate) observations: &'a [Observation],
}

/// Why a clue does not count.
type Why = fn() -> Saying;

/// Faults that say that a part is not the first one, from this level on, and why a clue on it does not count
/// (common practice, no source).
pub(crate) const LATER: [(&str, u8, Why); 3] = [
    ("pull_odd", 1, say::aside_fittings),
    ("drawer_swapped", 2, say::aside_drawer),
    ("bad_repair", 1, say::aside_repaired),
];

/// Faults that, once repaired, mean a new part.
const MISSING: [&str; 2] = ["part_missing", "pull_missing"];

/// Observations that speak against the fittings of a part.
const CHANGED_FITTINGS: [&str; 2] = ["hw_extra_holes", "hw_shadow"];

/// Observations that put in doubt what else is seen on the same part, and why.
const IN_DOUBT: [(&str, Why); 2] = [
    ("old_repair_sound", say::aside_old_repair),
    ("two_backs_differ", say::aside_two_parts),
];

/// Groups of observations that any mending may bring in.
const BROUGHT_IN: [&str; 2] = ["glue", "hardware"];

/// Cues that date nothing without another clue as late as they are: what repairs are made with (common practice, no source).
const NEVER_ALONE: [&str; 1] = ["screw_cross"];

/// When the piece was made; empty when there is no clue.
pub(crate) fn made(it: &Dating<'_>) -> Made {
    let mut seen: Vec<Dated<'_>> = it
        .observations
        .iter()
        .filter_map(|seen| it.dated(seen))
        .collect();
    set_aside_lone_ones(&mut seen);
    set_aside_weak_ones(&mut seen);
    let counted: Vec<&Clue> = seen
        .iter()
        .map(|it| &it.clue)
        .filter(|it| it.aside.is_none())
        .collect();
    let from = counted.iter().filter_map(|it| it.from).max();
    let to = counted.iter().filter_map(|it| it.to).min();
    let against = from.zip(to).filter(|(from, to)| from >= to);
    let text = match (against, seen.is_empty()) {
        (_, true) => Saying::nothing(),
        (Some((from, to)), _) => contradiction(&counted, from, to),
        (None, _) => range(&counted, from, to),
    };
    let (from, to) = match against {
        Some(_) => (None, None),
        None => (from, to),
    };
    Made {
        from,
        to,
        text,
        clues: seen.into_iter().map(|it| it.clue).collect(),
    }
}

/// A clue with its entry in the trade book.
struct Dated<'a> {
    cue: &'a Cue,
    clue: Clue,
}

impl<'a> Dating<'a> {
    fn dated(&self, seen: &Observation) -> Option<Dated<'a>> {
        let cue = self.book.cue(&seen.cue)?;
        if cue.not_before.is_none() && cue.not_after.is_none() {
            return None;
        }
        let clue = Clue {
            part: seen.part.clone(),
            part_label: self.list.label(&seen.part),
            term: cue.term.clone(),
            from: cue.not_before,
            to: cue.not_after,
            at: seen.at,
            aside: self.aside(seen, cue),
        };
        Some(Dated { cue, clue })
    }

    /// Why what is seen on a part says nothing of the piece.
    fn aside(&self, seen: &Observation, cue: &Cue) -> Option<Saying> {
        let faults = self
            .findings
            .iter()
            .filter_map(|it| later(it, &seen.part, cue));
        let cues = self
            .observations
            .iter()
            .filter_map(|it| in_doubt(it, &seen.part, cue));
        let work = self
            .repairs
            .iter()
            .filter_map(|it| self.by_work(it, seen, cue));
        faults.chain(cues).chain(work).next()
    }

    /// Whether it came with a repair of that part: what was seen before it did not.
    fn by_work(&self, repair: &Repair, seen: &Observation, cue: &Cue) -> Option<Saying> {
        let of_part = Worked::by(repair, self.findings).reaches(&seen.part);
        if !of_part || seen.day < repair.day {
            return None;
        }
        let method = self.book.method(&repair.method);
        let phase = method.map(|it| it.phase);
        let mends = matches!(phase, Some(Phase::Structure | Phase::Refit));
        let new = method.is_some_and(|it| it.replaces);
        let brought = mends && BROUGHT_IN.contains(&cue.group.as_str());
        (new || brought).then(|| say::aside_work(repair.day))
    }
}

/// Why a fault says that the clue's part, or the fittings on it, are not the first ones.
fn later(fault: &Finding, part: &PartId, cue: &Cue) -> Option<Saying> {
    let on_it = belongs(part, &fault.part);
    let fittings = cue.group == "hardware" && fault.part.whole() == part.whole();
    if MISSING.contains(&fault.tag.as_str()) {
        let new = [FindingState::Repaired, FindingState::RepairUnseen].contains(&fault.state);
        return (new && on_it).then(say::aside_new);
    }
    let (tag, from, why) = LATER.iter().find(|it| it.0 == fault.tag)?;
    let counts = fault.level.is_none_or(|it| it >= *from) && fault.was_there();
    let reaches = match *tag {
        "pull_odd" => fittings || (on_it && fault.part.is_inner()),
        _ => on_it,
    };
    (counts && reaches).then(why)
}

/// Why another observation puts a clue in doubt.
fn in_doubt(other: &Observation, part: &PartId, cue: &Cue) -> Option<Saying> {
    if CHANGED_FITTINGS.contains(&other.cue.as_str()) {
        let fittings = cue.group == "hardware" && other.part.whole() == part.whole();
        return fittings.then(say::aside_changed);
    }
    let (_, why) = IN_DOUBT.iter().find(|it| it.0 == other.cue)?;
    belongs(part, &other.part).then(why)
}

/// What repairs are made with counts only beside another kind of clue as late.
fn set_aside_lone_ones(seen: &mut [Dated<'_>]) {
    let lone = |it: &Dated<'_>| NEVER_ALONE.contains(&it.cue.id.as_str());
    let others = seen
        .iter()
        .filter(|it| !lone(it) && it.clue.aside.is_none());
    let latest = others.filter_map(|it| it.clue.from).max();
    for it in seen
        .iter_mut()
        .filter(|it| lone(it) && it.clue.aside.is_none())
    {
        if latest.is_none_or(|year| it.clue.from.is_some_and(|from| year < from)) {
            it.clue.aside = Some(say::aside_repairs());
        }
    }
}

/// A weak sign gives way to a stronger one that it contradicts.
fn set_aside_weak_ones(seen: &mut [Dated<'_>]) {
    let strong = seen
        .iter()
        .filter(|it| it.cue.weight > 1 && it.clue.aside.is_none());
    let bounds: Vec<_> = strong.map(|it| (it.clue.from, it.clue.to)).collect();
    let after = |from: Option<i16>, to: Option<i16>| from.zip(to).is_some_and(|(a, b)| a >= b);
    for it in seen
        .iter_mut()
        .filter(|it| it.cue.weight <= 1 && it.clue.aside.is_none())
    {
        let (from, to) = (it.clue.from, it.clue.to);
        if bounds.iter().any(|it| after(from, it.1) || after(it.0, to)) {
            it.clue.aside = Some(say::aside_weak());
        }
    }
}

/// The range, as an opinion.
fn range(counted: &[&Clue], from: Option<i16>, to: Option<i16>) -> Saying {
    let bounds = match (from, to) {
        (Some(from), Some(to)) => say::made_between(year(from), year(to)),
        (Some(from), None) => say::made_after(year(from)),
        (None, Some(to)) => say::made_before(year(to)),
        (None, None) => return say::made_open(),
    };
    let binds =
        |it: &&&Clue| (it.from.is_some() && it.from == from) || (it.to.is_some() && it.to == to);
    let by = listed(counted.iter().filter(binds).copied());
    let told = std::iter::once(say::made_opinion(bounds, by));
    Saying::Beside(told.chain(lone_late(counted, from)).collect())
}

/// A year as it is printed, with no mark between its thousands.
fn year(it: i16) -> String {
    it.to_string()
}

/// What to say when the earliest year rests on one part, and the others say less.
fn lone_late(counted: &[&Clue], from: Option<i16>) -> Option<Saying> {
    let from = from?;
    let part = one_part(counted.iter().filter(|it| it.from == Some(from)))?;
    let others = counted
        .iter()
        .filter(|it| it.part.whole() != part.part.whole());
    let next = others.clone().filter_map(|it| it.from).max();
    others.clone().next()?;
    let without = match next {
        Some(next) => say::made_others_after(year(next)),
        None => say::made_others_silent(),
    };
    Some(say::made_one_part(Saying::part(&part.part_label), without))
}

/// What to say when clues contradict one another.
fn contradiction(counted: &[&Clue], from: i16, to: i16) -> Saying {
    let late = counted
        .iter()
        .filter(|it| it.from.is_some_and(|it| it >= to));
    let early = counted
        .iter()
        .filter(|it| it.to.is_some_and(|it| it <= from));
    let either = match one_part(late.clone()) {
        Some(part) => say::either_one(Saying::part(&part.part_label)),
        None => say::either_parts(),
    };
    let (late, early) = (listed(late.copied()), listed(early.copied()));
    say::made_against(year(from), late, year(to), early, either)
}

/// A clue of the only part on which these are.
fn one_part<'a>(clues: impl Iterator<Item = &'a &'a Clue> + Clone) -> Option<&'a Clue> {
    let wholes: BTreeSet<PartId> = clues.clone().map(|it| it.part.whole()).collect();
    let mut clues = clues;
    clues.next().copied().filter(|_| wholes.len() == 1)
}

fn listed<'a>(clues: impl Iterator<Item = &'a Clue>) -> Saying {
    cited(clues.map(|it| (it.term.as_str(), it.at.photo)))
}
