//! Of which parts a claim speaks: those that its words name, else those that its text is about, else the whole piece.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_texts::Text;
use crate::model::ids::PartId;
use crate::trade::claims::claim::Claim;
use crate::trade::claims::claim::Found;
use crate::trade::claims::claim::RestsOn;
use crate::trade::claims::claim_words::Word;

/// Words that tell one of several parts from another in its id.
const PLACES: [&str; 8] = [
    "left", "right", "front", "back", "upper", "middle", "lower", "centre",
];
/// Words after which a claim no longer speaks of what comes.
const BREAKS: [&str; 9] = [
    "of", "with", "in", "on", "for", "from", "to", "that", "which",
];
/// Words that may follow the part of which a claim speaks.
const AFTER: [&str; 12] = [
    "and", "is", "are", "was", "were", "with", "on", "under", "below", "but", "here", "too",
];
/// Words that may lie between a part and the claim made of it.
const LINKS: [&str; 12] = [
    "is", "are", "was", "were", "of", "in", "made", "all", "both", "fully", "still", "has",
];
/// How many words may lie between a claim and its part.
const REACH: usize = 3;
/// Words of people for parts.
const OTHERS: [(&str, &str); 4] = [
    ("knob", "pull"),
    ("handle", "pull"),
    ("castor", "caster"),
    ("foot", "foot"),
];

/// The parts of which a claim in a text speaks; empty for the whole piece.
pub(crate) fn scope(ground: &ClaimContext<'_>, said: &Text, found: &Found<'_>) -> Vec<PartId> {
    let words = ground.book.claims.words_of(&said.text);
    let first = words.iter().position(|it| it.start >= found.start);
    let last = words.iter().rposition(|it| it.end <= found.end);
    let (Some(first), Some(last)) = (first, last) else {
        return said.about.clone();
    };
    let clause = words[first].clause;
    let after: Vec<&Word> = words[last + 1..]
        .iter()
        .take_while(|it| it.clause == clause)
        .collect();
    let before = words[..first].iter().rev();
    let before: Vec<&Word> = before.take_while(|it| it.clause == clause).collect();
    let mut named = named_after(ground, &after);
    if named.is_empty() {
        named = named_before(ground, found.claim, &before);
    }
    named.sort();
    named.dedup();
    if named.is_empty() {
        return said.about.clone();
    }
    named
}

/// `solid oak top and sides`: a part that stands by itself soon after the claim, and those joined to it.
fn named_after(ground: &ClaimContext<'_>, after: &[&Word]) -> Vec<PartId> {
    let mut named = Vec::new();
    let mut at = 0;
    let mut skipped = 0;
    while let Some(word) = after.get(at) {
        let next = after.get(at + 1).map(|it| it.text.as_str());
        let parts = parts_called(ground, &word.text);
        let alone = next.is_none_or(|it| AFTER.contains(&it));
        if !parts.is_empty() && alone {
            named.extend(parts);
            if next != Some("and") {
                break;
            }
            (at, skipped) = (at + 2, 0);
            continue;
        }
        skipped += 1;
        if skipped > REACH || BREAKS.contains(&word.text.as_str()) {
            break;
        }
        at += 1;
    }
    named
}

/// `top and sides are solid`, `legs of solid oak`, `locks work`; not `chest of drawers of solid oak`.
fn named_before(ground: &ClaimContext<'_>, claim: &Claim, before: &[&Word]) -> Vec<PartId> {
    let links = before
        .iter()
        .take_while(|it| LINKS.contains(&it.text.as_str()));
    let links = links.count();
    // What moves stands right before the verb.
    if links == 0 && claim.rests_on != RestsOn::Working {
        return Vec::new();
    }
    let mut named = Vec::new();
    let mut rest = &before[links.min(before.len())..];
    while let [word, more @ ..] = rest {
        let parts = parts_called(ground, &word.text);
        let of = more.first().is_some_and(|it| it.text == "of");
        if parts.is_empty() || of {
            break;
        }
        named.extend(parts);
        match more {
            [and, more @ ..] if and.text == "and" => rest = more,
            _ => break,
        }
    }
    named
}

/// The parts on the list that go by this word, in the singular or the plural; whole parts before parts of parts.
fn parts_called(ground: &ClaimContext<'_>, word: &str) -> Vec<PartId> {
    let single = match word {
        "feet" => "foot",
        other => other.strip_suffix('s').unwrap_or(other),
    };
    let known = OTHERS.iter().find(|it| it.0 == single);
    let single = known.map_or(single, |it| it.1);
    let called = |id: &PartId| {
        let name = id.as_str().rsplit('/').next().unwrap_or(id.as_str());
        let mut steps = name.split('-').enumerate();
        let first = steps.next().map(|it| it.1);
        let place =
            |step: &str| PLACES.contains(&step) || step.bytes().all(|it| it.is_ascii_digit());
        first == Some(single) && steps.all(|(_, it)| place(it))
    };
    let all = ground.list.parts.iter().map(|it| &it.id);
    let told = |it: &&PartId| ground.parts.iter().any(|part| part.part == **it);
    let found: Vec<&PartId> = all.filter(told).filter(|it| called(it)).collect();
    let whole: Vec<PartId> = found
        .iter()
        .filter(|it| !it.is_inner())
        .map(|it| (*it).clone())
        .collect();
    if whole.is_empty() {
        return found.into_iter().cloned().collect();
    }
    whole
}
