//! What holds for every offer.

use super::estimates::SHOW;
use super::estimates::estimated;
use super::estimates::of;
use super::estimates::option;
use crate::advise::labour::exact::share;
use crate::advise::price::basis::Sums;
use crate::advise::price::estimate::Estimate;
use crate::advise::refinish::advice::Verdict as Can;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::eur;
use crate::advise::tests::made_up::settings;
use crate::advise::tests::made_up::sold;
use crate::assess::tests::build::Build;
use crate::model::market::Chosen;
use crate::trade;
use proptest::prelude::*;
const FAULTS: [&str; 10] = [
    "dent",
    "veneer_lift",
    "loose_joint",
    "runner_worn",
    "burn",
    "gouge",
    "worm_active",
    "lead_paint",
    "odour_musty",
    "part_missing",
];
const PLACES: [&str; 5] = [
    "top",
    "side-left",
    "drawer-1",
    "drawer-2/bottom",
    "foot-front-left",
];
const PATHS: [&str; 8] = [
    "leave",
    "clean_wax",
    "touch_up",
    "revive",
    "strip_stain",
    "fill_paint",
    "specialist",
    "donor",
];
const VERDICTS: [Can; 4] = [Can::Open, Can::AfterWork, Can::Waiting, Can::Shut];

fn priced(faults: &[(usize, usize, u8)], price: i64) -> Build {
    let named: Vec<_> = faults
        .iter()
        .map(|it| (FAULTS[it.0], PLACES[it.1], it.2))
        .collect();
    let mut build = chest_with(&named);
    for (n, mark) in build.case.photos[0].sidecar.marks.iter_mut().enumerate() {
        mark.which = Some(format!("no {n}"));
    }
    for path in PATHS {
        build.case.piece.market.sold.extend(sold(path, &[price]));
    }
    build
}

fn a_fault() -> impl Strategy<Value = (usize, usize, u8)> {
    (0..FAULTS.len(), 0..PLACES.len(), 1_u8..=4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn one_fault_more_or_one_look_less_never_raises_an_offer(
        faults in prop::collection::vec(a_fault(), 0..5),
        more in a_fault(),
        price in 50_i64..3000,
    ) {
        // A test that found nothing answers a question well, and is no fault more: it gives back what was put aside, and no more.
        let tag = trade::book().tag(FAULTS[more.0]).unwrap();
        let is_clean = tag.is_test(Some(more.2)) && !tag.is_danger(Some(more.2));
        let before = priced(&faults, price);
        let grown: Vec<_> = faults.iter().copied().chain([more]).collect();
        let worse = of(&priced(&grown, price));
        let seen = of(&before.clone().photo("underside_whole", &[], Vec::new()).photo("back_whole", &[], Vec::new()));
        for it in of(&before).options.iter().filter(|it| PATHS.contains(&it.way.id.as_str())) {
            let sums = it.offer.sums.as_ref().unwrap();
            let least = sums.by_margin.minor.min(sums.by_hours.minor);
            // Its parts surely bring a tenth of the price, which stands in the offer as it is said.
            let tenth = share(sums.lowest_sold.minor, 1000);
            prop_assert!(sums.highest.minor <= least.max(tenth) && sums.donor[0].minor <= tenth);
            let of = |other: &Estimate| option(other, &it.way.id).offer.sums.as_ref().unwrap().highest.minor;
            let most = if is_clean { sums.highest.minor.max(least + sums.aside.minor) } else { sums.highest.minor };
            prop_assert!(of(&worse) <= most, "{}: {} after {}", it.way.id, of(&worse), sums.highest);
            prop_assert!(of(&seen) >= sums.highest.minor);
            let parts = sums.fee.minor + sums.discount.minor + sums.delivery.minor + sums.net_sale.minor;
            prop_assert_eq!(parts, sums.lowest_sold.minor);
        }
    }

    #[test]
    fn what_is_shut_or_waits_is_never_planned(
        held in prop::collection::vec((0..SHOW.len(), 0..PATHS.len(), 0..VERDICTS.len()), 0..40),
        chosen in prop::collection::vec((prop::option::of(0..SHOW.len()), 0..PATHS.len()), 0..4),
    ) {
        let mut build = chest_with(&[("dent", "top", 2)]);
        let line = |it: &(Option<usize>, usize)| Chosen { part: it.0.map(|at| SHOW[at].parse().unwrap()), path: PATHS[it.1].to_owned() };
        build.case.piece.market.chosen = chosen.iter().map(line).collect();
        let it = build.assess();
        let but: Vec<_> = held.iter().map(|it| (SHOW[it.0], PATHS[it.1], VERDICTS[it.2])).collect();
        let advice = advice(&it, &but);
        let found = estimated(&it, &advice, &settings());
        prop_assert!(!found.options.is_empty());
        for way in found.options.iter().map(|it| &it.way) {
            for part in &way.parts {
                let Some(path) = &part.path else { continue };
                let on = advice.iter().find(|it| it.part == part.part).unwrap();
                let verdict = on.paths.iter().find(|it| it.path == *path).unwrap().verdict;
                prop_assert!(matches!(verdict, Can::Open | Can::AfterWork), "{path} on {} is {verdict:?}", part.part);
            }
        }
        for refused in &found.refused {
            let on = advice.iter().find(|it| it.part == refused.part).unwrap();
            let verdict = on.paths.iter().find(|it| it.path == refused.path).unwrap().verdict;
            prop_assert!(matches!(verdict, Can::Waiting | Can::Shut));
        }
    }

    /// Whatever is found and asked, and however the prices of its ways stand to each other.
    #[test]
    fn a_higher_price_of_any_way_never_makes_less_of_the_piece(
        faults in prop::collection::vec(a_fault(), 0..4),
        prices in prop::collection::vec(20_i64..2500, PATHS.len()),
        dearer in 0..PATHS.len(),
        more in 1_i64..800,
        asks in prop::option::of(5_i64..1500),
    ) {
        let of = |prices: &[i64]| {
            let mut build = priced(&faults, 0);
            let market = &mut build.case.piece.market;
            market.seller_asks = asks.map(eur);
            market.sold = PATHS.iter().zip(prices).flat_map(|it| sold(it.0, &[*it.1])).collect();
            let found = of(&build);
            let sums = found.options[found.shown].offer.sums.clone().unwrap();
            (sums, found)
        };
        let (before, found) = of(&prices);
        let mut risen = prices.clone();
        risen[dearer] += more;
        let (after, _) = of(&risen);
        prop_assert!(after.highest.minor >= before.highest.minor, "{after:?} after {before:?}");
        // The only amount that is spoken is the first bid.
        let bid = before.first_bid.map_or(0, |it| it[0].minor / 100);
        // And from the words alone two different ceilings are possible.
        let alike = |more: i64| {
            let shifted: Vec<i64> = prices.iter().map(|it| (it + more).max(1)).collect();
            let (other, told) = of(&shifted);
            let ceiling = |it: &Sums| it.by_margin.minor.min(it.by_hours.minor);
            told.words == found.words && ceiling(&other) != ceiling(&before)
        };
        prop_assert!([1, -1, 2, -2].into_iter().any(alike), "{:?} of {before:?}", found.words);
        for line in &found.words {
            for amount in line.match_indices("EUR ").map(|it| &line[it.0 + 4..]) {
                let spoken: String = amount.chars().take_while(|it| it.is_ascii_digit() || *it == '.').collect();
                prop_assert_eq!(spoken.trim_end_matches('.'), bid.to_string(), "{}", line);
            }
        }
        // The bid, what is absent, two faults and how many more, what nobody saw; and every danger.
        let dangers = faults.iter().filter(|it| it.2 == 4).count();
        prop_assert!(found.words.len() <= 6 + dangers);
    }
}
