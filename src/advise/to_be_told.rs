//! What has to be told: results of tests, and living dangers to whoever has the piece.

use crate::advise::next_step::NextStep;
use crate::advise::next_step::step;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::tests_told;
use crate::kit::text::small;
use crate::model::repair::Repair;
use crate::trade::TradeBook;

/// Living dangers of a piece that is sold or has left, of which nothing shows that they are gone: whoever has it has to know.
pub(in crate::advise) fn to_be_told(it: &Assessment, book: &TradeBook) -> Vec<NextStep> {
    let alive = it.findings.iter().filter(|it| {
        let tag = book.tag(&it.tag);
        it.is_to_do() && tag.is_some_and(|it| it.clear.is_some())
    });
    let line = |it: &Finding| {
        let done = it.dealt_with(|day| day.to_string()).join("; ");
        let part = small(&it.part_label);
        let what = format!("Tell who has it: {} {}, {part}", it.no, it.term);
        step("tell_buyer", what, done)
    };
    after_sale(it).into_iter().chain(alive.map(line)).collect()
}

/// Damage that was first seen after the piece had left: whoever answers for it wants to be told in time.
fn after_sale(it: &Assessment) -> Option<NextStep> {
    let new = it
        .findings
        .iter()
        .filter(|it| it.origin == Origin::AfterSale && it.is_to_do());
    let named: Vec<String> = new.map(Finding::named).collect();
    (!named.is_empty()).then(|| {
        let what = format!("New since it left, tell it in time: {}", named.join("; "));
        let no = &it.piece.stock_no;
        let how = format!("asfound deadlines {no}; then asfound dossier {no} --claim ...");
        step("tell_damage", what, how)
    })
}

/// Tests of which nobody told the result yet.
pub(in crate::advise) fn results_to_tell(it: &Assessment, book: &TradeBook) -> Vec<NextStep> {
    let one = |repair: &Repair| {
        let test = book.method(&repair.method)?;
        let tag = tests_told::tested(test, book)?;
        let what = format!(
            "Tell the result: {} of {} (repair {})",
            small(&test.name),
            repair.day,
            repair.no
        );
        Some(step("tell_result", what, tests_told::how_to_tell(tag)))
    };
    tests_told::untold(&it.repairs, &it.findings, book)
        .filter_map(one)
        .collect()
}
