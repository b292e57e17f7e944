//! What changed from one edition to the next, in plain words, worked out from what both state.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::kit::text::capital;
use crate::report::edition::edition_summary::EditionSummary;
use crate::report::edition::edition_summary::FindingStated;
use crate::report::page::words;
use crate::tongue::Saying;

/// Most things named in one line; the rest is counted.
const MOST: usize = 12;

/// The longest text that is printed as it was and as it is, letters.
const SHORT: usize = 60;

/// What changed since the edition before, as printed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EditionDiff {
    /// The heading.
    title: String,
    /// A line for each kind of change.
    lines: Vec<String>,
}

impl EditionDiff {
    /// From edition `no`, and what it stated if that was kept, to what is stated now.
    #[must_use]
    pub fn new(no: u32, before: Option<&EditionSummary>, now: &EditionSummary) -> Self {
        let mut lines = match before {
            Some(old) => changes(old, now),
            None => vec![format!(
                "What edition {no} stated was not kept, so that what changed since cannot be listed."
            )],
        };
        if lines.is_empty() {
            let none = "No finding, picture, repair or statement; only wording, layout or what is the owner's alone.";
            lines.push(none.to_owned());
        }
        Self {
            title: format!("What changed since edition {no}"),
            lines,
        }
    }

    /// The same of the newest edition before the sale.
    #[must_use]
    pub fn since_sold(mut self) -> Self {
        self.title += ", the newest before it left";
        self
    }
}

/// A line for each kind of change; empty when both state the same.
fn changes(old: &EditionSummary, now: &EditionSummary) -> Vec<String> {
    let mut lines = findings(old, now);
    lines.extend(numbers("Pictures added", &now.pictures, &old.pictures));
    lines.extend(numbers("Pictures taken out", &old.pictures, &now.pictures));
    let other = both(&old.pictures, &now.pictures);
    if !other.is_empty() {
        lines.push(format!(
            "Pictures whose original is another file: {}.",
            words::runs(&other)
        ));
    }
    let moved = now.moved.iter();
    let moved =
        moved.filter(|(no, is)| old.pictures.contains_key(no) && old.moved.get(no) != Some(is));
    lines.extend(moved.map(|(no, is)| format!("Picture {no} put with other pictures: {is}.")));
    let added = now.repairs.iter();
    let added = added.filter(|it| !old.repairs.contains_key(it.0));
    let named = |no: &u32| format!("{no} ({})", now.repairs[no].what);
    lines.extend(line("Repairs added", added.map(|it| named(it.0))));
    let again = both(&old.repairs, &now.repairs);
    lines.extend(line("Repairs told anew", again.iter().map(named)));
    lines.extend(line("Parts", parts(old, now).into_iter()));
    lines.extend(statements(old, now));
    lines
}

fn findings(old: &EditionSummary, now: &EditionSummary) -> Vec<String> {
    let pairs = || {
        let both = now.findings.iter();
        both.filter_map(|(no, it)| Some((no, old.findings.get(no)?, it)))
    };
    // Of what is repaired the measure is the former one.
    let open = || pairs().filter(|(_, _, is)| !is.closed);
    let new = now.findings.iter();
    let new = new.filter(|it| !old.findings.contains_key(it.0));
    let gone = old.findings.iter();
    let gone = gone.filter(|it| !now.findings.contains_key(it.0));
    let closed = pairs().filter(|(_, was, is)| !was.closed && is.closed);
    // What an older edition called otherwise is no change.
    let same = |was: &FindingStated, is: &FindingStated| match was.outcome {
        Some(_) => was.state == is.state,
        None => was.closed && is.closed || was.state == is.state,
    };
    let other = pairs().filter(|(_, was, is)| !same(was, is) && (was.closed || !is.closed));
    let measure = open().filter(|(_, was, is)| (was.level, &was.size) != (is.level, &is.size));
    let moved = pairs().filter(|(_, was, is)| was.what != is.what);
    let new = new.map(|(no, it)| format!("{no} {}, {}; {}", it.what, measured(it), it.state));
    let closed = closed.map(|(no, _, is)| format!("{no} {}, {}", is.what, is.state));
    let other = other.map(|(no, was, is)| {
        format!(
            "{no} {}: \u{201c}{}\u{201d}, was \u{201c}{}\u{201d}",
            is.what, is.state, was.state
        )
    });
    let measure = measure
        .map(|(no, was, is)| format!("{no} {}: {}, was {}", is.what, measured(is), measured(was)));
    let moved = moved.map(|(no, was, is)| format!("{no} {}, was {}", is.what, was.what));
    let gone = gone.map(|(no, it)| format!("{no} {}", it.what));
    let lines = [
        line("New findings", new),
        line("Repaired or gone", closed),
        line("Otherwise than before", other),
        line("Another level or measure", measure),
        line("Named otherwise", moved),
        line("No longer stated, as no mark names them any more", gone),
    ];
    lines.into_iter().flatten().collect()
}

fn measured(it: &FindingStated) -> String {
    words::measured(it.size.as_deref().map(Saying::size), it.level).to_string()
}

/// `Pictures added: 3 to 7 (5).`
fn numbers<T>(what: &str, these: &BTreeMap<u32, T>, without: &BTreeMap<u32, T>) -> Option<String> {
    let numbers = these.keys().filter(|it| !without.contains_key(it));
    let numbers: Vec<u32> = numbers.copied().collect();
    (!numbers.is_empty()).then(|| {
        format!(
            "{what}: {} ({} in all).",
            words::runs(&numbers),
            numbers.len()
        )
    })
}

/// Numbers that both have, with another content.
fn both<T: PartialEq>(old: &BTreeMap<u32, T>, now: &BTreeMap<u32, T>) -> Vec<u32> {
    let other = now.iter();
    let other = other.filter(|(no, it)| old.get(no).is_some_and(|was| was != *it));
    other.map(|it| *it.0).collect()
}

/// Parts of which something else was said.
fn parts(old: &EditionSummary, now: &EditionSummary) -> Vec<String> {
    let mut lines = Vec::new();
    for (label, is) in &now.parts {
        match old.parts.get(label) {
            Some(was) if was != is => lines.push(format!("{label}: {is}, was {was}")),
            None => lines.push(format!("{label}: {is}, was not on the list")),
            Some(_) => {}
        }
    }
    let gone = old.parts.keys();
    let gone = gone.filter(|it| !now.parts.contains_key(*it));
    lines.extend(gone.map(|it| format!("{it}: no longer on the list")));
    lines
}

/// The number of findings: where it is long, the findings alone say what changed of it.
const COUNTED: &str = "Counted";

/// What else is stated now, otherwise, or no longer.
fn statements(old: &EditionSummary, now: &EditionSummary) -> Vec<String> {
    let (mut lines, mut reworded) = (Vec::new(), Vec::new());
    for (name, is) in &now.words {
        match old.words.get(name) {
            Some(was) if was == is => {}
            Some(was) if was.chars().count() + is.chars().count() <= 2 * SHORT => {
                lines.push(words::sentence(&format!(
                    "{}: {}, was {}",
                    capital(name),
                    bare(is),
                    bare(was)
                )));
            }
            Some(_) if name == COUNTED => {}
            Some(_) if is.chars().count() <= 2 * SHORT => {
                reworded.push(format!("{name}, now \u{201c}{}\u{201d}", bare(is)));
            }
            Some(_) => reworded.push(name.clone()),
            None => {}
        }
    }
    let new = now.words.keys();
    let new = new.filter(|it| !old.words.contains_key(*it));
    let new = new.map(|it| match &now.words[it] {
        is if is.chars().count() <= 2 * SHORT => format!("{it}: {}", bare(is)),
        _ => it.clone(),
    });
    let gone = old.words.keys();
    let gone = gone.filter(|it| !now.words.contains_key(*it)).cloned();
    lines.extend(line("Stated otherwise", reworded.into_iter()));
    lines.extend(line("Stated now", new));
    lines.extend(line("No longer stated", gone));
    lines
}

/// Without the full stop at its end.
fn bare(text: &str) -> &str {
    text.strip_suffix('.').unwrap_or(text)
}

/// `What: one; two; and 3 more.`; `None` of nothing.
fn line(what: &str, things: impl Iterator<Item = String>) -> Option<String> {
    let things: Vec<String> = things.collect();
    let shown = things.len().min(MOST);
    let rest = things.len() - shown;
    let text = things[..shown].join("; ");
    let text = match rest {
        0 => text,
        rest => format!("{text}; and {rest} more"),
    };
    (!things.is_empty()).then(|| words::sentence(&format!("{what}: {text}")))
}
