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
const OTHERS: [(&str, &str); 5] = [
    ("pane", "glass"),
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
    let here: Vec<&str> = words
        .iter()
        .filter(|it| it.clause == clause)
        .map(|it| it.text.as_str())
        .collect();
    let spelled = spelled_out(ground, &here);
    if !spelled.is_empty() {
        return spelled;
    }
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

/// Parts named in two words or more, such as `lock of drawer 1` or `right door`; of names that lie within one another the longest.
fn spelled_out(ground: &ClaimContext<'_>, words: &[&str]) -> Vec<PartId> {
    let mut found: Vec<(usize, usize, PartId)> = Vec::new();
    for (part, label) in nameable(ground) {
        for name in names(ground, &label) {
            let name: Vec<&str> = name.iter().map(String::as_str).collect();
            let windows = words.windows(name.len().max(2)).enumerate();
            let places = windows.filter(|it| it.1 == name.as_slice());
            found.extend(places.map(|(at, _)| (at, at + name.len(), part.clone())));
        }
    }
    let within = |a: &(usize, usize, PartId)| {
        let wider = |b: &(usize, usize, PartId)| b.0 <= a.0 && a.1 <= b.1 && b.1 - b.0 > a.1 - a.0;
        found.iter().any(wider)
    };
    let longest = found.iter().filter(|it| !within(it));
    let mut parts: Vec<PartId> = longest.map(|it| it.2.clone()).collect();
    parts.sort();
    parts.dedup();
    parts
}

/// The parts that words can name, each with its label: those on record, and inner parts of which nothing is.
fn nameable(ground: &ClaimContext<'_>) -> Vec<(PartId, String)> {
    let mut all: Vec<(PartId, String)> = Vec::new();
    for part in ground.parts {
        all.push((part.part.clone(), part.label.clone()));
        let listed = ground.list.get(&part.part);
        let kind = listed.and_then(|it| ground.book.kind(&it.kind));
        for inner in kind.iter().flat_map(|it| &it.inner) {
            let id = format!("{}/{}", part.part, inner.name).parse::<PartId>();
            all.extend(
                id.ok()
                    .map(|it| (it, format!("{}, {}", part.label, inner.label))),
            );
        }
    }
    all
}

/// The ways to name a part of this label: `drawer 1 lock`, `lock of drawer 1`, `lock of the right door`.
fn names(ground: &ClaimContext<'_>, label: &str) -> Vec<Vec<String>> {
    let words = |text: &str| -> Vec<String> {
        let words = ground.book.claims.words_of(text);
        words.into_iter().map(|it| it.text).collect()
    };
    let mut names = vec![words(label)];
    if let Some((whole, inner)) = label.split_once(", ") {
        let links = ["of", "of the", "in", "in the", "on", "on the"];
        names.extend(links.map(|link| words(&format!("{inner} {link} {whole}"))));
        names.push(words(&format!("{inner} {whole}")));
    }
    names
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
    if links == 0 && !matches!(claim.rests_on, RestsOn::Working | RestsOn::Sound) {
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
pub(in crate::assess::claims) fn parts_called(
    ground: &ClaimContext<'_>,
    word: &str,
) -> Vec<PartId> {
    let single = match word {
        "feet" => "foot",
        "glass" => "glass",
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
