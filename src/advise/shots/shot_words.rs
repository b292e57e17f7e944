//! The words of a shot list.

use std::collections::BTreeSet;

use crate::advise::shots::earlier::Earlier;
use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::view::View;

/// The parts a view shows, kind by kind: `Front frame; drawer: all 5; leg: front left, front right; drawer front`.
///
/// Parts of parts are named by their kind alone: a drawer may have one pull or two.
pub(in crate::advise) fn shows(shown: &[PartId], parts: &[FormPart], book: &TradeBook) -> Saying {
    let is_shown = |it: &&FormPart| shown.contains(&it.id);
    let mut words: Vec<Saying> = Vec::new();
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
        let kind = Saying::part(kind);
        words.push(match labels.len() {
            1 => Saying::part(labels[0]),
            n if n == of_kind.count() => say::shows_all(kind, n),
            _ => say::shows_at(kind, places(&labels)),
        });
    }
    for part in parts.iter().filter(is_shown).filter(|it| it.inner) {
        if done.insert(part.kind.as_str()) {
            let kind = book.kind(&part.kind);
            words.push(Saying::part(kind.map_or(&part.label, |it| &it.label)));
        }
    }
    let small = words.into_iter().enumerate().map(|(n, word)| match n {
        0 => word.capital(),
        _ => say::within(word),
    });
    Saying::Parted(small.collect())
}

/// `front left, back left` of `Leg, front left` and `Leg, back left`.
fn places(labels: &[&str]) -> Saying {
    let place = |label: &&str| {
        let place = label.split_once(", ").map_or(*label, |it| it.1);
        say::within(Saying::part(place))
    };
    Saying::Commas(labels.iter().map(place).collect())
}

/// From where a fault is shown again.
pub(in crate::advise) fn how(earlier: Option<&Earlier>, view: Option<&View>) -> Saying {
    let Some(it) = earlier else {
        return say::shot_no_earlier();
    };
    let stage = it.stage.saying();
    match view.map(|it| Saying::view(&it.label)) {
        Some(view) => say::shot_same_place(it.photo, view, stage, it.day),
        None => say::shot_same_place_bare(it.photo, stage, it.day),
    }
}

/// In which light: that of the earlier picture, with what was noted of it.
pub(in crate::advise) fn light(
    it: &Assessment,
    earlier: Option<&Earlier>,
    view: Option<&View>,
) -> Saying {
    let Some(earlier) = earlier else {
        return say::shot_light_none();
    };
    let then = match view {
        Some(view) => say::shot_light_as_then(Saying::shot(&view.light)).sentence(),
        None => say::shot_light_then(),
    };
    let photo = it.photos.iter().find(|it| it.no == earlier.photo);
    let note = photo.and_then(|it| it.sidecar.note.as_deref());
    let note = note.filter(|it| speaks_of_light(it));
    let noted = note.map(|it| say::shot_noted_then(Saying::quoted(it)));
    Saying::Beside([then].into_iter().chain(noted).collect())
}

fn speaks_of_light(note: &str) -> bool {
    let note = note.to_lowercase();
    let mut words = note.split(|it: char| !it.is_alphabetic());
    words.any(|it| ["light", "lamp", "window", "sun", "flash", "daylight"].contains(&it))
}
