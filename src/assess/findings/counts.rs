//! How many of each: the one value from which every number of findings, parts and silences is printed.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

use crate::assess::assessment::Finding;
use crate::assess::assessment::Origin;
use crate::assess::assessment::PartReport;
use crate::assess::assessment::PartState;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;

/// What a record counts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Findings, without the withdrawn ones.
    pub findings: FindingCounts,
    /// Of those that are still there, how many have level 1, 2, 3 and 4.
    pub open_by_level: [usize; 4],
    /// Of those that are still there, how many have no level.
    pub open_without_level: usize,
    /// Findings first seen after the piece had left.
    pub after_sale: usize,
    /// Parts by what was said of them.
    pub parts: PartCounts,
    /// What was not examined.
    pub lacks: LackCounts,
}

/// Findings by what became of them; groups without any are left out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct FindingCounts(BTreeMap<Outcome, usize>);

/// Parts by what was said of them; together they are all parts of the list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct PartCounts {
    /// With findings.
    pub with_findings: usize,
    /// Of those, how many were not examined otherwise, as somebody wrote.
    pub otherwise_not_examined: usize,
    /// Looked at without finding a fault.
    pub sound: usize,
    /// Not there.
    pub absent: usize,
    /// Not examined, as somebody wrote.
    pub not_examined: usize,
    /// Without any statement.
    pub silent: usize,
}

/// What was not examined, each thing counted once.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LackCounts {
    /// Parts of which somebody wrote that nobody looked.
    pub parts: usize,
    /// Parts without any statement.
    pub silent_parts: usize,
    /// Findings that no picture settles.
    pub findings: usize,
    /// Tests that were not made.
    pub tests: usize,
    /// Views that were not taken, over all stages.
    pub views: usize,
}

impl Counts {
    /// Counts.
    pub(crate) fn of(
        findings: &[Finding],
        parts: &[PartReport],
        unexamined: &[Unexamined],
        views: &[MissingView],
    ) -> Self {
        let told = || findings.iter().filter(|it| it.outcome.is_some());
        let open = || told().filter(|it| it.outcome == Some(Outcome::Open));
        let at_level = |level: u8| open().filter(|it| it.level == Some(level)).count();
        let lines = |silence| unexamined.iter().filter(|it| it.silence == silence).count();
        Self {
            findings: FindingCounts::of(told()),
            open_by_level: [1, 2, 3, 4].map(at_level),
            open_without_level: open().filter(|it| it.level.is_none()).count(),
            after_sale: told().filter(|it| it.origin == Origin::AfterSale).count(),
            parts: PartCounts::of(parts),
            lacks: LackCounts {
                parts: lines(Silence::NotExamined),
                silent_parts: lines(Silence::Nothing),
                findings: lines(Silence::NotSettled),
                tests: lines(Silence::NotTested),
                views: views.len(),
            },
        }
    }
}

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

    /// How many of a group.
    #[must_use]
    pub fn number(&self, outcome: Outcome) -> usize {
        self.0.get(&outcome).copied().unwrap_or(0)
    }

    /// The groups that have any, in the order in which they are told.
    pub fn groups(&self) -> impl Iterator<Item = (Outcome, usize)> {
        self.0.iter().map(|(outcome, number)| (*outcome, *number))
    }

    /// `5 findings: 2 still there and 3 gone`; without a stop at its end.
    #[must_use]
    pub fn text(&self) -> String {
        let all = plural(self.all(), "finding", "findings");
        let groups: Vec<String> = self
            .groups()
            .map(|(outcome, number)| format!("{number} {}", outcome.words()))
            .collect();
        match (groups.as_slice(), self.groups().next()) {
            ([], _) => "no finding".to_owned(),
            ([_], Some((outcome, _))) => format!("{all}, {}", outcome.words()),
            (groups, _) => format!("{all}: {}", groups.join("; ")),
        }
    }
}

impl PartCounts {
    fn of(parts: &[PartReport]) -> Self {
        let mut it = Self::default();
        for part in parts {
            let number = match part.state {
                PartState::Absent { .. } => &mut it.absent,
                PartState::NotExamined { .. } => &mut it.not_examined,
                PartState::Silent => &mut it.silent,
                PartState::Sound { .. } => &mut it.sound,
                PartState::Faults => &mut it.with_findings,
            };
            *number += 1;
            it.otherwise_not_examined += usize::from(part.otherwise.is_some());
        }
        it
    }

    /// How many there are.
    #[must_use]
    pub fn all(&self) -> usize {
        self.with_findings + self.sound + self.absent + self.not_examined + self.silent
    }

    /// `2 with findings, 5 looked at without finding a fault and 1 absent`; without a stop at its end.
    #[must_use]
    pub fn text(&self) -> String {
        let with = match self.otherwise_not_examined {
            0 => "with findings".to_owned(),
            number => format!("with findings ({number} of these otherwise not examined)"),
        };
        let groups = [
            (self.with_findings, with.as_str()),
            (self.sound, "looked at without finding a fault"),
            (self.absent, "absent"),
            (self.not_examined, "not examined"),
            (self.silent, "without a statement"),
        ];
        let groups = groups.iter().filter(|(number, _)| *number > 0);
        let groups: Vec<String> = groups.map(|(n, what)| format!("{n} {what}")).collect();
        match groups.as_slice() {
            [] => "none".to_owned(),
            [one] => one.clone(),
            [most @ .., last] => format!("{} and {last}", most.join(", ")),
        }
    }
}

impl LackCounts {
    /// `2 parts, 6 tests not made, 20 views not taken`; without a stop at its end.
    #[must_use]
    pub fn text(&self) -> String {
        let groups = [
            (self.parts, "part", "parts"),
            (
                self.silent_parts,
                "part without a statement",
                "parts without a statement",
            ),
            (
                self.findings,
                "finding not settled by a picture",
                "findings not settled by a picture",
            ),
            (self.tests, "test not made", "tests not made"),
            (self.views, "view not taken", "views not taken"),
        ];
        let groups = groups.iter().filter(|it| it.0 > 0);
        let groups: Vec<String> = groups
            .map(|(number, one, many)| plural(*number, one, many))
            .collect();
        groups.join(", ")
    }
}

fn plural(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
