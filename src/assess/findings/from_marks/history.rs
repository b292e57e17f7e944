//! What became of a finding: its state after all shoots and repairs.

use std::cmp::Ordering;

use crate::assess::findings::finding::FindingState;
use crate::assess::findings::from_marks::dealt::Dealt;
use crate::assess::findings::last_seen::since_known;
use crate::assess::findings::sighting::Sighting;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;

/// The state of a finding with this history (in the order of time), of which this was done about it.
pub(crate) fn state(history: &[Sighting], dealt: &Dealt<'_>) -> FindingState {
    if history.is_empty() {
        return FindingState::Withdrawn;
    }
    let telling = telling(history);
    let mending = dealt.mending();
    let Some(last) = telling.last() else {
        return match mending.as_slice() {
            [] => FindingState::NotVisible,
            _ => FindingState::RepairUnseen,
        };
    };
    let is_open = last.state.is_there();
    // A picture of the day of the repair that still shows the fault was taken before it; one that shows it cured, after.
    let unseen = |it: &&Repair| it.day > last.day || (is_open && it.day == last.day);
    if mending.iter().any(unseen) {
        return FindingState::RepairUnseen;
    }
    if let Some(ended) = dealt.ended(&telling) {
        return ended;
    }
    // A word that it is repaired or gone that nothing bears leaves it as it was when it was last there.
    let there = telling.iter().rposition(|it| it.state.is_there());
    let Some(there) = there else {
        return FindingState::NotVisible;
    };
    // Looked for and not found before anybody saw it: that tells nothing of how much there was, and closed nothing.
    let known = telling.iter().position(|it| it.state != MarkState::Gone);
    let seen = &telling[known.unwrap_or(0)..=there];
    match came_back(seen, &mending) {
        true => FindingState::Reopened,
        false => change(seen, telling[there], |it| dealt.extent(it)),
    }
}

/// The looks that tell what became of the fault.
pub(crate) fn telling(history: &[Sighting]) -> Vec<&Sighting> {
    history.iter().filter(|it| it.state.tells()).collect()
}

/// The first look that tells what became of the fault.
pub(crate) fn first_telling(history: &[Sighting]) -> Option<&Sighting> {
    history.iter().find(|it| it.state.tells())
}

/// Whether the fault was there again after it had been cured, and was not cured since.
fn came_back(telling: &[&Sighting], repairs: &[&Repair]) -> bool {
    let mut back = false;
    let mut before: Option<&Sighting> = None;
    for now in telling {
        if !now.state.is_there() {
            back = false;
            before = Some(now);
            continue;
        }
        let was_closed = before.is_some_and(|it| !it.state.is_there());
        let between =
            |it: &&&Repair| it.day < now.day && before.is_none_or(|before| before.day <= it.day);
        let was_repaired = repairs.iter().any(|it| between(&it));
        // A repair that made the fault less is no repair that failed.
        let less = before.is_some_and(|before| is_less(before, now));
        back = back || was_closed || (was_repaired && !less);
        before = Some(now);
    }
    back
}

/// The newest repair after which a fault is still there that no picture ever showed repaired or gone.
pub(crate) fn still_after(
    state: FindingState,
    history: &[Sighting],
    mending: &[&Repair],
) -> Option<u32> {
    let was_closed = since_known(history)
        .iter()
        .any(|it| matches!(it.state, MarkState::Repaired | MarkState::Gone));
    if state != FindingState::Reopened || was_closed {
        return None;
    }
    let last = history.iter().rev().find(|it| it.state.is_there())?;
    let before = mending.iter().filter(|it| it.day < last.day);
    before.max_by_key(|it| (it.day, it.no)).map(|it| it.no)
}

/// Whether `now` is said to be less than `before`: in words, or by its level where no words say otherwise.
fn is_less(before: &Sighting, now: &Sighting) -> bool {
    let levels = before.level.zip(now.level);
    match now.state {
        MarkState::Better => levels.is_none_or(|(before, now)| now <= before),
        MarkState::Present => levels.is_some_and(|(before, now)| now < before),
        _ => false,
    }
}

/// How the last sighting compares with the first that gives a level. Words count, but never against a higher level; that it
/// got worse holds until somebody says or measures otherwise. Every sighting here has the fault there.
fn change(
    telling: &[&Sighting],
    last: &Sighting,
    level: impl Fn(&Sighting) -> Option<u8>,
) -> FindingState {
    let first = telling.iter().find_map(|it| level(it));
    let known = || telling.iter().rev().find_map(|it| level(it));
    let now = match last.state {
        MarkState::Present => known(),
        _ => level(last),
    };
    let more = first.zip(now).map(|(first, now)| now.cmp(&first));
    let word = |it: &&&Sighting| it.state != MarkState::Present;
    let word = telling.iter().rev().find(word).map(|it| it.state);
    match (last.state, more) {
        (MarkState::Worse, _) | (_, Some(Ordering::Greater)) => FindingState::Worse,
        (MarkState::Better, _) => FindingState::Better,
        _ if level(last).is_some() && more == Some(Ordering::Less) => FindingState::Better,
        _ if word == Some(MarkState::Worse) => FindingState::Worse,
        _ => FindingState::Open,
    }
}
