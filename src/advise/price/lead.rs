//! What is known of lead in old paint: tested and found, tested and not found, or not tested.

use std::collections::BTreeMap;

use crate::advise::labour::tasks::PlanInput;
use crate::advise::part::facts::Facts;
use crate::advise::part::surface;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::permit::LEAD_TEST;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::tests_told;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;

const LEAD: &str = "lead_paint";

/// What a finding says of lead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tested {
    /// A test found it.
    Lead,
    /// A test found none.
    Clean,
    /// It may be there.
    Not,
}

/// The findings on lead, with what each says.
fn told<'a>(need: &PlanInput<'a>) -> impl Iterator<Item = (&'a Finding, Tested)> {
    let tag = need.book.tag(LEAD);
    let over = [FindingState::Withdrawn, FindingState::Gone];
    let lead = need.it.findings.iter().filter(|it| it.tag == LEAD);
    let lead = lead.filter(move |it| !over.contains(&it.state));
    lead.map(move |it| {
        let said = match tag {
            Some(tag) if tag.is_test(it.level) && tag.is_danger(it.level) => Tested::Lead,
            Some(tag) if tag.is_test(it.level) => Tested::Clean,
            _ => Tested::Not,
        };
        (it, said)
    })
}

/// Where a test found lead about which nothing was done yet.
pub(in crate::advise) fn lead_found(need: &PlanInput<'_>) -> Option<Vec<String>> {
    let lead = told(need).filter(|it| it.1 == Tested::Lead && it.0.is_to_do());
    labels(lead.map(|it| it.0))
}

/// The parts of findings, each once.
fn labels<'a>(of: impl Iterator<Item = &'a Finding>) -> Option<Vec<String>> {
    let mut labels: Vec<String> = of.map(|it| it.part_label.clone()).collect();
    labels.dedup();
    (!labels.is_empty()).then_some(labels)
}

/// Parts with old paint that nobody tested. Lead that was found answers for the whole piece; a test that found none speaks for the
/// part from which its sample came. Paint that is known to be too new, or of which somebody said on the part that it holds none, is
/// not asked about.
pub(in crate::advise) fn lead_not_tested(
    need: &PlanInput<'_>,
    facts: &BTreeMap<PartId, Facts>,
) -> Option<Vec<String>> {
    if told(need).any(|it| it.1 == Tested::Lead) {
        return None;
    }
    let is = |part: &PartId, said: Tested| {
        told(need).any(|it| it.1 == said && surface::is_face(&it.0.part, part))
    };
    let yes = |facts: &Facts, text: &str| ask(facts, text) == Truth::Yes;
    let open = facts.iter().filter(|(part, it)| {
        let paint = yes(it, "finish = paint") || yes(it, "fault.overpaint >= 1");
        let is_new = yes(it, "made >= 1980") || yes(it, "old_paint = ruled_out");
        let painted = paint && !is_new && !is_said_gone(need, LEAD, part);
        (painted || is(part, Tested::Not)) && !is(part, Tested::Clean)
    });
    let parts: Vec<String> = open.map(|it| need.it.label(it.0)).collect();
    (!parts.is_empty()).then_some(parts)
}

/// Whether a test found none somewhere on the piece.
pub(in crate::advise) fn is_tested_somewhere(it: &Assessment) -> bool {
    let over = [FindingState::Withdrawn, FindingState::Gone];
    let mut findings = it.findings.iter();
    findings.any(|it| it.tag == LEAD && it.level == Some(1) && !over.contains(&it.state))
}

/// The newest test of lead of which nobody told the result.
pub(in crate::advise) fn untold_test<'a>(
    it: &'a Assessment,
    book: &'a TradeBook,
) -> Option<&'a Repair> {
    let untold = tests_told::untold(&it.repairs, &it.findings, book);
    untold.filter(|it| it.method == LEAD_TEST).last()
}

/// The answer to a question written out; a text that is none has no answer.
fn ask(facts: &Facts, text: &str) -> Truth {
    let atom: Result<Condition, _> = text.parse();
    atom.map_or(Truth::Open, |it| facts.answer(&it))
}

/// Whether somebody looked for this on the part and wrote that it is not there.
pub(in crate::advise) fn is_said_gone(need: &PlanInput<'_>, tag: &str, part: &PartId) -> bool {
    let mut marks = need.it.photos.iter().flat_map(|it| &it.sidecar.marks);
    marks.any(|it| {
        let here = it.part.as_ref() == Some(part);
        here && it.state == MarkState::Gone && it.tag.as_deref() == Some(tag)
    })
}
