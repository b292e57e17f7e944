//! How many of each: the one value from which every number of findings, parts and silences is printed.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::finding_counts::FindingCounts;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::tongue::Saying;
use crate::tongue::say;

/// What a record counts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Findings, without the withdrawn ones.
    pub findings: FindingCounts,
    /// Of those that are still there, or were when last seen and are not known to be repaired or gone: how many have level 1, 2, 3
    /// and 4, as last seen.
    pub open_by_level: [usize; 4],
    /// Of the same, how many have no level.
    pub open_without_level: usize,
    /// The same by what became of them.
    #[serde(skip)]
    pub levels: BTreeMap<Outcome, ByLevel>,
    /// Findings first seen after the piece had left.
    pub after_sale: usize,
    /// Parts by what was said of them.
    pub parts: PartCounts,
    /// What was not examined.
    pub lacks: LackCounts,
}

/// How many findings have which level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ByLevel {
    /// Level 1, 2, 3 and 4.
    pub levels: [usize; 4],
    /// None.
    pub without: usize,
}

impl ByLevel {
    fn add(&mut self, level: Option<u8>) {
        let at = level.and_then(|it| usize::from(it).checked_sub(1));
        match at.and_then(|it| self.levels.get_mut(it)) {
            Some(number) => *number += 1,
            None => self.without += 1,
        }
    }

    fn add_all(&mut self, more: &Self) {
        { self.levels.iter_mut() }
            .zip(more.levels)
            .for_each(|(number, more)| *number += more);
        self.without += more.without;
    }
}

/// Parts by what was said of them; together they are all parts of the list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct PartCounts {
    /// With findings.
    pub with_findings: usize,
    /// Of those, how many were not examined otherwise, as somebody wrote.
    pub otherwise_not_examined: usize,
    /// With clean tests, or looked at for one fault that was not there, and without a statement on any other.
    pub tested_clean: usize,
    /// Looked at without finding a fault.
    pub sound: usize,
    /// Not there.
    pub absent: usize,
    /// Not examined, as somebody wrote.
    pub not_examined: usize,
    /// Without any statement.
    pub silent: usize,
    /// Seen, and without a statement on faults.
    pub unjudged: usize,
}

/// What was not examined, each thing counted once.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LackCounts {
    /// Parts of which somebody wrote that nobody looked, nor were their findings examined since.
    pub parts: usize,
    /// Parts of which somebody wrote that nobody looked at them beyond findings that were examined.
    pub parts_otherwise: usize,
    /// Parts without any statement.
    pub silent_parts: usize,
    /// Parts of which something was seen, and nothing said of faults.
    pub unjudged_parts: usize,
    /// Findings that no picture settles.
    pub findings: usize,
    /// Findings that were seen, and not at their newest look.
    pub findings_since: usize,
    /// Tests that were not made.
    pub tests: usize,
    /// Tests that were made, and do not speak for the whole piece.
    pub tests_in_part: usize,
    /// Views that were not taken, over all stages.
    pub views: usize,
    /// Views of which every picture was taken out of the record, over all stages.
    pub views_out: usize,
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
        let mut levels: BTreeMap<Outcome, ByLevel> = BTreeMap::new();
        for (it, outcome) in told().filter_map(|it| Some((it, it.outcome?))) {
            if matches!(outcome, Outcome::Open | Outcome::NotSeenSince) {
                levels.entry(outcome).or_default().add(it.level);
            }
        }
        let mut open = ByLevel::default();
        levels.values().for_each(|it| open.add_all(it));
        let of_parts = PartCounts::of(parts);
        let out = views.iter().filter(|it| !it.taken_out.is_empty()).count();
        let lines = |silence| unexamined.iter().filter(|it| it.silence == silence).count();
        let beyond = unexamined.iter().filter(|it| it.beyond).count();
        Self {
            findings: FindingCounts::of(told()),
            open_by_level: open.levels,
            open_without_level: open.without,
            levels,
            after_sale: told().filter(|it| it.origin == Origin::AfterSale).count(),
            lacks: LackCounts {
                parts: lines(Silence::NotExamined) - beyond,
                parts_otherwise: beyond,
                silent_parts: lines(Silence::Nothing),
                unjudged_parts: lines(Silence::NotJudged),
                findings: lines(Silence::NotSettled),
                findings_since: lines(Silence::NotSeenSince),
                tests: lines(Silence::NotTested),
                tests_in_part: lines(Silence::TestedInPart),
                views: views.len() - out,
                views_out: out,
            },
            parts: of_parts,
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
                PartState::Silent if part.is_tested_clean() => &mut it.tested_clean,
                PartState::Silent if part.remarked => &mut it.unjudged,
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
        let looked_at = self.with_findings + self.tested_clean + self.sound + self.absent;
        looked_at + self.not_examined + self.unjudged + self.silent
    }

    /// `2 with findings, 5 looked at without finding a fault and 1 absent`; without a stop at its end.
    #[must_use]
    pub fn text(&self) -> Saying {
        let with = match self.otherwise_not_examined {
            0 => say::parts_with_findings(self.with_findings),
            number => say::parts_with_findings_otherwise(self.with_findings, number),
        };
        let groups = [
            (self.with_findings, with),
            (self.sound, say::parts_sound(self.sound)),
            (
                self.tested_clean,
                say::parts_tested_clean(self.tested_clean),
            ),
            (self.absent, say::parts_absent(self.absent)),
            (
                self.not_examined,
                say::parts_not_examined(self.not_examined),
            ),
            (self.unjudged, say::parts_unjudged(self.unjudged)),
            (self.silent, say::parts_silent(self.silent)),
        ];
        let groups = groups.into_iter().filter(|it| it.0 > 0);
        let mut groups: Vec<Saying> = groups.map(|it| it.1).collect();
        match (groups.pop(), groups.is_empty()) {
            (None, _) => say::none(),
            (Some(one), true) => one,
            (Some(last), false) => say::and_last(Saying::Commas(groups), last),
        }
    }
}

impl LackCounts {
    /// `2 parts, 6 tests not made, 20 views not taken`; without a stop at its end.
    #[must_use]
    pub fn text(&self) -> Saying {
        let groups = [
            (self.parts, say::lack_parts(self.parts)),
            (
                self.parts_otherwise,
                say::lack_parts_otherwise(self.parts_otherwise),
            ),
            (self.silent_parts, say::lack_silent_parts(self.silent_parts)),
            (
                self.unjudged_parts,
                say::lack_unjudged_parts(self.unjudged_parts),
            ),
            (self.findings, say::lack_findings(self.findings)),
            (
                self.findings_since,
                say::lack_findings_since(self.findings_since),
            ),
            (self.tests, say::lack_tests(self.tests)),
            (
                self.tests_in_part,
                say::lack_tests_in_part(self.tests_in_part),
            ),
            (self.views, say::lack_views(self.views)),
            (self.views_out, say::lack_views_out(self.views_out)),
        ];
        let groups = groups.into_iter().filter(|it| it.0 > 0);
        Saying::Commas(groups.map(|it| it.1).collect())
    }
}
