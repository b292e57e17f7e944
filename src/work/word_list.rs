//! The words of the trade book, for people.

use serde::Serialize;

use crate::trade;

/// One word and what it means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Word {
    /// As written in sidecars and options.
    pub id: String,
    /// Its name.
    pub label: String,
    /// What it means.
    pub plain: String,
    /// What people also call it; for faults the criteria of the four levels.
    pub more: Vec<String>,
}

/// Faults, with the criteria of their levels.
#[must_use]
pub fn faults() -> Vec<Word> {
    let word = |it: &trade::tag::Tag| {
        let levels = it.levels.iter().enumerate();
        let level = |(n, it): (usize, &Option<String>)| {
            it.as_ref().map(|it| format!("level {}: {it}", n + 1))
        };
        Word {
            id: it.id.clone(),
            label: it.term.clone(),
            plain: it.plain.clone(),
            more: levels.filter_map(level).collect(),
        }
    };
    trade::book().tags.iter().map(word).collect()
}

/// Observations that are no faults.
#[must_use]
pub fn observations() -> Vec<Word> {
    let word = |it: &trade::cue::Cue| bare(&it.id, &it.term, &it.plain);
    trade::book().cues.iter().map(word).collect()
}

/// Views of a complete record, with how to take them.
#[must_use]
pub fn views() -> Vec<Word> {
    let word = |it: &trade::view::View| bare(&it.id, &it.label, &it.how);
    trade::book().views.iter().map(word).collect()
}

/// Kinds of parts.
#[must_use]
pub fn parts() -> Vec<Word> {
    let word = |it: &trade::kind::PartKind| bare(&it.id, &it.label, &it.plain);
    trade::book().kinds.iter().map(word).collect()
}

/// Forms of furniture.
#[must_use]
pub fn forms() -> Vec<Word> {
    let word = |it: &trade::form::Form| bare(&it.id, &it.label, &it.plain);
    trade::book().forms.iter().map(word).collect()
}

/// Repair methods.
#[must_use]
pub fn methods() -> Vec<Word> {
    let word = |it: &trade::method::Method| bare(&it.id, &it.name, &it.plain);
    trade::book().methods.iter().map(word).collect()
}

fn bare(id: &str, label: &str, plain: &str) -> Word {
    Word {
        id: id.to_owned(),
        label: label.to_owned(),
        plain: plain.to_owned(),
        more: Vec::new(),
    }
}
