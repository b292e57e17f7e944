//! What is tried on a piece of a form, and what a set of answers says in marks.

use std::collections::BTreeSet;

use crate::advise::part::surface::shown;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Shown;
use crate::trade::entry::tap::Reach;
use crate::trade::entry::tap::Tap;
use crate::trade::entry::tap::TapChoice;

/// The words of the lists of a sidecar.
const SOUND: &str = "sound";
const NOT_EXAMINED: &str = "not_examined";

/// What stands with a level that a tap gave.
pub const TAPPED: &str = "tapped at the door, not measured";

/// One thing to answer: a tap, on the parts on which it is tried.
#[derive(Clone, Debug)]
pub struct Row<'a> {
    /// Its id, such as `edge` or `legs/leg-front-left`.
    pub id: String,
    /// What the row is called: the part, where there is one row a part; else empty.
    pub label: String,
    /// How it is done on this piece, and what is to be minded.
    pub how: String,
    /// The tap.
    pub tap: &'a Tap,
    /// The parts; a fault lies on the first.
    pub parts: Vec<PartId>,
}

/// The answers: for each row the place of its choice; `None` where it was not looked at.
pub type Answers = Vec<Option<usize>>;

/// The rows of a piece with these parts, in walking order.
#[must_use]
pub fn rows<'a>(parts: &[FormPart], book: &'a TradeBook) -> Vec<Row<'a>> {
    let has = |kind: &String| parts.iter().any(|it| it.kind == *kind);
    let of = |tap: &'a Tap| {
        let own = |kind: &String| {
            let all = parts.iter().filter(move |it| !it.inner && it.kind == *kind);
            all.collect::<Vec<&FormPart>>()
        };
        let mut found: Vec<&FormPart> = tap.kinds.iter().flat_map(own).collect();
        if tap.reach == Reach::All && tap.kinds.is_empty() {
            let seen = parts
                .iter()
                .filter(|it| !it.inner && shown(&it.kind, book) != Shown::No);
            found = seen.collect();
        }
        let ids: Vec<PartId> = found.iter().map(|it| it.id.clone()).collect();
        let with = tap.with.iter().filter(|it| it.kinds.iter().any(has));
        let how = std::iter::once(&tap.how).chain(with.map(|it| &it.say));
        let how: Vec<&str> = how.map(String::as_str).collect();
        let row = |parts: Vec<PartId>| Row {
            id: tap.id.clone(),
            label: String::new(),
            how: how.join(" "),
            tap,
            parts,
        };
        match (tap.reach, ids.first()) {
            (_, None) => Vec::new(),
            (Reach::First, Some(first)) => vec![row(vec![first.clone()])],
            (Reach::All, Some(_)) => vec![row(ids)],
            (Reach::Each, Some(_)) => found
                .iter()
                .map(|it| Row {
                    id: format!("{}/{}", tap.id, it.id),
                    label: it.label.clone(),
                    ..row(vec![it.id.clone()])
                })
                .collect(),
        }
    };
    let tried = book.taps.iter().filter(|it| !it.without.iter().any(has));
    tried.flat_map(of).collect()
}

impl<'a> Row<'a> {
    /// The choice of an answer.
    #[must_use]
    pub fn choice(&self, at: usize) -> Option<&'a TapChoice> {
        self.tap.choices.get(at)
    }
}

/// What a set of answers says. A part that one answer calls sound and another does not is not written down as sound.
#[must_use]
pub fn said(rows: &[Row<'_>], answers: &[Option<usize>]) -> Vec<Mark> {
    let given = rows.iter().zip(answers);
    let given = given.filter_map(|(row, at)| Some((row, row.choice((*at)?)?)));
    let covered = given.clone().filter(|it| it.1.covers);
    let covered: BTreeSet<&PartId> = covered.flat_map(|it| &it.0.parts).collect();
    let (mut sound, mut unlooked, mut marks) = (Vec::new(), Vec::new(), Vec::new());
    for (row, choice) in given {
        let Some(first) = row.parts.first() else {
            continue;
        };
        let bare = |it: &&PartId| row.tap.reach != Reach::All || !covered.contains(it);
        for part in row.parts.iter().filter(bare) {
            if choice.sound {
                sound.push(part.clone());
            }
            sound.extend(choice.inner_sound.as_ref().and_then(|it| inner(part, it)));
            if choice.unlooked {
                unlooked.push(part.clone());
            }
            let seen = choice.cues.iter().map(|it| Mark::plain(it, part.clone()));
            marks.extend(seen);
            let gone = choice.gone.iter().map(|it| Mark {
                state: MarkState::Gone,
                ..Mark::plain(it, part.clone())
            });
            marks.extend(gone);
        }
        if let Some(fault) = &choice.fault {
            let on = choice.inner.as_ref().and_then(|it| inner(first, it));
            marks.push(Mark {
                level: Some(fault.level),
                which: (!row.tap.place.is_empty()).then(|| row.tap.place.clone()),
                note: Some(TAPPED.to_owned()),
                ..Mark::plain(&fault.tag, on.unwrap_or_else(|| first.clone()))
            });
        }
    }
    let faulty = marks.iter().filter(|it| it.level.is_some());
    let faulty: BTreeSet<PartId> = faulty.filter_map(|it| it.part.clone()).collect();
    let list = |tag: &str, parts: Vec<PartId>| {
        let mut told = BTreeSet::new();
        let once = parts
            .into_iter()
            .filter(|it| !faulty.contains(it) && told.insert(it.clone()));
        once.map(|it| Mark::plain(tag, it)).collect::<Vec<Mark>>()
    };
    let mut all = list(SOUND, sound);
    all.extend(list(NOT_EXAMINED, unlooked));
    all.extend(marks);
    all
}

/// A part of a part.
fn inner(part: &PartId, name: &str) -> Option<PartId> {
    format!("{part}/{name}").parse().ok()
}

#[cfg(test)]
mod tests {
    use super::rows;
    use super::said;
    use crate::model::piece::PartChoice;
    use crate::trade;

    /// A fault that is somewhere on the piece is written so, and its words name no other part.
    #[test]
    fn the_place_of_a_fault_is_as_it_was_tapped() {
        let book = trade::book();
        for form in &book.forms {
            let parts = book.parts(form, &PartChoice::default());
            let asked = rows(&parts, book);
            for (n, row) in asked.iter().enumerate() {
                for (at, choice) in row.tap.choices.iter().enumerate() {
                    let mut answers = vec![None; asked.len()];
                    answers[n] = Some(at);
                    let marks = said(&asked, &answers);
                    let fault = marks.iter().find(|it| it.level.is_some());
                    assert_eq!(fault.is_some(), choice.fault.is_some());
                    let which = fault.and_then(|it| it.which.as_deref());
                    let place = Some(row.tap.place.as_str()).filter(|it| !it.is_empty());
                    assert_eq!(which, place.filter(|_| fault.is_some()));
                    // One answer for several parts tells of none of them.
                    let of_many = fault.is_some() && row.parts.len() > 1;
                    assert!(!of_many || place.is_some(), "{}", row.id);
                }
            }
        }
        for place in book.taps.iter().map(|it| &it.place) {
            assert!(book.kind_called(place).is_none(), "{place}");
        }
    }

    /// What decides over a purchase is asked of every form that can have it.
    #[test]
    fn worm_wobble_and_smell_are_asked() {
        let book = trade::book();
        for form in &book.forms {
            let parts = book.parts(form, &PartChoice::default());
            let asked = rows(&parts, book);
            let asks = |fault: &str| {
                let mut choices = asked.iter().flat_map(|it| &it.tap.choices);
                choices.any(|it| it.fault.as_ref().is_some_and(|it| it.tag == fault))
            };
            assert!(asks("worm_active"), "{}", form.id);
            let stands = parts.iter().any(|it| it.kind == "leg");
            let sat_on = parts.iter().any(|it| it.kind == "seat");
            assert!(!stands || asks("wobble"), "{}", form.id);
            assert!(!sat_on || asks("odour_urine"), "{}", form.id);
        }
    }
}
