//! Offers without comparables, and in another currency.

use super::estimates::asked;
use super::estimates::estimated;
use super::estimates::of;
use super::estimates::option;
use crate::advise::price::offer::Verdict;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::sold;
use crate::kit::money::Money;
use crate::model::settings::Settings;
#[test]
fn without_comparables_there_is_work_and_cost_but_no_offer() {
    let found = of(&chest_with(&[("dent", "top", 3)]));
    let it = option(&found, "strip_stain");
    assert!(it.offer.sums.is_none() && it.offer.verdict == Verdict::NotKnown);
    assert_eq!(
        it.offer.tell,
        [
            "what such a piece was sold for when so finished: `asfound estimate 26-001 --sold strip_stain=AMOUNT`"
        ]
    );
    assert!(it.plan.hours.minutes.likely > 600 && it.plan.cost.minor.likely > 0);
    assert!(found.words[0].contains("cannot name a price yet"));
    assert_eq!(found.best, None);
    let mut one = chest_with(&[("dent", "top", 3)]);
    one.case.piece.market.sold = sold("strip_stain", &[340]);
    let found = of(&one);
    let notes = &option(&found, "strip_stain").offer.notes;
    assert!(
        notes[0].starts_with("1 of at least 3 sold comparables"),
        "{notes:?}"
    );
    assert!(
        option(&found, "clean_wax").offer.sums.is_none(),
        "another way's price says nothing"
    );
}

#[test]
fn in_another_currency_the_book_s_amounts_are_asked_for() {
    let mut build = chest_with(&[("loose_joint", "frame", 3)]);
    let yen = |minor: i64| Money {
        minor,
        currency: "JPY".parse().unwrap(),
    };
    build.case.piece.market.sold = vec![crate::model::market::Sold {
        path: "leave".to_owned(),
        price: yen(40_000),
    }];
    let it = build.assess();
    let advice = advice(&it, &[]);
    let mut own = Settings::usual("JPY".parse().unwrap());
    let found = estimated(&it, &advice, &own);
    assert_eq!(
        option(&found, "leave").offer.tell,
        [
            "in book.toml: hourly_rate, [terms] pickup, [terms] storage_week",
            "in book.toml: [prices] reglue_joint",
        ]
    );
    (
        own.hourly_rate,
        own.terms.least_margin,
        own.terms.pickup,
        own.terms.storage_week,
    ) = (
        Some(yen(2000)),
        Some(yen(9000)),
        Some(yen(2000)),
        Some(yen(500)),
    );
    own.prices.insert("reglue_joint".to_owned(), yen(300));
    let found = estimated(&it, &advice, &own);
    let it = option(&found, "leave");
    let sums = it.offer.sums.as_ref().unwrap();
    // 25 and 25 and 20 at 20 an hour are 1.25, 1.25 and 1 hours: 7000 yen at 2000 an hour.
    assert_eq!(
        asked(it),
        ["underside_not_seen", "drawers_not_opened", "back_not_seen"]
    );
    assert_eq!(
        (sums.aside, sums.looks, sums.materials),
        (yen(0), yen(7000), yen(300))
    );
    // A floor of half the rate: 2000 x 10 / 20.
    assert_eq!(sums.wage, yen(1000));
}
