//! What was checked and how it went.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

/// The codes of all checks, in the order in which one builds on another.
const ORDER: [&str; 36] = [
    "bag_declaration",
    "bag_paths",
    "bag_complete",
    "bag_digests",
    "bag_manifests",
    "bag_info",
    "key",
    "set_signature",
    "lines",
    "order",
    "clock",
    "first_line",
    "piece",
    "private",
    "seals",
    "signatures",
    "inclusion",
    "consistency",
    "unsealed",
    "stamps",
    "letter",
    "originals",
    "sidecars",
    "reports",
    "kept",
    "countersigned",
    "photos",
    "left_out",
    "running",
    "numbers",
    "record",
    "findings",
    "unread",
    "presented",
    "dossiers",
    "backup",
];

/// Most notes of one check and outcome that are given one by one; the rest is counted.
const MOST: usize = 40;

/// How a check went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// As it should be.
    Good,
    /// Worth knowing, no fault.
    Told,
    /// Something is not there, or cannot be read; nothing contradicts.
    Missing,
    /// Something contradicts.
    Wrong,
}

/// One thing checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// Its code, such as `inclusion`; stays over versions.
    pub code: &'static str,
    /// How it went.
    pub outcome: Outcome,
    /// What was found, in plain words.
    pub about: String,
}

impl Check {
    /// Whether nothing is missing and nothing contradicts.
    #[must_use]
    pub fn ok(&self) -> bool {
        self.outcome < Outcome::Missing
    }
}

/// Notes, in order.
#[derive(Default)]
pub struct Notes {
    checks: Vec<Check>,
    seen: BTreeSet<(&'static str, String)>,
    /// Codes of which something is missing or wrong.
    bad: BTreeSet<&'static str>,
}

/// That something was checked, and in all that was checked nothing is missing and nothing contradicts.
///
/// Only [`Notes::sound`] makes one.
#[derive(Debug)]
pub struct Sound(());

impl Notes {
    fn note(&mut self, code: &'static str, outcome: Outcome, about: String) {
        let it = Check {
            code,
            outcome,
            about,
        };
        if !it.ok() {
            self.bad.insert(code);
        }
        if self.seen.insert((code, it.about.clone())) {
            self.checks.push(it);
        }
    }

    /// Something contradicts.
    pub fn wrong(&mut self, code: &'static str, about: impl Into<String>) {
        self.note(code, Outcome::Wrong, about.into());
    }

    /// Something is not there or cannot be read.
    pub fn missing(&mut self, code: &'static str, about: impl Into<String>) {
        self.note(code, Outcome::Missing, about.into());
    }

    /// Something is worth knowing.
    pub fn told(&mut self, code: &'static str, about: impl Into<String>) {
        self.note(code, Outcome::Told, about.into());
    }

    /// Ends a check: it is good when nothing was found missing or wrong.
    pub fn close(&mut self, code: &'static str, good: impl Into<String>) {
        if !self.bad.contains(code) {
            self.note(code, Outcome::Good, good.into());
        }
    }

    /// Whether something of a check is missing or wrong.
    #[must_use]
    pub fn is_bad(&self, code: &str) -> bool {
        self.bad.contains(code)
    }

    /// The worst of all; `None` when nothing was checked.
    #[must_use]
    pub fn worst(&self) -> Option<Outcome> {
        self.checks.iter().map(|it| it.outcome).max()
    }

    /// That nothing is missing and nothing contradicts; `None` otherwise, or when nothing was checked.
    #[must_use]
    pub fn sound(&self) -> Option<Sound> {
        self.worst()
            .is_some_and(|it| it < Outcome::Missing)
            .then_some(Sound(()))
    }

    /// What was told of one check.
    pub fn told_of(&self, code: &str) -> impl Iterator<Item = &str> {
        let these = self.checks.iter();
        let these = these.filter(move |it| it.code == code && it.outcome == Outcome::Told);
        these.map(|it| it.about.as_str())
    }

    /// All of them by code, in the order in which one check builds on another; of very many alike the rest is counted.
    #[must_use]
    pub fn checks(self) -> Vec<Check> {
        let place = |code: &str| ORDER.iter().position(|it| *it == code);
        let mut checks = self.checks;
        checks.sort_by_key(|it| place(it.code).unwrap_or(ORDER.len()));
        let mut counts: BTreeMap<(&'static str, Outcome), usize> = BTreeMap::new();
        for it in &checks {
            *counts.entry((it.code, it.outcome)).or_default() += 1;
        }
        let mut given: BTreeMap<(&'static str, Outcome), usize> = BTreeMap::new();
        let mut folded = Vec::new();
        for mut it in checks {
            let key = (it.code, it.outcome);
            let turn = given.entry(key).or_default();
            *turn += 1;
            let all = counts[&key];
            if *turn > MOST {
                continue;
            }
            if *turn == MOST && all > MOST {
                it.about = format!("{}; and {} more", it.about, all - MOST);
            }
            folded.push(it);
        }
        folded
    }
}

#[cfg(test)]
mod tests {
    use super::Notes;
    use super::Outcome;

    #[test]
    fn only_what_was_checked_and_found_in_order_is_sound() {
        let mut notes = Notes::default();
        assert!(notes.sound().is_none(), "nothing was checked");
        notes.told("clock", "set back");
        assert!(notes.sound().is_some());
        notes.missing("lines", "line 3 is not here");
        notes.close("lines", "all there");
        assert!(notes.sound().is_none());
        let checks = notes.checks();
        let codes: Vec<_> = checks.iter().map(|it| (it.code, it.outcome)).collect();
        assert_eq!(
            codes,
            [("lines", Outcome::Missing), ("clock", Outcome::Told)]
        );
    }

    #[test]
    fn very_many_alike_are_counted() {
        let mut notes = Notes::default();
        for n in 0..100 {
            notes.wrong("originals", format!("file {n}"));
        }
        let checks = notes.checks();
        assert_eq!(checks.len(), 40);
        assert_eq!(checks[39].about, "file 39; and 60 more");
    }
}
