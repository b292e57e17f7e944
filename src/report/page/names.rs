//! Long lists of part labels, drawn together as a person would say them.

use crate::assess::gaps::silence;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_report::PartReport;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::numbered;
use crate::tongue::say;

/// What was said of one whole part and its inner parts.
struct Entry {
    /// Label of the whole part.
    label: String,
    /// Whether the whole part itself is meant.
    whole: bool,
    /// Names of the inner parts that are meant.
    inner: Vec<String>,
}

/// Labels with inner parts folded under their whole part and numbered ones drawn together, in order.
///
/// `Drawer 1`, `Drawer 1, front`, `Drawer 2`, `Drawer 2, front` become `Drawers 1 and 2, with front`.
/// A label that is no part's stays as it is.
pub(in crate::report) fn folded(parts: &[PartReport], labels: &[&str]) -> Vec<String> {
    folded_in(parts, labels, Tongue::ENGLISH)
}

/// The same in the language of a paper.
pub(in crate::report) fn folded_in(
    parts: &[PartReport],
    labels: &[&str],
    tongue: Tongue,
) -> Vec<String> {
    let mut entries: Vec<Entry> = Vec::new();
    for label in labels {
        let (whole, inner) = split(parts, label);
        let known = entries.iter().position(|it| it.label == whole);
        let at = known.unwrap_or_else(|| {
            entries.push(Entry {
                label: whole.to_owned(),
                whole: false,
                inner: Vec::new(),
            });
            entries.len() - 1
        });
        match inner {
            Some(inner) => entries[at].inner.push(inner.to_owned()),
            None => entries[at].whole = true,
        }
    }
    together(&entries, tongue)
}

/// What was not examined, in the language of a paper: parts folded, and the views of several stages in one line at the end.
pub(in crate::report) fn things(
    parts: &[PartReport],
    things: &[&Unexamined],
    tongue: Tongue,
) -> Vec<String> {
    let is_part = |it: &&&Unexamined| {
        parts
            .iter()
            .any(|part| silence::is_of(&it.what, &part.label))
    };
    let labels: Vec<&str> = things
        .iter()
        .filter(is_part)
        .map(|it| it.what.as_str())
        .collect();
    let mut lines = folded_in(parts, &labels, tongue);
    let (views, rest): (Vec<&Unexamined>, Vec<&Unexamined>) = { things.iter() }
        .filter(|it| !is_part(it))
        .partition(|it| it.silence == Silence::NotPictured);
    lines.extend(rest.into_iter().map(|it| it.said().said(tongue)));
    let stages: Vec<Saying> = views.iter().filter_map(|it| Some(it.stage?.at())).collect();
    if !stages.is_empty() {
        lines.push(say::views_not_taken(stages).said(tongue));
    }
    lines
}

/// Label of the whole part and the rest, if the label is an inner part's.
fn split<'a>(parts: &[PartReport], label: &'a str) -> (&'a str, Option<&'a str>) {
    let part = parts
        .iter()
        .find(|it| it.label == label && it.part.is_inner());
    let whole = part.and_then(|it| {
        let whole = it.part.whole();
        parts.iter().find(|it| it.part == whole)
    });
    let rest = whole.and_then(|it| label.strip_prefix(it.label.as_str())?.strip_prefix(", "));
    match rest {
        Some(rest) => (&label[..label.len() - rest.len() - 2], Some(rest)),
        None => (label, None),
    }
}

/// Entries that differ only by a number at the end of the label, in one line.
fn together(entries: &[Entry], tongue: Tongue) -> Vec<String> {
    let mut groups: Vec<(&str, &Entry, Vec<String>)> = Vec::new();
    for entry in entries {
        let (stem, number) = numbered(&entry.label);
        let same = groups.iter_mut().find(|(it, first, numbers)| {
            let alike = first.whole == entry.whole && first.inner == entry.inner;
            !numbers.is_empty() && number.is_some() && *it == stem && alike
        });
        match (same, number) {
            (Some((_, _, numbers)), Some(number)) => numbers.push(number.to_owned()),
            (_, number) => {
                groups.push((stem, entry, number.map(str::to_owned).into_iter().collect()))
            }
        }
    }
    let lines = groups.into_iter().map(|(stem, entry, numbers)| {
        let label = match numbers.len() {
            0 | 1 => silence::said(&entry.label).said(tongue),
            _ => tongue.numbered_parts(stem, &numbers),
        };
        let inner = { entry.inner.iter() }.map(|it| say::within(Saying::part(it)));
        let inner: Vec<String> = inner.map(|it| it.said(tongue)).collect();
        let listed = tongue.listed(&inner);
        let with = match (entry.inner.is_empty(), entry.whole) {
            (true, _) => return label,
            (false, true) => say::part_with_inner(label, listed),
            (false, false) => say::part_inner(label, listed),
        };
        with.said(tongue)
    });
    lines.collect()
}

#[cfg(test)]
mod tests {
    use super::folded;
    use crate::assess::part_report::PartReport;
    use crate::report::fixture;

    fn part(id: &str, label: &str) -> PartReport {
        let mut part = fixture::assessment().parts.remove(0);
        part.part = id.parse().unwrap();
        part.label = label.to_owned();
        part
    }

    #[test]
    fn inner_parts_and_numbers_are_drawn_together_and_none_is_lost() {
        let mut parts = vec![part("back", "Back panel")];
        for number in 1..=4 {
            let label = format!("Drawer {number}");
            parts.push(part(&format!("drawer-{number}"), &label));
            parts.push(part(
                &format!("drawer-{number}/front"),
                &format!("{label}, front"),
            ));
        }
        parts.push(part("drawer-4/lock", "Drawer 4, lock"));
        let labels = [
            "Back panel",
            "Drawer 1",
            "Drawer 1, front",
            "Drawer 2",
            "Drawer 2, front",
            "Drawer 3",
            "Drawer 4, front",
            "Drawer 4, lock",
            "Lead, old",
        ];
        let said = folded(&parts, &labels);
        let shelves = [part("shelf-1", "Shelf 1"), part("shelf-2", "Shelf 2")];
        assert_eq!(
            folded(&shelves, &["Shelf 1", "Shelf 2"]),
            ["Shelves 1 and 2"]
        );
        assert_eq!(
            said,
            [
                "Back panel",
                "Drawers 1 and 2, with front",
                "Drawer 3",
                "Drawer 4: front and lock",
                "Lead, old",
            ]
        );
    }
}
