//! What is known of lead in old paint: tested and found, tested and not found, or not tested.

use std::collections::BTreeMap;

use crate::advise::labour::plan_input::PlanInput;
use crate::advise::part::context::is_said_gone;
use crate::advise::part::facts::Facts;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::permit::LEAD_TEST;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::tests_told;
use crate::assess::part_list::is_face;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;

const LEAD: &str = "lead_paint";

/// The findings on lead that stand.
fn told(it: &Assessment) -> impl Iterator<Item = &Finding> {
    let over = [
        FindingState::Withdrawn,
        FindingState::NotFound,
        FindingState::Gone,
    ];
    let lead = it.findings.iter().filter(|it| it.tag == LEAD);
    lead.filter(move |it| !over.contains(&it.state))
}

/// Where a test found lead about which nothing was done yet.
pub(in crate::advise) fn lead_found(need: &PlanInput<'_>) -> Option<Vec<String>> {
    let lead = told(need.it).filter(|it| it.test_found() == Some(true) && it.is_to_do());
    labels(lead)
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
    if is_found(need.it) {
        return None;
    }
    let parts: Vec<String> = open(need, facts).map(|it| need.it.label(it)).collect();
    (!parts.is_empty()).then_some(parts)
}

/// The same parts by name, whatever was found elsewhere. A clean test ends the question for its part, but for what another finding
/// there leaves open.
fn open<'a>(
    need: &'a PlanInput<'_>,
    facts: &'a BTreeMap<PartId, Facts>,
) -> impl Iterator<Item = &'a PartId> {
    let is = move |part: &PartId, said: Option<bool>| {
        told(need.it).any(|it| it.test_found() == said && is_face(&it.part, part))
    };
    let yes = |facts: &Facts, text: &str| ask(facts, text) == Truth::Yes;
    let open = facts.iter().filter(move |(part, it)| {
        let paint = yes(it, "finish = paint") || yes(it, "fault.overpaint >= 1");
        let is_new = yes(it, "made >= 1980") || yes(it, "old_paint = ruled_out");
        let painted = paint && !is_new && !is_said_gone(need.it, LEAD, part);
        is(part, None) || (painted && !is(part, Some(false)))
    });
    open.map(|it| it.0)
}

/// Whether a test that answers for this part is on record, and only its result is not told yet.
pub(in crate::advise) fn is_awaited_on(it: &Assessment, part: &PartId, book: &TradeBook) -> bool {
    let mut untold = untold_tests(it, book);
    untold.any(|test| tests_told::answers_for(test, part, &it.findings, book))
}

/// The newest test of which nobody told the result, and whether it answers for all that is asked.
pub(in crate::advise) fn awaited<'a>(
    need: &PlanInput<'a>,
    facts: &BTreeMap<PartId, Facts>,
) -> Option<(&'a Repair, bool)> {
    let test = untold_test(need.it, need.book)?;
    let findings = &need.it.findings;
    let all =
        open(need, facts).all(|part| tests_told::answers_for(test, part, findings, need.book));
    Some((test, all))
}

/// Whether a test is told somewhere on the piece, be it of the top coat alone.
pub(in crate::advise) fn is_tested_somewhere(it: &Assessment, book: &TradeBook) -> bool {
    told(it).any(|it| book.tag(&it.tag).is_some_and(|tag| tag.is_test(it.level)))
}

/// Whether a test found lead somewhere on the piece.
pub(in crate::advise) fn is_found(it: &Assessment) -> bool {
    told(it).any(|it| it.test_found() == Some(true))
}

/// The newest test of lead of which nobody told the result.
pub(in crate::advise) fn untold_test<'a>(
    it: &'a Assessment,
    book: &'a TradeBook,
) -> Option<&'a Repair> {
    untold_tests(it, book).last()
}

fn untold_tests<'a>(it: &'a Assessment, book: &'a TradeBook) -> impl Iterator<Item = &'a Repair> {
    let untold = tests_told::untold(&it.repairs, &it.findings, book);
    untold.filter(|it| it.method == LEAD_TEST)
}

/// The answer to a question written out; a text that is none has no answer.
fn ask(facts: &Facts, text: &str) -> Truth {
    let atom: Result<Condition, _> = text.parse();
    atom.map_or(Truth::Open, |it| facts.answer(&it))
}
