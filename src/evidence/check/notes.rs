//! What the judge writes down.

use std::collections::BTreeSet;

use crate::evidence::check::Check;
use crate::evidence::check::Outcome;

/// Notes, in order.
#[derive(Default)]
pub(super) struct Notes {
    checks: Vec<Check>,
    seen: BTreeSet<(&'static str, String)>,
}

impl Notes {
    fn note(&mut self, code: &'static str, outcome: Outcome, about: String) {
        let it = Check {
            code,
            outcome,
            about,
        };
        if self.seen.insert((code, it.about.clone())) {
            self.checks.push(it);
        }
    }

    /// Something contradicts.
    pub(super) fn wrong(&mut self, code: &'static str, about: impl Into<String>) {
        self.note(code, Outcome::Wrong, about.into());
    }

    /// Something is not there or cannot be read.
    pub(super) fn missing(&mut self, code: &'static str, about: impl Into<String>) {
        self.note(code, Outcome::Missing, about.into());
    }

    /// Something is worth knowing.
    pub(super) fn told(&mut self, code: &'static str, about: impl Into<String>) {
        self.note(code, Outcome::Told, about.into());
    }

    /// Ends a check: it is good when nothing was found missing or wrong.
    pub(super) fn close(&mut self, code: &'static str, good: impl Into<String>) {
        if self.checks.iter().all(|it| it.code != code || it.ok()) {
            self.note(code, Outcome::Good, good.into());
        }
    }

    /// All of them; those of one code stand together, in the order in which the codes first came.
    pub(super) fn checks(self) -> Vec<Check> {
        let mut codes: Vec<&str> = Vec::new();
        for it in &self.checks {
            if !codes.contains(&it.code) {
                codes.push(it.code);
            }
        }
        let mut checks = self.checks;
        checks.sort_by_key(|it| codes.iter().position(|code| *code == it.code));
        checks
    }
}
