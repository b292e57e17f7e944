//! Hours of the trade book held against what shops charge.

use super::plan::plan_of;
use crate::advise::tests::made_up::chest;

/// What shops charge a customer to strip and refinish a dresser, and for an hour, USD: from, to. A price guide for customers on the
/// web, `How much does it cost to strip and refinish a dresser`, read in 2026; the trade itself publishes no table of hours that was
/// found, so all other hours stay common practice.
const DRESSER: [i64; 2] = [280, 960];
const AN_HOUR: [i64; 2] = [40, 60];

#[test]
fn a_chest_is_stripped_and_finished_in_the_hours_that_shops_charge() {
    let bench = plan_of(&chest(), "strip_clear").hours.bench_minutes;
    let minutes = |price: i64, rate: i64| price * 60 / rate;
    // A cheap job at a low rate, a dear one at a high rate.
    let usual = minutes(DRESSER[0], AN_HOUR[0])..=minutes(DRESSER[1], AN_HOUR[1]);
    assert!(usual.contains(&bench.likely), "{bench:?} in {usual:?}");
    assert!(bench.high <= minutes(DRESSER[1], AN_HOUR[0]), "{bench:?}");
    assert!(bench.low >= minutes(DRESSER[0], AN_HOUR[1]), "{bench:?}");
}
