//! What stops an offer, and what is asked before one.

use super::estimates::SHOW;
use super::estimates::asked;
use super::estimates::dresser;
use super::estimates::estimated;
use super::estimates::of;
use super::estimates::option;
use super::estimates::stops;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::refinish::advice::Verdict as Can;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::eur;
use crate::advise::tests::made_up::sold;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::market::MeantFor;
use crate::model::market::Worth;
use crate::model::photo::Stage;
use crate::model::piece::Size;
use crate::trade::entry::offer::Stop;
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
        Some(Stop::Walk)
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
    assert_eq!(all.words[0], "Live woodworm. I cannot take it.");
    assert_eq!(all.best, None);
}

#[test]
fn what_the_owner_did_not_tell_counts_as_the_worse_case() {
    let broken = [
        ("bad_repair", "side-left", 4),
        ("frame_bent", "drawer-1", 4),
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
    // Loose and cracked legs and joints are hard work, and no stop by their number.
    let loose = chest_with(&[
        ("broken_member", "side-left", 4),
        ("loose_joint", "drawer-1", 4),
        ("leg_loose", "foot-front-left", 4),
    ]);
    assert_eq!(says(&loose, "many_failures"), None);
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
        .find(|it| it.id.word() == "drawers_not_opened")
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
    let all = |it: &PricedOption| it.plan.hours.minutes.likely + it.may_come.minutes.likely;
    assert!(all(part) >= all(whole), "{} {}", all(part), all(whole));
    // The price of a chest stripped all over does not hold for a stripped top.
    assert!(whole.offer.sums.is_some() && part.offer.sums.is_none());
    let why = "it reaches only 1 of 12 parts (top); the price of a whole does not hold for that";
    assert_eq!(part.offer.partly.as_deref(), Some(why));
    let told = format!("Strip, stain, new clear coat: {why}");
    assert!(found.unpriced.contains(&told), "{:?}", found.unpriced);
    let strip = part.plan.tasks.iter().find(|it| it.id == "strip").unwrap();
    assert_eq!(strip.parts, ["top".parse().unwrap()]);
}

/// Somebody looked for lead on the painted top and wrote that there is none.
#[test]
fn lead_that_was_said_to_be_gone_is_not_asked_for() {
    let painted = |more: Vec<Mark>| {
        let marks = [vec![mark("fin_paint", "top")], more].concat();
        let build = chest()
            .shoot(Stage::Purchase, "2026-05-03")
            .photo("front_whole", &[], marks);
        let found = of(&build);
        asked(option(&found, "leave")).contains(&"lead_not_tested")
    };
    assert!(painted(Vec::new()));
    let gone = Mark {
        state: MarkState::Gone,
        ..mark("lead_paint", "top")
    };
    assert!(!painted(vec![gone.clone()]));
    // Said of the side, it says nothing of the top.
    let elsewhere = Mark {
        part: Some("side-left".parse().unwrap()),
        ..gone
    };
    assert!(painted(vec![elsewhere]));
}

#[test]
fn drawers_that_nobody_counted_are_said_to_be_counted_by_nobody() {
    let look = |rows: Vec<u8>| {
        let mut build = chest_with(&[]);
        build.case.piece.drawer_rows = rows;
        let found = of(&build);
        let asked = &option(&found, "leave").asked;
        let it = asked.iter().find(|it| it.id.word() == "drawers_not_opened");
        it.unwrap().look.clone()
    };
    assert!(look(Vec::new()).contains("Nobody counted them"));
    assert!(!look(vec![1, 2]).contains("Nobody counted them"));
}

/// A live beetle that was seen is told once, and nothing is asked of it; one that is only suspected is.
#[test]
fn a_live_beetle_is_told_once_and_not_asked_for() {
    let of = |faults: &[(&str, &str, u8)]| {
        let found = of(&chest_with(faults));
        let it = option(&found, "leave").clone();
        let walks: Vec<_> = it
            .stops
            .iter()
            .filter(|it| it.stop == Stop::Walk)
            .cloned()
            .collect();
        (
            asked(&it).contains(&"beetle_alive"),
            walks,
            found.words.clone(),
        )
    };
    let leg = "foot-front-left";
    for (level, says) in [
        (2, "Signs of live woodworm."),
        (3, "Live woodworm."),
        (
            4,
            "Live woodworm in a part that carries weight, or spread to other pieces.",
        ),
    ] {
        let (is_asked, walks, words) = of(&[("worm_active", leg, level), ("worm_old", "top", 2)]);
        assert!(!is_asked && walks.len() == 1, "{walks:?}");
        assert_eq!(words, [format!("{says} I cannot take it.")]);
    }
    let (_, walks, _) = of(&[("worm_active", leg, 3), ("worm_active", "top", 1)]);
    assert_eq!((walks.len(), walks[0].parts.len()), (1, 2), "{walks:?}");
    for suspected in ["worm_active", "worm_old"] {
        assert!(of(&[(suspected, leg, 1)]).0, "{suspected}");
    }
}

/// Who looked for fresh dust and wrote that there is none has answered for that part.
#[test]
fn a_beetle_that_was_looked_for_and_not_found_is_not_asked_for() {
    let gone = |part: &str| Mark {
        state: MarkState::Gone,
        ..mark("worm_active", part)
    };
    let asks = |more: Vec<Mark>| {
        let holes = Mark {
            level: Some(2),
            ..mark("worm_old", "top")
        };
        let build = chest().shoot(Stage::Purchase, "2026-05-03").photo(
            "front_whole",
            &[],
            [vec![holes], more].concat(),
        );
        let found = of(&build);
        asked(option(&found, "leave")).contains(&"beetle_alive")
    };
    assert!(asks(Vec::new()) && asks(vec![gone("side-left")]));
    assert!(!asks(vec![gone("top")]));
}

/// What a test found is no question any more; lead that it found costs what was put aside, and none found costs nothing.
#[test]
fn lead_that_was_found_costs_what_was_put_aside() {
    let of = |lead: &[(&str, &str, u8)]| {
        let mut build = chest_with(lead);
        build.case.piece.market.sold = sold("clean_wax", &[900]);
        let found = of(&build);
        let it = option(&found, "clean_wax").clone();
        let sums = it.offer.sums.clone().unwrap();
        (asked(&it).contains(&"lead_not_tested"), sums, it)
    };
    let (is_asked, open, _) = of(&[("lead_paint", "top", 2)]);
    // EUR 80 in all: 30 of it is the test, which is in the plan and paid there.
    assert!(is_asked && open.aside == eur(50) && open.bad_answers == eur(0));
    let (is_asked, lead, it) = of(&[("lead_paint", "top", 4)]);
    assert!(!is_asked && lead.aside == eur(0) && lead.bad_answers == eur(80));
    assert_eq!(it.bad_answers[0].parts, ["Top"]);
    assert!(lead.highest.minor <= open.highest.minor);
    assert!(lead.by_margin.minor <= open.by_margin.minor);
    let (is_asked, clean, _) = of(&[("lead_paint", "top", 1)]);
    assert!(!is_asked && clean.aside == eur(0) && clean.bad_answers == eur(0));
    // A test of the top says nothing of a side said to be untested.
    let (is_asked, _, _) = of(&[("lead_paint", "top", 1), ("lead_paint", "side-left", 3)]);
    assert!(is_asked);
}
