//! Ways, questions, reasons to stop, and offers.

use super::made_up::advice;
use super::made_up::chest;
use super::made_up::chest_with;
use super::made_up::eur;
use super::made_up::monday;
use super::made_up::settings;
use super::made_up::sold;
use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::estimate;
use crate::advise::price::offer::PriceIs;
use crate::advise::price::offer::Verdict;
use crate::advise::price::options::CHOSEN;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict as Can;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::kit::money::Money;
use crate::model::mark::Mark;
use crate::model::market::Chosen;
use crate::model::photo::Stage;
use crate::model::settings::Settings;
use crate::trade;
use crate::trade::entry::offer::Stop;

pub(super) fn estimated(it: &Assessment, advice: &[PartAdvice], settings: &Settings) -> Estimate {
    estimate(it, advice, settings, trade::book(), monday())
}

pub(super) fn of(build: &Build) -> Estimate {
    let it = build.assess();
    estimated(&it, &advice(&it, &[]), &settings())
}

pub(super) fn option<'a>(it: &'a Estimate, id: &str) -> &'a PricedOption {
    let found = it.options.iter().find(|it| it.way.id == id);
    found.unwrap_or_else(|| panic!("no way {id}"))
}

pub(super) fn asked(it: &PricedOption) -> Vec<&str> {
    it.asked.iter().map(|it| it.id.word()).collect()
}

pub(super) fn stops(it: &PricedOption) -> Vec<(&str, Stop)> {
    it.stops
        .iter()
        .map(|it| (it.id.as_str(), it.stop))
        .collect()
}

pub(super) const SHOW: [&str; 12] = [
    "top",
    "side-left",
    "side-right",
    "frame",
    "drawer-1",
    "drawer-2",
    "drawer-3",
    "drawer-4",
    "foot-front-left",
    "foot-front-right",
    "foot-back-left",
    "foot-back-right",
];

/// The worked example of the trade book: a solid chest of four drawers with worn lacquer, a worn pair of runners, two edge
/// splits. All of it was seen but the underside. What it does not say is told so that its figures come out: materials of
/// 12, 55 and 60, no discount.
pub(super) fn dresser() -> (Build, Settings) {
    let mut marks: Vec<Mark> = Vec::new();
    for (tag, part, level) in [
        ("runner_worn", "drawer-1/runner-left", 3),
        ("runner_worn", "drawer-1/runner-right", 3),
        ("runner_worn", "drawer-1/edge-left", 3),
        ("runner_worn", "drawer-2/edge-left", 3),
        ("open_glue_line", "side-left", 2),
        ("open_glue_line", "side-right", 2),
        ("drawer_stick", "drawer-1", 2),
        ("drawer_stick", "drawer-2", 2),
        ("drawer_stick", "drawer-3", 2),
        ("drawer_stick", "drawer-4", 2),
        ("sun_fade", "top", 2),
        ("sun_fade", "side-left", 2),
        ("sun_fade", "side-right", 2),
        ("sun_fade", "drawer-1", 2),
    ] {
        marks.push(Mark {
            level: Some(level),
            ..mark(tag, part)
        });
    }
    for part in SHOW {
        marks.extend([
            mark("end_grain_runs", part),
            mark("figure_both_sides", part),
            mark("fin_thinner", part),
        ]);
    }
    let mut build = chest()
        .shoot(Stage::Purchase, "2026-05-03")
        .photo("front_whole", &[], marks)
        .photo("back_whole", &["back"], Vec::new())
        .photo("drawer_inside", &[], Vec::new());
    let market = &mut build.case.piece.market;
    for (path, price) in [
        ("clean_wax", 210),
        ("strip_stain", 340),
        ("scuff_paint", 300),
    ] {
        market
            .sold
            .extend(sold(path, &[price + 30, price, price + 5]));
    }
    build.case.piece.bought_for = Some(eur(60));
    let mut own = settings();
    let terms = &mut own.terms;
    (terms.fee, terms.margin, terms.risk, terms.discount) =
        (Some(1300), Some(3500), Some(1200), Some(0));
    (terms.pickup, terms.storage_week, terms.least_margin) =
        (Some(eur(25)), Some(eur(5)), Some(eur(60)));
    for method in [
        "runner",
        "drawer_edge",
        "split_close",
        "wax_runner",
        "clean",
        "wax_strip",
        "wax_polish",
        "sand",
        "stain",
        "topcoat",
        "paint",
    ] {
        own.prices.insert(method.to_owned(), eur(0));
    }
    let cents = |minor: i64| Money { minor, ..eur(0) };
    // 4 places; 2.6 m2; 2.6 m2.
    for (method, price) in [("touch_up", 300), ("strip", 2115), ("prime_block", 2308)] {
        own.prices.insert(method.to_owned(), cents(price));
    }
    (build, own)
}

pub(super) fn near(got: Money, cents: i64, tolerance: i64) {
    assert!(
        (got.minor - cents).abs() <= tolerance,
        "{got} is not {cents}"
    );
}

/// Hours: 15.56, 22.93 and 18.12 by the trade book's own sum (an estimate of the book itself). Ours: 15.55; 22.43, as
/// sanding is 0.8 h and not 1 h for a square metre; 17.33, as painting over a sound coat has no step of sanding.
/// By margin, waxed: 210 - 27.30 - (12 + 25 + 20 + 25) - 63.94 = 36.76. An hour at the 60 paid: 40.70 / 15.56 h = 2.62.
/// Stripped: 295.80 - 125 - 60 = 110.80 / 22.43 h = 4.94 (4.83 with the book's hours). Painted: 71 / 17.33 h = 4.10 (3.92).
#[test]
fn the_worked_example_of_the_trade_book_comes_out() {
    let (build, own) = dresser();
    let it = build.assess();
    let found = estimated(&it, &advice(&it, &[]), &own);
    for (way, hours, less_by) in [
        ("clean_wax", 15.56, 0.05),
        ("strip_stain", 22.93, 0.6),
        ("scuff_paint", 18.12, 0.85),
    ] {
        let it = option(&found, way);
        let got = it.plan.hours.minutes.likely as f64 / 60.0;
        assert!(
            got <= hours + 0.05 && got >= hours - less_by,
            "{way}: {got} of {hours}"
        );
        assert_eq!(asked(it), ["underside_not_seen"], "{way}: {:?}", it.asked);
        assert!(it.offer.notes.iter().all(|it| !it.contains("comparables")));
    }
    let waxed = option(&found, "clean_wax").offer.sums.as_ref().unwrap();
    near(waxed.net_sale, 18_270, 0);
    near(waxed.cash_costs, 8_200, 0);
    near(waxed.margin, 6_394, 0);
    near(waxed.by_margin, 3_676, 0);
    // 933 min at 20 an hour; 1945 min if much goes wrong, so 1012 min over, half of them; 12 % of 182.70.
    near(waxed.hours_worth, 31_100, 70);
    near(waxed.hours_over, 16_867, 70);
    near(waxed.risk, 2_192, 0);
    near(
        waxed.by_hours,
        18_270 - 8_200 - 31_100 - 16_867 - 2_192,
        140,
    );
    assert_eq!(waxed.highest, waxed.by_hours);
    assert_eq!(
        (waxed.hourly.price_is, waxed.first_bid),
        (PriceIs::Paid, None)
    );
    near(waxed.hourly.per_hour, 262, 2);
    near(
        option(&found, "strip_stain")
            .offer
            .sums
            .as_ref()
            .unwrap()
            .hourly
            .per_hour,
        494,
        5,
    );
    near(
        option(&found, "scuff_paint")
            .offer
            .sums
            .as_ref()
            .unwrap()
            .hourly
            .per_hour,
        410,
        5,
    );
    // The dearest sale is the best hour here; the hours are not paid on any way.
    assert_eq!(found.options[found.best.unwrap()].way.id, "strip_stain");
    assert_eq!(
        (found.shown, option(&found, "strip_stain").offer.verdict),
        (found.best.unwrap(), Verdict::Walk)
    );
    assert!(found.shown_because.contains("most for an hour"));
    assert_eq!(waxed.hourly.below_least, Some(true));
    assert!(found.words.is_empty(), "it is bought");
}

#[test]
fn a_piece_that_pays_gets_an_offer_and_words_for_the_door() {
    let (mut build, own) = dresser();
    let piece = &mut build.case.piece;
    (piece.bought_for, piece.market.seller_asks) = (None, Some(eur(300)));
    piece.market.sold = sold("clean_wax", &[900, 980, 1000]);
    let it = build.assess();
    let found = estimated(&it, &advice(&it, &[]), &own);
    let best = &found.options[found.shown];
    let sums = best.offer.sums.as_ref().unwrap();
    // 900 - 117 = 783; less 82, 311, 168.67 and 93.96: 127.37. By margin 783 - 82 - 274.05 = 426.95.
    near(sums.by_margin, 42_695, 0);
    near(sums.highest, 12_737, 140);
    assert_eq!(
        (best.offer.verdict, sums.because.as_str()),
        (
            Verdict::Offer,
            "the hours must be paid; a margin alone would allow more"
        )
    );
    let [from, to] = sums.first_bid.unwrap();
    assert!(from.minor < to.minor && to.minor < sums.highest.minor);
    assert!(stops(best).contains(&("asks_too_much", Stop::Ask)));
    assert_eq!(
        best.thumb.as_deref(),
        Some(
            "rule of thumb (not all of it seen): 10 to 20 % of the price, EUR 90.00 to EUR 180.00"
        )
    );
    assert_eq!(
        found.words,
        [
            "I can go to EUR 127.",
            "Like this it sells for EUR 900 at the least.",
            "It wants about 16 hours of work, most of it for: build up a worn drawer side.",
            "I have not seen the underside.",
        ]
    );
    for secret in ["20", "35", "margin", "rate", "12 %"] {
        assert!(
            found.words.iter().all(|it| !it.contains(secret)),
            "{secret}"
        );
    }
}

#[test]
fn the_stripped_top_and_the_waxed_rest_is_named_for_what_it_is() {
    let it = chest_with(&[]).assess();
    let but: Vec<(&str, &str, Can)> = SHOW[1..]
        .iter()
        .map(|it| (*it, "strip_stain", Can::Shut))
        .collect();
    let found = estimated(&it, &advice(&it, &but), &settings());
    let way = &option(&found, "strip_stain").way;
    assert_eq!(
        way.label,
        "Strip, stain, new clear coat: top; Clean and wax: 11 parts"
    );
    assert_eq!(
        way.two_tone.as_deref(),
        Some(
            "Two finishes side by side: new clear coat on top, old finish on 11 parts. The colours will differ."
        )
    );
    assert_eq!(option(&found, "clean_wax").way.two_tone, None);
}

#[test]
fn what_was_chosen_comes_first_and_what_is_shut_is_refused_with_its_reason() {
    let mut build = chest_with(&[]);
    let chosen = |part: Option<&str>, path: &str| Chosen {
        part: part.map(|it| it.parse().unwrap()),
        path: path.to_owned(),
    };
    build.case.piece.market.chosen = vec![
        chosen(None, "fill_paint"),
        chosen(Some("top"), "strip_clear"),
    ];
    let it = build.assess();
    let found = estimated(
        &it,
        &advice(&it, &[("side-left", "fill_paint", Can::Waiting)]),
        &settings(),
    );
    let own = &found.options[0];
    assert_eq!((own.way.id.as_str(), found.shown), (CHOSEN, 0));
    let of = |part: &str| {
        own.way
            .parts
            .iter()
            .find(|it| it.part.as_str() == part)
            .unwrap()
            .path
            .clone()
            .unwrap()
    };
    assert_eq!(
        (
            of("top").as_str(),
            of("side-right").as_str(),
            of("side-left").as_str()
        ),
        ("strip_clear", "fill_paint", "clean_wax")
    );
    let refused: Vec<String> = found
        .refused
        .iter()
        .map(|it| {
            format!(
                "{} {}: {} {}",
                it.label, it.path, it.reasons[0].why, it.look[0]
            )
        })
        .collect();
    assert_eq!(
        refused,
        ["Left side fill_paint: Shut by this test. Look again."]
    );
    assert!(own.way.two_tone.is_some() && found.needs_a_hand);
    assert_eq!(own.way.main, "fill_paint");
}
