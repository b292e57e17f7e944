//! Ways, questions, reasons to stop, and offers.

use super::made_up::advice;
use super::made_up::chest;
use super::made_up::chest_with;
use super::made_up::eur;
use super::made_up::monday;
use super::made_up::settings;
use super::made_up::sold;
use crate::advise::price::basis::PriceIs;
use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::estimate;
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
        "scuff",
    ] {
        own.prices.insert(method.to_owned(), eur(0));
    }
    // The hours of the worked example, which count no laying out of tools; cleaning is 1 h for the 2.6 m2.
    for (method, hours) in [
        ("clean", [0.5 / 2.6, 1.0 / 2.6, 2.0 / 2.6]),
        ("wax_strip", [0.2, 0.4, 0.8]),
        ("wax_polish", [0.1, 0.2, 0.4]),
        ("runner", [0.3, 0.7, 1.5]),
        ("drawer_edge", [0.7, 1.2, 2.0]),
        ("split_close", [0.4, 1.0, 2.0]),
        ("wax_runner", [0.03, 0.05, 0.1]),
        ("touch_up", [0.15, 0.4, 1.0]),
        ("collect", [0.5, 1.0, 2.5]),
        ("record", [0.3, 0.7, 1.2]),
        ("record_after", [0.7, 1.3, 2.5]),
        ("handover", [0.3, 0.7, 2.0]),
    ] {
        own.hours.insert(method.to_owned(), hours);
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
/// sanding is 0.8 h and not 1 h for a square metre; 17.59, as painting over a sound coat keys it, 0.1 h for a square metre, and does not sand it.
/// By margin, waxed: 210 - 27.30 - (12 + 25 + 15) = 130.70, less the least of 60, as 35 % of it are less: 70.70; the underside, 25, is a look to take. An hour at the 60 paid: 70.70 / 15.55 h = 4.55.
/// Stripped: 295.80 - 95 - 60 = 140.80 / 22.43 h = 6.28. Painted: 261 - 100 - 60 = 101 / 17.59 h = 5.74.
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
    near(waxed.cash_costs, 5_200, 0);
    near(waxed.looks, 2_500, 0);
    near(waxed.margin, 6_000, 0);
    near(waxed.by_margin, 7_070, 0);
    // 933 min at 10 an hour; 1945 min if much goes wrong, so 1012 min over, half of them; 12 % of 182.70.
    near(waxed.hours_worth, 15_550, 35);
    near(waxed.hours_over, 8_433, 35);
    near(waxed.risk, 2_192, 0);
    near(waxed.by_hours, 18_270 - 5_200 - 15_550, 35);
    // The hours would not be paid: its parts bring a tenth of 210.
    near(waxed.highest, 2_100, 0);
    assert_eq!(waxed.hourly.price_is, PriceIs::Paid);
    let notes = &option(&found, "clean_wax").offer.notes;
    let said = |from: &str| notes.iter().any(|it| it.starts_with(from));
    assert!(
        said("overrun: it may take 16 h ") && said("risk: 12 % of EUR 182.70 is EUR 21.92; "),
        "{notes:?}"
    );
    for (way, cents) in [
        ("clean_wax", 455),
        ("strip_stain", 628),
        ("scuff_paint", 574),
    ] {
        let sums = option(&found, way).offer.sums.as_ref().unwrap();
        near(sums.hourly.per_hour, cents, 5);
    }
    // It is bought: the best hour counts, which is the dearest sale here.
    assert_eq!(found.options[found.best.unwrap()].way.id, "strip_stain");
    assert_eq!(
        (found.shown, option(&found, "strip_stain").offer.verdict),
        (found.best.unwrap(), Verdict::Donor)
    );
    assert!(found.shown_because.contains("brings most"));
    assert_eq!(waxed.hourly.below_least, Some(true));
    assert!(found.words.is_empty(), "it is bought");
}

#[test]
fn a_piece_that_pays_gets_an_offer_and_words_for_the_door() {
    let (mut build, own) = dresser();
    let piece = &mut build.case.piece;
    (piece.bought_for, piece.market.seller_asks) = (None, Some(eur(520)));
    piece.market.sold = sold("clean_wax", &[900, 980, 1000]);
    let it = build.assess();
    let found = estimated(&it, &advice(&it, &[]), &own);
    let best = &found.options[found.shown];
    let sums = best.offer.sums.as_ref().unwrap();
    // 900 - 117 = 783, less 52: 731. By hours less 155.50: 575.50. By margin less 35 % of 731, 255.85: 475.15; 520 is asked.
    near(sums.by_margin, 47_515, 0);
    near(sums.by_hours, 57_550, 35);
    near(sums.highest, 47_515, 0);
    assert_eq!(
        (best.offer.verdict, sums.because.as_str()),
        (
            Verdict::Offer,
            "the margin must be left; the hours alone would allow more"
        )
    );
    let [from, to] = sums.first_bid.unwrap();
    assert!(from.minor <= to.minor && to.minor < sums.highest.minor);
    // At 520 the hours are paid, and less is left than the margin.
    assert!(stops(best).contains(&("asks_into_margin", Stop::Ask)));
    assert_eq!(
        best.thumb.as_deref(),
        Some("rule of thumb (old finish kept): 40 to 55 % of the price, EUR 360.00 to EUR 495.00")
    );
    assert_eq!(
        found.words,
        [
            "I can offer you EUR 350.",
            "Worn runner or drawer edge (4 places): about 4 hours of work.",
            "Sun fading (4 places): about 2 hours of work.",
            "Also: open board joint, drawer sticks.",
            "I have not seen the underside.",
        ]
    );
}

/// By hand: clean and wax, all seen, smelt at the door: see `reckon` for the money.
#[test]
fn an_ordinary_sound_chest_asked_85_and_sold_at_210_to_240_is_bought() {
    let mut build = chest_with(&[])
        .photo("back_whole", &["back"], vec![mark("smell_none", "back")])
        .photo("underside_whole", &[], Vec::new())
        .photo("drawer_inside", &[], Vec::new());
    build.case.piece.market.sold = sold("clean_wax", &[210, 225, 240]);
    build.case.piece.market.seller_asks = Some(eur(85));
    let found = of(&build);
    let best = &found.options[found.shown];
    let sums = best.offer.sums.as_ref().unwrap();
    assert_eq!(best.offer.verdict, Verdict::Offer, "{sums:#?}");
    let least = sums.by_margin.minor.min(sums.by_hours.minor);
    assert_eq!(
        (sums.aside, sums.highest.minor),
        (eur(0), least.min(8500)),
        "{sums:#?}"
    );
    assert!(least > 7500, "{sums:#?}");
    let [from, _] = sums.first_bid.unwrap();
    assert_eq!(
        found.words[0],
        format!("I can offer you EUR {}.", from.minor / 100)
    );
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

/// What is told of one foot alone does not make the price of a stripped piece that of this one.
#[test]
fn a_way_chosen_for_one_part_leaves_the_price_that_of_the_rest() {
    let mut build = chest_with(&[]);
    build.case.piece.market.chosen = vec![Chosen {
        part: Some("foot-front-left".parse().unwrap()),
        path: "strip_clear".to_owned(),
    }];
    build.case.piece.market.sold = sold("strip_clear", &[900]);
    build
        .case
        .piece
        .market
        .sold
        .extend(sold("clean_wax", &[210]));
    let found = of(&build);
    let own = &found.options[0];
    assert_eq!(
        (own.way.id.as_str(), own.way.main.as_str()),
        (CHOSEN, "clean_wax")
    );
    let sums = own.offer.sums.as_ref().unwrap();
    assert_eq!(sums.lowest_sold, eur(210));
}

/// Where no way of refinishing can be taken yet, what is broken is mended all the same, in a way that says so.
#[test]
fn with_no_coat_looked_at_what_is_broken_is_mended_by_name() {
    let it = chest_with(&[("runner_worn", "drawer-1/runner-left", 3)]).assess();
    let paths = trade::book().paths.iter().map(|it| it.id.as_str());
    let waits = paths.filter(|it| *it != "leave");
    let waits: Vec<(&str, &str, Can)> = waits.map(|it| ("*", it, Can::Waiting)).collect();
    let found = estimated(&it, &advice(&it, &waits), &settings());
    let ids: Vec<&str> = found.options.iter().map(|it| it.way.id.as_str()).collect();
    assert_eq!(ids, ["leave", "mend"]);
    let mends = |id: &str| {
        let tasks = &option(&found, id).plan.tasks;
        tasks.iter().any(|it| it.id == "runner")
    };
    assert!(mends("mend") && !mends("leave"));
    assert_eq!(found.options[found.shown].way.id, "mend");
    let left = &option(&found, "leave").plan.left;
    assert_eq!((left.len(), left[0].level), (1, Some(3)));
}
