//! The words of a shot list.

use std::collections::BTreeSet;

use crate::advise::shots::earlier::Earlier;
use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::view::View;

/// The parts a view shows, kind by kind: `Front frame; drawer: all 5; leg: front left, front right; drawer front`.
///
/// Parts of parts are named by their kind alone: a drawer may have one pull or two.
pub(in crate::advise) fn shows(shown: &[PartId], parts: &[FormPart], book: &TradeBook) -> String {
    let is_shown = |it: &&FormPart| shown.contains(&it.id);
    let mut words = Vec::new();
    let mut done = BTreeSet::new();
    for part in parts.iter().filter(is_shown).filter(|it| !it.inner) {
        if !done.insert(part.kind.as_str()) {
            continue;
        }
        let of_kind = parts.iter().filter(|it| !it.inner && it.kind == part.kind);
        let labels: Vec<&str> = of_kind
            .clone()
            .filter(is_shown)
            .map(|it| it.label.as_str())
            .collect();
        let kind = book.kind(&part.kind).map_or("", |it| it.label.as_str());
        words.push(match labels.len() {
            1 => labels[0].to_owned(),
            n if n == of_kind.count() => format!("{kind}: all {n}"),
            _ => format!("{kind}: {}", places(&labels)),
        });
    }
    for part in parts.iter().filter(is_shown).filter(|it| it.inner) {
        if done.insert(part.kind.as_str()) {
            let kind = book.kind(&part.kind);
            words.push(kind.map_or_else(|| part.label.clone(), |it| it.label.clone()));
        }
    }
    let small = words.iter().enumerate().map(|(n, word)| match n {
        0 => word.clone(),
        _ => lower(word),
    });
    small.collect::<Vec<_>>().join("; ")
}

/// `front left, back left` of `Leg, front left` and `Leg, back left`.
fn places(labels: &[&str]) -> String {
    let place = |label: &&str| {
        let place = label.split_once(", ").map_or(*label, |it| it.1);
        lower(place)
    };
    labels.iter().map(place).collect::<Vec<_>>().join(", ")
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|it| it.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// From where a fault is shown again.
pub(in crate::advise) fn how(earlier: Option<&Earlier>, view: Option<&View>) -> String {
    let Some(it) = earlier else {
        return "No earlier picture shows it: once in its place, once close.".to_owned();
    };
    let view = view.map_or_else(String::new, |it| format!("{}, ", lower(&it.label)));
    format!(
        "Same place as picture {} ({view}{} {}).",
        it.photo, it.stage, it.day
    )
}

/// In which light: that of the earlier picture, with what was noted of it.
pub(in crate::advise) fn light(
    it: &Assessment,
    earlier: Option<&Earlier>,
    view: Option<&View>,
) -> String {
    let Some(earlier) = earlier else {
        return "Even; and low from one side where the surface is uneven.".to_owned();
    };
    let mut text = "As then".to_owned();
    if let Some(view) = view {
        text.push_str(": ");
        text.push_str(&lower(view.light.trim_end_matches('.')));
    }
    text.push('.');
    let photo = it.photos.iter().find(|it| it.no == earlier.photo);
    let note = photo.and_then(|it| it.sidecar.note.as_deref());
    if let Some(note) = note.filter(|it| speaks_of_light(it)) {
        text.push_str(" Noted then: ");
        text.push_str(note.trim());
    }
    text
}

fn speaks_of_light(note: &str) -> bool {
    let note = note.to_lowercase();
    let mut words = note.split(|it: char| !it.is_alphabetic());
    words.any(|it| ["light", "lamp", "window", "sun", "flash", "daylight"].contains(&it))
}
