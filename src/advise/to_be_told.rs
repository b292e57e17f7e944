//! What has to be told: results of tests, and living dangers to whoever has the piece.

use crate::advise::next_step::NextStep;
use crate::advise::next_step::step;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::last_seen::MoreSinceLeft;
use crate::assess::findings::tests_told;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::lacks::Tell;
use crate::assess::part_report::PartState;
use crate::kit::text::small;
use crate::model::repair::Repair;
use crate::trade::TradeBook;

/// What whoever has a piece that is sold or has left has to know: the same list that a sale and a label tell.
pub(in crate::advise) fn to_be_told(it: &Assessment) -> Vec<NextStep> {
    let how = format!("`asfound handover {}` prints it", it.piece.stock_no);
    let line = |(caution, tell): (&Caution, &Tell)| {
        let (title, all) = (&caution.title, tell.findings.join("; "));
        step(
            "tell_buyer",
            format!("Tell who has it: {title}: {all}"),
            how.clone(),
        )
    };
    let told = it.told_first().map(line);
    after_sale(it).into_iter().chain(told).collect()
}

/// A part that was lost, and damage that was first seen, or is there again or worse, after the piece had left: whoever answers for it wants to be told in time.
fn after_sale(it: &Assessment) -> Option<NextStep> {
    let new = it
        .findings
        .iter()
        .filter(|it| it.is_to_do())
        .filter_map(|it| match (it.origin, it.more_since_left()) {
            (Origin::AfterSale, _) => Some(it.named().to_string()),
            (_, Some(MoreSinceLeft::Again)) => Some(format!("{} (there again)", it.named())),
            (_, Some(MoreSinceLeft::Worse)) => Some(format!("{} (worse)", it.named())),
            (_, None) => None,
        });
    let lost = it.parts.iter().filter_map(|it| match &it.state {
        PartState::Absent(missed) if missed.lost()?.since_left && missed.wider().is_none() => {
            Some(format!("{} is not there any more", it.label))
        }
        _ => None,
    });
    let named: Vec<String> = lost.chain(new).collect();
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
