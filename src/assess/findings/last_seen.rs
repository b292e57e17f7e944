//! When a fault was last seen, and the looks since that do not say what became of it.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::did::Did;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::finding::Treated;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::sighting::Sighting;
use crate::assess::findings::silent_look::QuietLook;
use crate::assess::findings::silent_look::SilentLook;
use crate::assess::places::sight::LiesWhole;
use crate::assess::places::sight::Sight;
use crate::kit::clock::Day;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;

/// How a fault is more after the piece had left than before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoreSinceLeft {
    /// There, after it was repaired or gone.
    Again,
    /// There before, and worse.
    Worse,
}

/// Which silence it is that a fault was last seen there, and not seen since.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unseen {
    /// Nobody looked, as somebody wrote.
    NotExamined,
    /// Nobody said anything of it.
    NothingSaid,
    /// The picture cannot show it.
    NotToBeTold,
    /// Somebody looked and did not find it; that is too little to say that it is gone.
    LookedFor,
    /// Somebody wrote that it is repaired; nothing on record bears that.
    SaidRepaired,
}

impl Unseen {
    fn words(self, numbers: String) -> Saying {
        match self {
            Self::NotExamined => say::unseen_not_examined(numbers),
            Self::NothingSaid => say::unseen_nothing_said(numbers),
            Self::NotToBeTold => say::unseen_not_to_be_told(numbers),
            Self::LookedFor => say::unseen_looked_for(numbers),
            Self::SaidRepaired => say::unseen_said_repaired(numbers),
        }
    }
}

/// The heading over findings of which the same became: `Last seen there, not seen since (F1 not examined; F3, F4 nothing said)`; over
/// what is there, which of it one look alone saw: `Still there (F2 seen once)`.
#[must_use]
pub fn heading(outcome: Outcome, findings: &[&Finding]) -> Saying {
    let mut silences: BTreeMap<Unseen, Vec<String>> = BTreeMap::new();
    for (it, of) in findings.iter().filter_map(|it| Some((it, it.unseen()?))) {
        silences.entry(of).or_default().push(it.no.to_string());
    }
    let each = silences
        .into_iter()
        .map(|(of, all)| of.words(all.join(", ")));
    let once: Vec<String> = { findings.iter() }
        .filter(|it| it.rests_on_one_look())
        .map(|it| it.no.to_string())
        .collect();
    let once = (!once.is_empty()).then(|| say::some_seen_once(once.join(", ")));
    let each: Vec<Saying> = each.chain(once).collect();
    let words = outcome.words();
    match each.is_empty() {
        true => say::group_alone(words),
        false => say::group_with(words, Saying::Parted(each)),
    }
}

impl Finding {
    /// The newest look that says whether it is there, repaired or gone.
    #[must_use]
    pub fn last_told(&self) -> Option<&Sighting> {
        last_told(&self.history)
    }

    /// The only look that tells of it, where that saw it there and says nothing of a change: none before or since saw it.
    #[must_use]
    pub fn seen_once(&self) -> Option<&Sighting> {
        let mut looks = self.history.iter().filter(|it| it.state.tells());
        let first = looks.next()?;
        let is_once = first.state == MarkState::Present && looks.next().is_none();
        is_once.then_some(first)
    }

    /// Whether that it is still there would rest on one look.
    #[must_use]
    pub fn rests_on_one_look(&self) -> bool {
        let is_open = self.outcome == Some(Outcome::Open) && self.still_after.is_none();
        is_open && self.seen_once().is_some()
    }

    /// `still there`, or what else became of it; `seen once, 27 September 2026` where that it is still there would rest on one look.
    #[must_use]
    pub fn standing(&self) -> Saying {
        let once = self.seen_once().filter(|_| self.rests_on_one_look());
        match (self.outcome, once) {
            (_, Some(look)) => say::seen_once(look.day),
            (Some(outcome), _) => outcome.words(),
            (None, _) => say::no_longer_marked(),
        }
    }

    /// Of a fault that is there: the last look before that showed it repaired or gone.
    #[must_use]
    pub fn cured_once(&self) -> Option<&Sighting> {
        let mut newest_first = since_known(&self.history).iter().rev();
        newest_first.find(|it| matches!(it.state, MarkState::Repaired | MarkState::Gone))
    }

    /// The last look at it when that shows it repaired or gone; `None` when it was last seen there.
    #[must_use]
    pub fn seen_cured(&self) -> Option<&Sighting> {
        let newest_first = since_known(&self.history).iter().rev();
        let mut since_there = newest_first.take_while(|it| !it.state.is_there());
        since_there.find(|it| matches!(it.state, MarkState::Repaired | MarkState::Gone))
    }

    /// Of a fault that was repaired or gone and is there again: the first look since that saw it there.
    #[must_use]
    pub fn there_again(&self) -> Option<&Sighting> {
        let looks = since_known(&self.history);
        let cured = { looks.iter() }.rposition(|it| it.state.tells() && !it.state.is_there())?;
        looks[cured..].iter().find(|it| it.state.is_there())
    }

    /// `1 October 2026, worse on 3 October 2026`: of a fault that is there again, the first look that saw it so, and the newest.
    #[must_use]
    pub fn again_on(&self) -> Option<Saying> {
        let (first, last) = (self.there_again()?, self.last_told()?);
        let since = first.day;
        if since == last.day {
            return Some(say::day(since));
        }
        let levels = first.level.zip(last.level).map(|(was, is)| is.cmp(&was));
        Some(match (last.state, levels) {
            (_, Some(Ordering::Greater)) => say::again_worse(since, last.day),
            (_, Some(Ordering::Less)) => say::again_less(since, last.day),
            (MarkState::Worse, _) => say::again_worse(since, last.day),
            (MarkState::Better, _) => say::again_less(since, last.day),
            _ => say::again_since(since, last.day),
        })
    }

    /// The looks without which its story is told wrongly: the first that saw it there, those at the handover, and all from the last
    /// that saw it repaired or gone.
    #[must_use]
    pub fn turns(&self) -> Vec<&Sighting> {
        let first = self.history.iter().position(|it| it.state.is_there());
        let mut looks = self.history.iter();
        let cured = looks.rposition(|it| it.state.tells() && !it.state.is_there());
        let of_turn = |at: usize, it: &Sighting| {
            Some(at) == first || it.stage == Stage::Handover || cured.is_some_and(|no| no <= at)
        };
        let looks = self.history.iter().enumerate();
        let looks = looks.filter(|(at, it)| it.state.tells() && of_turn(*at, it));
        looks.map(|(_, it)| it).collect()
    }

    /// The newest look that tells of it, and where a word that it is repaired or gone rests on nothing, the last that saw it there.
    #[must_use]
    pub fn last_seen(&self) -> Option<&Sighting> {
        match is_said_ended(self.state, &self.history) {
            true => self.history.iter().rev().find(|it| it.state.is_there()),
            false => self.last_told(),
        }
    }

    /// What the looks after the piece had left say more of it than those before: there again after it was repaired or gone when it
    /// left, a higher level, or in words that it is worse; words count, but never against a level.
    #[must_use]
    pub fn more_since_left(&self) -> Option<MoreSinceLeft> {
        let telling = { since_known(&self.history).iter() }.filter(|it| it.state.tells());
        let (after, before): (Vec<&Sighting>, Vec<&Sighting>) =
            telling.partition(|it| it.stage.after_sale());
        let [Some(now), Some(then)] = [after.last(), before.last()] else {
            return None;
        };
        // What was repaired and is heavy still was never away.
        let cured = |it: &&Sighting| !it.state.is_there() && it.level < Some(HEAVY);
        let again = cured(then) || after.iter().any(cured);
        let level = |looks: &[&Sighting]| {
            let there = looks.iter().rev().filter(|it| !cured(it));
            { there }.find_map(|it| it.level)
        };
        let said = after.iter().any(|it| it.state == MarkState::Worse);
        let more = match level(&before).zip(level(&after)) {
            Some((was, is)) => is > was || (is == was && said),
            None => said,
        };
        let how = match again {
            true => Some(MoreSinceLeft::Again),
            false => more.then_some(MoreSinceLeft::Worse),
        };
        how.filter(|_| now.state.is_there())
    }

    /// The level of what can still be seen of it, where it is said to be repaired and that level is heavy or failing.
    #[must_use]
    pub fn heavy_remains(&self) -> Option<u8> {
        let remains = self.remains.as_ref()?.level?;
        (self.outcome == Some(Outcome::Traces) && remains >= HEAVY).then_some(remains)
    }

    /// Whether it was seen there on a later day than one on which it was watched or treated.
    #[must_use]
    pub fn was_there_after_a_watch(&self) -> bool {
        let there = self.history.iter().rev().find(|it| it.state.is_there());
        let asked = |it: &&Treated| matches!(it.does, Did::Watches | Did::Treats);
        let mut asked = self.treated.iter().filter(asked);
        there.is_some_and(|there| asked.any(|it| it.day < there.day))
    }

    /// All that was written of it, in the order of time; each with its day (`2026-05-04: fresh dust`) where not all is of one day.
    #[must_use]
    pub fn told_words(&self) -> Vec<String> {
        let looks = self.history.iter().filter(|it| !it.told().is_empty());
        let days: BTreeSet<Day> = looks.clone().map(|it| it.day).collect();
        let mut told: Vec<String> = Vec::new();
        for (day, word) in looks.flat_map(|it| it.told().into_iter().map(|word| (it.day, word))) {
            let word = match days.len() > 1 {
                true => format!("{day}: {word}"),
                false => word.to_string(),
            };
            if !told.contains(&word) {
                told.push(word);
            }
        }
        told
    }

    /// Its part with which of several it is: `Top, back right corner`.
    #[must_use]
    pub fn placed(&self) -> Saying {
        let which = self.which.trim();
        let last = self.part_label.rsplit(", ").next();
        let again = last.is_some_and(|it| it.eq_ignore_ascii_case(which))
            || self.part_label.eq_ignore_ascii_case(which);
        let part = Saying::part(&self.part_label);
        match which.is_empty() || again {
            true => part,
            false => say::finding_placed(part, Saying::Own(self.which.clone())),
        }
    }

    /// The looks since, of which each says that it was not examined or cannot be told; all looks where none ever told.
    #[must_use]
    pub fn looks_since(&self) -> &[Sighting] {
        if is_said_ended(self.state, &self.history) {
            let there = self.history.iter().rposition(|it| it.state.is_there());
            return &self.history[there.map_or(0, |it| it + 1)..];
        }
        looks_since(&self.history)
    }

    /// What the newest look says of it that does not say whether it is there; `None` where that look tells, or there was none.
    #[must_use]
    pub fn unseen(&self) -> Option<Unseen> {
        let of_look = |it: &Sighting| match it.state {
            MarkState::NotExamined => Unseen::NotExamined,
            MarkState::Gone => Unseen::LookedFor,
            MarkState::Repaired => Unseen::SaidRepaired,
            _ => Unseen::NotToBeTold,
        };
        if self.outcome != Some(Outcome::NotSeenSince) {
            return None;
        }
        // A look that was made is not undone by a picture since that says nothing.
        let looked = self.looks_since().iter().rev().map(of_look);
        let looked = { looked }.find(|it| *it >= Unseen::LookedFor);
        match self.quiet_look() {
            _ if looked.is_some() => looked,
            Some(it) if it.not_examined => Some(Unseen::NotExamined),
            Some(_) => Some(Unseen::NothingSaid),
            None if self.unpictured.is_some() => Some(Unseen::NothingSaid),
            None => self.looks_since().last().map(of_look),
        }
    }

    /// `not examined on 20 May 2026; no mark of it on 30 May 2026, picture 25 is of the part`; `None` when the newest look tells.
    #[must_use]
    pub fn not_told_since(&self) -> Option<Saying> {
        let one = |it: &Sighting| match it.state {
            MarkState::NotExamined => say::not_examined_on(it.day),
            MarkState::Gone => say::nothing_seen_on(it.day),
            MarkState::Repaired => say::said_repaired_on(it.day),
            _ => say::not_told_from_pictures(it.day),
        };
        let mut looks: Vec<Saying> = self.looks_since().iter().map(one).collect();
        looks.extend(self.quiet_look().map(QuietLook::text));
        let unpictured = self
            .unpictured
            .as_ref()
            .filter(|_| self.outcome == Some(Outcome::NotSeenSince));
        looks.extend(unpictured.map(|it| it.text(&self.part_label)));
        (!looks.is_empty()).then_some(Saying::Parted(looks))
    }

    /// That the newest look at the part says nothing of it, where it counts for that as not seen since, or as repaired or gone when it
    /// was last seen.
    #[must_use]
    pub fn quiet_look(&self) -> Option<&QuietLook> {
        let told = |it: Outcome| it == Outcome::NotSeenSince || it.is_closed();
        self.quiet_since
            .as_ref()
            .filter(|_| self.outcome.is_some_and(told))
    }

    /// The newest shoot since it was last told, other than one named in [`Self::not_told_since`], that says nothing of it, though all
    /// of its place lies in one of its pictures.
    #[must_use]
    pub fn silent_since(&self) -> Option<&SilentLook> {
        let told = self.last_told().map(|it| it.day);
        let last = self.silent.last()?;
        let is_named = self.quiet_look().is_some_and(|it| it.shoot == last.shoot);
        (Some(last.lies.day()) > told && !is_named).then_some(last)
    }
}

/// Whether the newest word on a fault is that it is repaired or gone, and nothing on record bears that.
pub(crate) fn is_said_ended(state: FindingState, history: &[Sighting]) -> bool {
    state.is_open() && last_told(history).is_some_and(|it| !it.state.is_there())
}

/// The newest sighting that tells whether the fault is there, cured or gone.
pub(in crate::assess) fn last_told(history: &[Sighting]) -> Option<&Sighting> {
    history.iter().rev().find(|it| it.state.tells())
}

/// The looks from the first that says that the fault was there at some time: `gone` before that was looked for and not found.
pub(in crate::assess) fn since_known(history: &[Sighting]) -> &[Sighting] {
    let known = |it: &Sighting| it.state.is_there() || it.state == MarkState::Repaired;
    let first = history.iter().position(known);
    first.map_or(&[], |at| &history[at..])
}

/// The sightings after that one.
pub(in crate::assess) fn looks_since(history: &[Sighting]) -> &[Sighting] {
    let told = history.iter().rposition(|it| it.state.tells());
    &history[told.map_or(0, |it| it + 1)..]
}

/// The shoots after the one of rank `first` that say nothing of a fault, neither a mark nor that the part was sound, though all of
/// its place lies in one of their pictures; in the order of time.
pub(in crate::assess) fn silent(
    sights: &[Sight],
    first: usize,
    spoken: impl Fn(usize) -> bool,
) -> Vec<SilentLook> {
    let later = |it: &&Sight| it.rank > first && !spoken(it.rank);
    let later: Vec<&Sight> = sights.iter().filter(later).collect();
    let of_shoot = |its: &[&Sight]| {
        let whole = its.iter().filter_map(|it| Some((*it, *it.whole()?)));
        let larger = |a: (_, LiesWhole), b: (_, LiesWhole)| match b.1.px_per_mm() > a.1.px_per_mm()
        {
            true => b,
            false => a,
        };
        let largest = whole.reduce(larger);
        largest.map(|(it, lies)| SilentLook {
            shoot: it.shoot,
            stage: it.stage,
            lies,
        })
    };
    later
        .chunk_by(|a, b| a.rank == b.rank)
        .filter_map(of_shoot)
        .collect()
}
