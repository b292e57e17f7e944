//! The reckoning of an offer, held against its own sentences and against a hand's reckoning of them.

use proptest::prelude::*;

use crate::advise::price::reckon::Because;
use crate::advise::price::reckon::Deal;
use crate::advise::price::reckon::Reckoned;
use crate::advise::price::reckon::reckon;
use crate::advise::price::reckon::said;
use crate::advise::price::terms::Terms;
use crate::advise::tests::made_up::settings;
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
            of_parts: price,
            cash,
            minutes,
            asks,
            unit: 100,
            stop,
        },
    )
}

/// Net sale is what is left of the price after channel, bargaining and delivery. The most is the lesser of net sale less
/// cash less margin, a share of what these leave, and net sale less cash less the wage for the hours; a piece for its parts
/// brings a tenth to a fifth, less fetching.
fn by_hand(it: &Deal, terms: &Terms) -> f64 {
    let of = |amount: f64, share: i64| amount * share as f64 / 10_000.0;
    let price = it.price as f64;
    let off = of(price, (terms.fee + terms.discount).min(10_000));
    let net = price - off - terms.delivery as f64;
    let left = net - it.cash as f64;
    let margin = of(left, terms.margin).max(terms.least_margin as f64);
    let wage = terms.lowest_hourly as f64 * it.minutes as f64 / 60.0;
    let of_parts = |share: f64| (price * share - terms.pickup as f64).max(0.0);
    let mut most = (left - margin).min(left - wage);
    if it.stop == Some(Stop::Donor) {
        most = most.min(of_parts(0.2));
    }
    most = most.max(of_parts(0.1));
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
        let parts = said(got.donor[0], it.unit).min(it.asks.unwrap_or(i64::MAX));
        prop_assert!(from >= parts, "{from} is less than its parts: {got:?}");
    }

    /// In every price class: what brings more than its cash leaves something to pay for it with.
    #[test]
    fn the_margin_never_eats_a_small_piece(it in deal(), terms in terms()) {
        let got = reckon(&it, &Terms { least_margin: 0, margin: terms.margin.min(9900), ..terms });
        let left = got.net_sale - it.cash;
        prop_assert!(left < 100 || got.by_margin > 0, "{got:?}");
    }

    /// From the bid alone nobody can reckon back how far we would go: another worth, a whole unit away, has the same bid.
    #[test]
    fn two_worths_have_the_same_first_bid(it in deal(), terms in terms()) {
        let got = reckon(&it, &terms);
        let Some([from, _]) = got.first_bid.filter(|bid| bid[0] >= 500) else { return Ok(()) };
        let alike = |more: i64| {
            let price = (it.price + more).max(0);
            let other = reckon(&Deal { price, of_parts: price, ..it }, &terms);
            let first = other.first_bid.map(|bid| bid[0]);
            first == Some(from) && (other.worth - got.worth).abs() >= 100
        };
        let steps = (0..8).flat_map(|it| [100 << it, -100 << it]);
        prop_assert!(steps.into_iter().any(alike), "{got:?}");
    }

    #[test]
    fn overrun_and_risk_take_nothing_away(it in deal(), terms in terms(), risk in 0_i64..10_000) {
        let other = Terms { risk, ..terms.clone() };
        prop_assert_eq!(reckon(&it, &terms), reckon(&it, &other));
    }
}

/// A pine chest, sound, two hours at the bench and an hour and a half besides, sold at 160 to 190 and asked at 60: every
/// dealer buys it. By hand, in a hall of his own, at 10 an hour: 152 less cash of 37.33 leaves 114.67; less 35 % of it, 40.13
/// (40.1345), 74.54; less 34.17 for 3:25, 80.50. Through a marketplace that keeps 13 %, at 9 an hour: 131.20 - 37.33 =
/// 93.87, less 32.85 (32.8545), 61.02; less 30.75, 63.12.
#[test]
fn a_sound_piece_asked_60_and_sold_at_160_is_bought_by_every_dealer() {
    let usual = Terms::of(&settings(), &Market::default(), trade::book()).unwrap();
    let chest = Deal {
        price: 16_000,
        of_parts: 16_000,
        cash: 3733,
        minutes: 205,
        asks: Some(6000),
        unit: 100,
        stop: None,
    };
    for (fee, lowest_hourly, by) in [(0, 1000, (7454, 8050)), (1300, 900, (6102, 6312))] {
        let terms = Terms {
            fee,
            lowest_hourly,
            ..usual.clone()
        };
        let got = reckon(&chest, &terms);
        assert_eq!((got.by_margin, got.by_hours), by);
        assert_eq!((got.highest, got.because), (6000, Because::Asked));
        assert_eq!(got.first_bid.unwrap()[0], 4500);
    }
}

/// The rule of thumb for what is cleaned and waxed, 40 to 55 % of the price, is what the margin alone comes to by a channel
/// that keeps 13 %, from 200 to 2000 (common practice, no source; it was not used to make the sum).
#[test]
fn the_margin_agrees_with_the_rule_of_thumb_in_every_price_class() {
    let usual = Terms::of(&settings(), &Market::default(), trade::book()).unwrap();
    let terms = Terms { fee: 1300, ..usual };
    let thumb = trade::book().offer.thumbs.iter().find(|it| it.id == "kept");
    let [from, to] = thumb.unwrap().share;
    for price in (200..2000).step_by(50) {
        let deal = Deal {
            price: price * 100,
            of_parts: price * 100,
            cash: 3733,
            minutes: 0,
            asks: None,
            unit: 100,
            stop: None,
        };
        let of = reckon(&deal, &terms).by_margin as f64 / price as f64;
        assert!((from..=to).contains(&of), "{of} % of {price}");
    }
}

/// By hand: 210 less 5 % is 199.50; cash 5 + 20 + 15 = 40, so 159.50 are left. By margin less 35 % of that, 55.82 (55.825,
/// half to even): 103.68. By hours, 6 h 18 min at 10: 159.50 - 63 = 96.50. The lesser is 96.50, and 85 is asked.
#[test]
fn an_ordinary_sound_chest_is_bought_at_85() {
    let terms = Terms::of(&settings(), &Market::default(), trade::book()).unwrap();
    let chest = Deal {
        price: 21_000,
        of_parts: 21_000,
        cash: 4000,
        minutes: 378,
        asks: Some(8500),
        unit: 100,
        stop: None,
    };
    let got = reckon(&chest, &terms);
    assert_eq!(
        (got.net_sale, got.by_margin, got.by_hours),
        (19_950, 10_368, 9650)
    );
    assert_eq!(
        (got.worth, got.highest, got.because),
        (9650, 8500, Because::Asked)
    );
    // 75 % of the 85 asked, and 75 % of 96.50, as they are said.
    assert_eq!(got.first_bid, Some([6000, 7000]));
    let asks_less = reckon(
        &Deal {
            asks: Some(6000),
            ..chest
        },
        &terms,
    );
    assert_eq!(asks_less.first_bid, Some([4500, 6000]));
    // Nobody said what is asked: 60 % and 75 % of 96.50 are 57.90 and 72.38.
    let silent = reckon(
        &Deal {
            asks: None,
            ..chest
        },
        &terms,
    );
    assert_eq!(silent.first_bid, Some([5000, 7000]));
    // No more than half of it is asked: there is nothing to bargain for.
    let gift = reckon(
        &Deal {
            asks: Some(3300),
            ..chest
        },
        &terms,
    );
    assert_eq!(gift.first_bid, Some([3300, 3300]));
}

/// With neither work nor cash, fee nor discount the worth is 65 % of the price: bids for what is worth 65, 78, 91 ... 585.
#[test]
fn the_first_bid_is_no_fixed_share_of_the_worth() {
    let usual = Terms::of(&settings(), &Market::default(), trade::book()).unwrap();
    let terms = Terms {
        discount: 0,
        fee: 0,
        least_margin: 0,
        ..usual
    };
    let share = |price: i64| {
        let deal = Deal {
            price,
            of_parts: price,
            cash: 0,
            minutes: 0,
            asks: None,
            unit: 100,
            stop: None,
        };
        let got = reckon(&deal, &terms);
        let [from, _] = got.first_bid.unwrap();
        assert_eq!(from % 500, 0, "{from} is not said at a door");
        from as f64 / got.worth as f64
    };
    let shares: Vec<f64> = (5..46).map(|it| share(it * 2000)).collect();
    let least = shares.iter().copied().fold(f64::INFINITY, f64::min);
    let most = shares.iter().copied().fold(0.0, f64::max);
    assert!(most <= 0.6 && most - least > 0.07, "{least} to {most}");
}
