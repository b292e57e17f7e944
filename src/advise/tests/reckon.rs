//! The reckoning of an offer, held against its own sentences and against a hand's reckoning of them.

use proptest::prelude::*;

use super::made_up::settings;
use crate::advise::price::reckon::Because;
use crate::advise::price::reckon::Deal;
use crate::advise::price::reckon::Reckoned;
use crate::advise::price::reckon::reckon;
use crate::advise::price::terms::Terms;
use crate::model::market::Market;
use crate::trade;
use crate::trade::entry::offer::Stop;

/// Shares in hundredths of a percent, amounts in cents.
fn terms() -> impl Strategy<Value = Terms> {
    let usual = Terms::of(&settings(), &Market::default(), trade::book()).unwrap();
    let shares = (0_i64..6000, 0_i64..4000, 0_i64..7000);
    (shares, 0_i64..20_000, 0_i64..6000, 0_i64..10_000).prop_map(
        move |((fee, discount, margin), least_margin, lowest_hourly, delivery)| Terms {
            fee,
            discount,
            margin,
            least_margin,
            lowest_hourly,
            delivery,
            ..usual.clone()
        },
    )
}

fn deal() -> impl Strategy<Value = Deal> {
    let stops = prop_oneof![
        3 => Just(None),
        1 => Just(Some(Stop::Ask)),
        1 => Just(Some(Stop::Donor)),
        1 => Just(Some(Stop::Walk)),
    ];
    let asks = prop::option::of(0_i64..150_000);
    (0_i64..300_000, 0_i64..40_000, 0_i64..6000, asks, stops).prop_map(
        |(price, cash, minutes, asks, stop)| Deal {
            price,
            cash,
            minutes,
            asks,
            stop,
        },
    )
}

/// Net sale is what is left of the price after channel, bargaining and delivery. The most is the lesser of net sale less
/// cash less margin, and net sale less cash less the wage for the hours; a piece for its parts brings a tenth to a fifth.
fn by_hand(it: &Deal, terms: &Terms) -> f64 {
    let of = |amount: f64, share: i64| amount * share as f64 / 10_000.0;
    let price = it.price as f64;
    let off = of(price, (terms.fee + terms.discount).min(10_000));
    let net = price - off - terms.delivery as f64;
    let margin = of(net, terms.margin).max(terms.least_margin as f64);
    let wage = terms.lowest_hourly as f64 * it.minutes as f64 / 60.0;
    let mut most = (net - it.cash as f64 - margin).min(net - it.cash as f64 - wage);
    if it.stop == Some(Stop::Donor) {
        most = most.min(price * 0.2);
    }
    most = most.max(price * 0.1);
    if it.stop == Some(Stop::Walk) {
        most = 0.0;
    }
    it.asks.map_or(most, |asks| most.min(asks as f64))
}

fn lesser(got: &Reckoned) -> i64 {
    got.by_margin.min(got.by_hours)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn the_highest_is_what_a_hand_reckons(it in deal(), terms in terms()) {
        let (got, want) = (reckon(&it, &terms), by_hand(&it, &terms));
        // Three roundings to the cent at most.
        prop_assert!((got.highest as f64 - want).abs() <= 1.6, "{got:?} is not {want}");
    }

    #[test]
    fn it_is_the_lesser_of_two_modes_between_its_parts_and_the_asking_price(it in deal(), terms in terms()) {
        let got = reckon(&it, &terms);
        if let Some(asks) = it.asks {
            prop_assert!(got.highest <= asks, "more than is asked: {got:?}");
        }
        if it.stop == Some(Stop::Walk) {
            prop_assert_eq!((got.highest, got.because), (it.asks.unwrap_or(0).min(0), Because::Stopped));
            prop_assert_eq!(got.first_bid, None);
            return Ok(());
        }
        let floor = got.donor[0].min(it.asks.unwrap_or(i64::MAX));
        prop_assert!(got.highest >= floor, "less than its parts: {got:?}");
        match got.because {
            Because::Margin => prop_assert!(got.highest == got.by_margin && got.by_margin <= got.by_hours),
            Because::Hours => prop_assert!(got.highest == got.by_hours && got.by_hours < got.by_margin),
            Because::Parts => prop_assert!(got.highest == got.donor[0] && lesser(&got) <= got.highest),
            Because::OnlyParts => prop_assert!(got.highest == got.donor[1] && lesser(&got) > got.highest),
            Because::Asked => prop_assert!(Some(got.highest) == it.asks && got.worth > got.highest),
            Because::Stopped => prop_assert!(false, "stopped without a reason: {it:?}"),
        }
    }

    #[test]
    fn a_higher_price_never_makes_it_less(it in deal(), terms in terms(), more in prop_oneof![1_i64..5, 1_i64..100_000]) {
        let dearer = reckon(&Deal { price: it.price + more, ..it }, &terms);
        let got = reckon(&it, &terms);
        prop_assert!(dearer.highest >= got.highest && dearer.worth >= got.worth, "{dearer:?} after {got:?}");
        prop_assert!(dearer.by_margin >= got.by_margin && dearer.by_hours >= got.by_hours);
        let from = |it: Reckoned| it.first_bid.map_or(0, |it| it[0]);
        prop_assert!(from(dearer) >= from(got));
    }

    #[test]
    fn more_work_more_cash_or_a_reason_to_stop_never_makes_it_more(it in deal(), terms in terms(), more in 1_i64..5000) {
        let highest = |it: Deal| reckon(&it, &terms).highest;
        let longer = highest(Deal { minutes: it.minutes + more, ..it });
        let dearer = highest(Deal { cash: it.cash + more, ..it });
        prop_assert!(longer <= highest(it) && dearer <= highest(it), "{longer} {dearer}");
        let rank = [None, Some(Stop::Ask), Some(Stop::Donor), Some(Stop::Walk)].map(|stop| highest(Deal { stop, ..it }));
        prop_assert!(rank[0] == rank[1] && rank[1] >= rank[2] && rank[2] >= rank[3], "{rank:?}");
    }

    #[test]
    fn the_first_bid_is_at_most_what_is_asked(it in deal(), terms in terms()) {
        let got = reckon(&it, &terms);
        let Some([from, to]) = got.first_bid else {
            prop_assert!(got.highest <= 0);
            return Ok(());
        };
        prop_assert!(0 <= from && from <= to && to <= got.highest);
        prop_assert!(it.asks.is_none_or(|asks| to <= asks));
    }

    #[test]
    fn overrun_and_risk_take_nothing_away(it in deal(), terms in terms(), risk in 0_i64..10_000) {
        let other = Terms { risk, ..terms.clone() };
        prop_assert_eq!(reckon(&it, &terms), reckon(&it, &other));
    }
}

/// By hand: 210 less 5 % is 199.50; cash 5 + 20 + 15 = 40. By margin 199.50 - 40 - 69.82 (35 %; 69.825, half to even) =
/// 89.68. By hours, 6 h 18 min at 10: 199.50 - 40 - 63 = 96.50. The lesser is 89.68, and 85 is asked.
#[test]
fn an_ordinary_sound_chest_is_bought_at_85() {
    let terms = Terms::of(&settings(), &Market::default(), trade::book()).unwrap();
    let chest = Deal {
        price: 21_000,
        cash: 4000,
        minutes: 378,
        asks: Some(8500),
        stop: None,
    };
    let got = reckon(&chest, &terms);
    assert_eq!(
        (got.net_sale, got.by_margin, got.by_hours),
        (19_950, 8968, 9650)
    );
    assert_eq!(
        (got.worth, got.highest, got.because),
        (8968, 8500, Because::Asked)
    );
    // 60 % and 75 % of 89.68.
    assert_eq!(got.first_bid, Some([5381, 6726]));
    let asks_less = reckon(
        &Deal {
            asks: Some(6000),
            ..chest
        },
        &terms,
    );
    assert_eq!(asks_less.first_bid, Some([5381, 6000]));
}
