//! What an estimate says besides its sums.

use super::estimates::of;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::sold;
use crate::model::market::Wish;

#[test]
fn a_wish_is_answered_on_the_way_that_is_shown() {
    let notes = |path: &str, wish: Option<Wish>| {
        let mut build = chest_with(&[]);
        build.case.piece.market.wish = wish;
        build.case.piece.market.sold = sold(path, &[900]);
        of(&build).notes.join(" ")
    };
    let wish = Some(Wish::Lighter);
    assert!(notes("clean_wax", wish).contains("this way leaves the colour that it has"));
    assert!(notes("strip_clear", wish).contains("as near to it as the wood allows"));
    assert!(!notes("clean_wax", None).contains("you wish"));
}

#[test]
fn where_the_work_is_not_paid_the_price_as_it_stands_is_asked_for() {
    let asks = |lines: &[(&str, i64)]| {
        let mut build = chest_with(&[("veneer_lift", "top", 3), ("runner_worn", "drawer-1", 3)]);
        let market = &mut build.case.piece.market;
        market.sold = lines.iter().flat_map(|it| sold(it.0, &[it.1])).collect();
        let notes = of(&build).notes.join(" ");
        notes.contains("--sold leave=AMOUNT")
    };
    assert!(asks(&[("clean_wax", 60)]));
    assert!(!asks(&[("clean_wax", 2000)]) && !asks(&[("clean_wax", 60), ("leave", 50)]));
}
