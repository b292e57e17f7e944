//! Lead in loose paint, as who uses and carries the piece is told of it: found by a test, or not tested.

use crate::advise::part::facts::Facts;
use crate::advise::refinish::advice::Lead;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::outcome::Outcome;
use crate::model::ids::FindingNo;
use crate::report::page::context::PageContext;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade;

/// Faults of loose paint, and of lead in paint, that are there or may be, by what is known of lead there.
pub(in crate::report) struct LeadView {
    /// Where a test found it.
    found: Vec<FindingNo>,
    /// Loose paint on the parts where a test found it.
    loose_there: Vec<FindingNo>,
    /// Loose paint on parts of which no test is told.
    untested: Vec<FindingNo>,
}

impl LeadView {
    /// Of the piece.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let facts = Facts::of_all(sources.assessment, trade::book());
        let known = |it: &Finding| match (it.tag.as_str(), it.test_found()) {
            (LEAD, Some(true)) => Lead::Found,
            (LEAD, Some(false)) => Lead::NotSuspected,
            (LEAD, None) if it.level.is_none_or(|it| it >= HEAVY) => Lead::Untested,
            ("flaking", _) => facts.get(&it.part).map_or(Lead::NotSuspected, Facts::lead),
            _ => Lead::NotSuspected,
        };
        let there = sources.findings();
        let there = there.filter(|it| !it.outcome.is_some_and(Outcome::is_closed));
        let mut it = Self {
            found: Vec::new(),
            loose_there: Vec::new(),
            untested: Vec::new(),
        };
        for finding in there {
            match known(finding) {
                Lead::NotSuspected => {}
                Lead::Found if finding.tag == LEAD => it.found.push(finding.no),
                Lead::Found => it.loose_there.push(finding.no),
                Lead::Untested | Lead::Presumed => it.untested.push(finding.no),
            }
        }
        it
    }

    /// What is to be minded before it is used; a reader is sent on by `see`, and reads the whole caution where there is nowhere to send.
    pub(in crate::report) fn using(
        &self,
        sources: &PageContext<'_>,
        see: Option<fn(Saying) -> Saying>,
    ) -> Vec<Saying> {
        let (mut lines, whole) = (Vec::new(), see.is_none());
        let see = see.unwrap_or(Saying::sentence);
        if let Some(found) = self.named(sources) {
            lines.push(match whole {
                true => say::lead_found_there(found),
                false => see(say::lead_found(found)),
            });
        }
        let untested = sources.numbers(&self.untested);
        lines.extend(match (self.untested.is_empty(), self.found.is_empty()) {
            (true, _) => None,
            (false, true) => Some(see(say::lead_possible(untested))),
            (false, false) => Some(say::lead_untested(untested)),
        });
        if whole && !lines.is_empty() {
            let cautions = sources.assessment.cautions.iter();
            let lead = cautions.filter(|it| it.hazard == HAZARD);
            lines.extend(lead.flat_map(|it| it.lines.iter().cloned()));
        }
        lines
    }

    /// The findings of a test, with the loose paint beside them that nobody tested; `None` where no test found lead.
    fn named(&self, sources: &PageContext<'_>) -> Option<Saying> {
        let some = |all: &[FindingNo]| (!all.is_empty()).then(|| sources.numbers(all));
        let loose = some(&self.loose_there);
        Some(match (some(&self.found), loose) {
            (Some(found), Some(loose)) => say::lead_loose_too(found, loose),
            (Some(one), None) | (None, Some(one)) => Saying::Plain(one),
            (None, None) => return None,
        })
    }

    /// The numbers of all of them; none without any.
    pub(in crate::report) fn loose(&self) -> Vec<FindingNo> {
        let mut all = [&self.found[..], &self.loose_there, &self.untested].concat();
        all.sort_unstable();
        all
    }
}

/// The fault that only a test tells.
const LEAD: &str = "lead_paint";

/// The caution on it.
const HAZARD: &str = "lead";
