//! Findings counted by what became of them.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::tongue::Saying;
use crate::tongue::say;

/// Findings by what became of them; groups without any are left out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct FindingCounts(BTreeMap<Outcome, usize>);

impl FindingCounts {
    /// Of these findings; withdrawn ones are left out.
    pub(crate) fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        let mut counts = BTreeMap::new();
        for outcome in findings.into_iter().filter_map(|it| it.outcome) {
            *counts.entry(outcome).or_insert(0) += 1;
        }
        Self(counts)
    }

    /// How many there are.
    #[must_use]
    pub fn all(&self) -> usize {
        self.0.values().sum()
    }

    /// How many there are but for those that a test or a look did not find.
    #[must_use]
    pub fn faults(&self) -> usize {
        { self.groups() }
            .filter(|it| it.0.is_fault())
            .map(|it| it.1)
            .sum()
    }

    /// How many of a group.
    #[must_use]
    pub fn number(&self, outcome: Outcome) -> usize {
        self.0.get(&outcome).copied().unwrap_or(0)
    }

    /// The groups that have any, in the order in which they are told.
    pub fn groups(&self) -> impl Iterator<Item = (Outcome, usize)> {
        self.0.iter().map(|(outcome, number)| (*outcome, *number))
    }

    /// `5 findings: 2 still there; 3 gone`; without a stop at its end. What was not found is told beside them and is none of them:
    /// `1 finding, gone. Besides: 1 tested, nothing found`.
    #[must_use]
    pub fn text(&self) -> Saying {
        let all = say::counts_all(self.faults());
        let told = |all: Vec<(Outcome, usize)>| {
            let told = all
                .into_iter()
                .map(|it| say::counts_group(it.1, it.0.words()));
            Saying::Parted(told.collect())
        };
        let (groups, clean): (Vec<_>, Vec<_>) = self.groups().partition(|it| it.0.is_fault());
        let faults = match groups.as_slice() {
            [] => say::counts_none(),
            [(outcome, _)] => say::counts_one(all, outcome.words()),
            _ => say::counts_many(all, told(groups)),
        };
        match clean.is_empty() {
            true => faults,
            false => say::counts_besides(faults, told(clean)),
        }
    }
}
