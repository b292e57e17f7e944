//! Ways, questions, reasons to stop, and offers.

use proptest::prelude::*;

use super::made_up::advice;
use super::made_up::chest;
use super::made_up::chest_with;
use super::made_up::eur;
use super::made_up::monday;
use super::made_up::settings;
use super::made_up::sold;
use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::Optioned;
use crate::advise::price::estimate::estimate;
use crate::advise::price::offer::PriceIs;
use crate::advise::price::offer::Verdict;
use crate::advise::price::options::CHOSEN;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict as Can;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::kit::money::Money;
use crate::model::mark::Mark;
use crate::model::market::Chosen;
use crate::model::market::MeantFor;
use crate::model::market::Worth;
use crate::model::photo::Stage;
use crate::model::piece::Size;
use crate::model::settings::Settings;
use crate::trade;
use crate::trade::offer::Stop;

fn estimated(it: &Assessment, advice: &[PartAdvice], settings: &Settings) -> Estimate {
    estimate(it, advice, settings, trade::book(), monday())
}

fn of(build: &Build) -> Estimate {
    let it = build.assess();
    estimated(&it, &advice(&it, &[]), &settings())
}

fn option<'a>(it: &'a Estimate, id: &str) -> &'a Optioned {
    let found = it.options.iter().find(|it| it.way.id == id);
    found.unwrap_or_else(|| panic!("no way {id}"))
}

fn asked(it: &Optioned) -> Vec<&str> {
    it.asked.iter().map(|it| it.id.as_str()).collect()
}

fn stops(it: &Optioned) -> Vec<(&str, Stop)> {
    it.stops
        .iter()
        .map(|it| (it.id.as_str(), it.stop))
        .collect()
}

const SHOW: [&str; 12] = [
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
fn dresser() -> (Build, Settings) {
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

fn near(got: Money, cents: i64, tolerance: i64) {
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
    let mut build = chest_with(&[("runner_worn", "drawer-1/runner-left", 3)]);
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
            "in book.toml: [terms] least_margin, hourly_rate, [terms] pickup, [terms] storage_week",
            "in book.toml: [prices] runner",
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
    own.prices.insert("runner".to_owned(), yen(300));
    let found = estimated(&it, &advice, &own);
    let it = option(&found, "leave");
    let sums = it.offer.sums.as_ref().unwrap();
    // 25 and 25 and 20 at 20 an hour are 1.25, 1.25 and 1 hours: 7000 yen at 2000 an hour.
    assert_eq!(
        asked(it),
        ["underside_not_seen", "drawers_not_opened", "back_not_seen"]
    );
    assert_eq!((sums.aside, sums.materials), (yen(7000), yen(300)));
    assert!(found.words[1].contains("JPY 40000"));
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

#[test]
fn stops_say_what_is_so_and_where() {
    let stop = |faults: &[(&str, &str, u8)], way: &str| -> Vec<(String, Stop)> {
        let found = of(&chest_with(faults));
        stops(option(&found, way))
            .into_iter()
            .map(|it| (it.0.to_owned(), it.1))
            .collect()
    };
    let says = |list: &[(String, Stop)], id: &str| list.iter().find(|it| it.0 == id).map(|it| it.1);
    let worm = stop(&[("worm_active", "drawer-1", 3)], "leave");
    assert_eq!(
        (says(&worm, "live_beetle"), worm[0].1),
        (Some(Stop::Walk), Stop::Walk)
    );
    assert_eq!(
        says(
            &stop(&[("worm_active", "drawer-1", 1)], "leave"),
            "beetle_suspected"
        ),
        Some(Stop::Donor)
    );
    assert_eq!(
        says(&stop(&[("odour_urine", "drawer-1", 3)], "leave"), "smell"),
        Some(Stop::Donor)
    );
    assert_eq!(
        says(&stop(&[("odour_urine", "drawer-1", 2)], "leave"), "smell"),
        None
    );
    // A fitting is no main part.
    assert_eq!(
        says(
            &stop(&[("part_missing", "drawer-1", 4)], "leave"),
            "main_part_missing"
        ),
        Some(Stop::Donor)
    );
    assert_eq!(
        says(
            &stop(&[("part_missing", "back", 4)], "leave"),
            "main_part_missing"
        ),
        None
    );
    // One face is not two, and paint covers both.
    let gone = [
        ("veneer_missing", "top", 4),
        ("veneer_missing", "side-left", 4),
    ];
    assert_eq!(says(&stop(&gone[..1], "leave"), "veneer_gone"), None);
    assert_eq!(
        says(&stop(&gone, "leave"), "veneer_gone"),
        Some(Stop::Donor)
    );
    assert_eq!(says(&stop(&gone, "fill_paint"), "veneer_gone"), None);
    let all = of(&chest_with(&[("worm_active", "drawer-1", 3)]));
    assert_eq!(
        all.words[0],
        "Live woodworm in several parts. I cannot take it."
    );
    assert_eq!(all.best, None);
}

#[test]
fn what_the_owner_did_not_tell_counts_as_the_worse_case() {
    let broken = [
        ("broken_member", "side-left", 4),
        ("loose_joint", "drawer-1", 4),
    ];
    let mut build = chest_with(&broken);
    let says = |build: &Build, id: &str| {
        let found = of(build);
        stops(option(&found, "leave"))
            .into_iter()
            .find(|it| it.0 == id)
            .map(|it| it.1)
    };
    assert_eq!(says(&build, "many_failures"), Some(Stop::Walk));
    build.case.piece.market.worth = Some(Worth::Good);
    assert_eq!(says(&build, "many_failures"), None);
    // Warped: a reason to walk if it is plywood, and nobody knows.
    assert_eq!(
        says(&chest_with(&[("warp_cup", "top", 3)]), "plywood_warped"),
        Some(Stop::Ask)
    );
    let lead = chest_with(&[("lead_paint", "top", 2)]);
    assert_eq!(says(&lead, "lead_and_child"), Some(Stop::Ask));
}

#[test]
fn what_the_program_knows_itself_stops_too() {
    let says = |build: &Build, id: &str| {
        let found = of(build);
        stops(option(&found, "leave"))
            .into_iter()
            .any(|it| it.0 == id)
    };
    let mut build = chest();
    assert!(!says(&build, "too_big") && says(&build, "not_shown") && !says(&build, "crib"));
    build.case.piece.size = Some(Size {
        height_mm: 1900.0,
        width_mm: 1500.0,
        depth_mm: 800.0,
    });
    assert!(says(&build, "too_big"));
    build.case.piece.size = Some(Size {
        height_mm: 900.0,
        width_mm: 1200.0,
        depth_mm: 500.0,
    });
    assert!(!says(&build, "too_big"));
    build.case.piece.title = "painted cot, 1950s".to_owned();
    build.case.piece.market.meant_for = Some(MeantFor::Child);
    assert!(says(&build, "crib"));
    build.case.piece.title = "cottage chest".to_owned();
    assert!(!says(&build, "crib"));
}

#[test]
fn questions_are_open_until_somebody_looked() {
    let asks = |build: &Build, way: &str| -> Vec<String> {
        let found = of(build);
        asked(option(&found, way))
            .into_iter()
            .map(str::to_owned)
            .collect()
    };
    let doorstep =
        chest()
            .shoot(Stage::Doorstep, "2026-05-03")
            .photo("front_whole", &[], Vec::new());
    let all = [
        "smell_after_a_day",
        "underside_not_seen",
        "drawers_not_opened",
        "back_not_seen",
    ];
    assert_eq!(asks(&doorstep, "clean_wax"), all);
    let looked = doorstep
        .photo("underside_whole", &[], vec![mark("sound", "back")])
        .photo(
            "drawer_inside",
            &["drawer-1", "drawer-2"],
            vec![mark("sound", "drawer-3/bottom")],
        );
    let found = of(&looked);
    let drawers = option(&found, "clean_wax")
        .asked
        .iter()
        .find(|it| it.id == "drawers_not_opened")
        .unwrap();
    assert_eq!(drawers.parts, ["Drawer 4"]);
    assert_eq!(
        asks(&looked, "clean_wax"),
        ["smell_after_a_day", "drawers_not_opened"]
    );
    let faults = chest_with(&[
        ("lock_fault", "drawer-1/lock", 4),
        ("worm_old", "foot-front-left", 1),
        ("overpaint", "top", 2),
    ]);
    let asks = asks(&faults, "strip_stain");
    for id in [
        "beetle_alive",
        "lock_shut",
        "lead_not_tested",
        "coat_not_tested",
        "material_not_settled",
    ] {
        assert!(asks.iter().any(|it| it == id), "{id} in {asks:?}");
    }
}

#[test]
fn where_a_way_waits_for_a_look_its_work_is_counted_and_not_planned() {
    let (mut build, own) = dresser();
    build.case.piece.bought_for = None;
    let it = build.assess();
    let whole = estimated(&it, &advice(&it, &[]), &own);
    let waits: Vec<(&str, &str, Can)> = SHOW[1..]
        .iter()
        .map(|it| (*it, "strip_stain", Can::Waiting))
        .collect();
    let found = estimated(&it, &advice(&it, &waits), &own);
    let (whole, part) = (option(&whole, "strip_stain"), option(&found, "strip_stain"));
    assert!(part.plan.hours.minutes.likely < whole.plan.hours.minutes.likely);
    assert_eq!(part.may_come.parts.len(), 11);
    let all = |it: &Optioned| it.plan.hours.minutes.likely + it.may_come.minutes.likely;
    assert!(all(part) >= all(whole), "{} {}", all(part), all(whole));
    let highest = |it: &Optioned| it.offer.sums.as_ref().unwrap().highest.minor;
    assert!(highest(part) <= highest(whole));
    let strip = part.plan.tasks.iter().find(|it| it.id == "strip").unwrap();
    assert_eq!(strip.parts, ["top".parse().unwrap()]);
}

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
        let before = priced(&faults, price);
        let grown: Vec<_> = faults.iter().copied().chain([more]).collect();
        let worse = of(&priced(&grown, price));
        let seen = of(&before.clone().photo("underside_whole", &[], Vec::new()).photo("back_whole", &[], Vec::new()));
        for it in of(&before).options.iter().filter(|it| PATHS.contains(&it.way.id.as_str())) {
            let sums = it.offer.sums.as_ref().unwrap();
            prop_assert_eq!(sums.highest.minor <= sums.by_margin.minor.min(sums.by_hours.minor), true);
            let of = |other: &Estimate| option(other, &it.way.id).offer.sums.as_ref().unwrap().highest.minor;
            prop_assert!(of(&worse) <= sums.highest.minor, "{}: {} after {}", it.way.id, of(&worse), sums.highest);
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
}
