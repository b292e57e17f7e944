//! Estimates of made-up pieces, and the worked example.

use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::estimate;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest;
use crate::advise::tests::made_up::eur;
use crate::advise::tests::made_up::monday;
use crate::advise::tests::made_up::settings;
use crate::advise::tests::made_up::sold;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::kit::money::Money;
use crate::model::mark::Mark;
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
