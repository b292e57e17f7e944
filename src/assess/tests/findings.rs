//! Findings: what belongs together, what became of it, where it came from.

use crate::assess::assessment::FindingState;
use crate::assess::assessment::Origin;
use crate::assess::new_keys;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::trade;

const BOUGHT: &str = "2026-03-14";
const WORKED: &str = "2026-04-10";
const FINISHED: &str = "2026-05-02";
const LEFT: &str = "2026-05-20";
const ARRIVED: &str = "2026-05-25";

/// A white mark on the top when bought, at level 2.
fn bought() -> Build {
    Build::chest().shoot(Stage::Purchase, BOUGHT).photo(
        "top_flat",
        &["top"],
        vec![mark("white_mark", "top").level(2).size("70 mm")],
    )
}

/// The same, and what the sale says of it.
fn sold_as(state: &str) -> Build {
    let later = of(1).says(state);
    bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![later])
}

#[test]
fn states_follow_what_was_said_and_repaired() {
    use FindingState as S;
    let cases: [(&str, Build, S); 17] = [
        ("as bought", bought(), S::Open),
        ("still there", sold_as("present"), S::Open),
        ("said worse", sold_as("worse"), S::Worse),
        ("said better", sold_as("better"), S::Better),
        ("said repaired, no event", sold_as("repaired"), S::Repaired),
        ("gone by itself", sold_as("gone"), S::Gone),
        (
            "gone after a repair",
            sold_as("gone").repair(WORKED, &[1]),
            S::Repaired,
        ),
        (
            "repair on record only",
            bought().repair(WORKED, &[1]),
            S::RepairUnseen,
        ),
        (
            "repaired the day it was bought",
            bought().repair(BOUGHT, &[1]),
            S::RepairUnseen,
        ),
        (
            "there after a repair",
            sold_as("present").repair(WORKED, &[1]),
            S::Reopened,
        ),
        (
            "less after a repair",
            sold_as("better").repair(WORKED, &[1]),
            S::Better,
        ),
        (
            "seen repaired, repaired again later",
            sold_as("repaired").repair(LEFT, &[1]),
            S::RepairUnseen,
        ),
        (
            "seen repaired on the day",
            sold_as("repaired").repair(FINISHED, &[1]),
            S::Repaired,
        ),
        ("not to be seen", sold_as("not_visible"), S::Open),
        ("not looked at", sold_as("not_examined"), S::Open),
        (
            "repaired, then not to be seen",
            sold_as("not_visible").repair(WORKED, &[1]),
            S::RepairUnseen,
        ),
        (
            "opened again before the handover",
            sold_as("repaired")
                .repair(WORKED, &[1])
                .shoot(Stage::Handover, LEFT)
                .photo("", &[], vec![of(1)]),
            S::Reopened,
        ),
    ];
    for (what, build, want) in cases {
        assert_eq!(build.finding(1).state, want, "{what}");
    }
}

#[test]
fn a_level_tells_worse_from_better() {
    for (level, word, want) in [
        (3, "present", FindingState::Worse),
        (1, "present", FindingState::Better),
        (2, "present", FindingState::Open),
        (3, "better", FindingState::Worse),
        (1, "worse", FindingState::Worse),
    ] {
        let later = of(1).says(word).level(level);
        let build = bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("", &[], vec![later]);
        assert_eq!(build.finding(1).state, want, "{word} at level {level}");
    }
}

/// Once worse, it stays so until a level or a word says otherwise.
#[test]
fn a_later_picture_without_a_level_takes_nothing_back() {
    let grown = |mark| {
        let sale = bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("", &[], vec![mark]);
        sale.shoot(Stage::Handover, LEFT)
            .photo("", &[], vec![of(1)])
            .finding(1)
            .state
    };
    assert_eq!(grown(of(1).level(3)), FindingState::Worse);
    assert_eq!(grown(of(1).says("worse")), FindingState::Worse);
    assert_eq!(grown(of(1).says("better")), FindingState::Open);
}

/// The first level stays in the history (a crack that grows in storage).
#[test]
fn a_changed_level_overwrites_nothing() {
    let later = of(1).level(3).size("90 mm");
    let found = bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("", &[], vec![later])
        .finding(1);
    let levels: Vec<_> = found
        .history
        .iter()
        .map(|it| (it.shoot, it.level))
        .collect();
    assert_eq!(levels, [(1, Some(2)), (2, Some(3))]);
    assert_eq!(
        (found.level, found.size.as_deref()),
        (Some(3), Some("90 mm"))
    );
    let words = trade::book().tag("white_mark").unwrap().levels[2].clone();
    assert_eq!(found.level_words, words);
}

#[test]
fn repaired_then_open_again_shows_both() {
    let build =
        sold_as("repaired")
            .shoot(Stage::Handover, LEFT)
            .photo("", &[], vec![of(1).level(2)]);
    let found = build.finding(1);
    let said: Vec<_> = found.history.iter().map(|it| it.state).collect();
    assert_eq!(
        said,
        [MarkState::Present, MarkState::Repaired, MarkState::Present]
    );
    assert_eq!(found.state, FindingState::Reopened);
}

#[test]
fn one_shoot_says_the_worst_of_its_photos() {
    let build = bought()
        .shoot(Stage::Sale, FINISHED)
        .photo(
            "",
            &[],
            vec![of(1).says("repaired").level(1).size("5 mm").note("patched")],
        )
        .photo(
            "",
            &[],
            vec![of(1).level(3).size("60 mm").note("still to be seen")],
        )
        .photo("", &[], vec![of(1).level(3).note("patched")]);
    let found = build.finding(1);
    let sale = &found.history[1];
    assert_eq!(
        (sale.state, sale.level, sale.size.as_deref()),
        (MarkState::Present, Some(3), Some("60 mm"))
    );
    assert_eq!(sale.notes, ["patched", "still to be seen"]);
    assert_eq!(sale.marks.len(), 3);
}

#[test]
fn marks_belong_by_key_or_by_number() {
    let mut build = Build::chest().shoot(Stage::Purchase, BOUGHT).photo(
        "",
        &["top"],
        vec![
            mark("white_mark", "top").which("left ring"),
            mark("white_mark", "top").which("right ring"),
            mark("layer_line", "top"),
            mark("sound", "side-left"),
            of(2),
            of(9),
            mark("white_mark", "top").which("left ring"),
        ],
    );
    let keys = new_keys(&build.case, trade::book());
    let which: Vec<_> = keys.iter().map(|it| it.which.as_str()).collect();
    assert_eq!(which, ["left ring", "right ring"]);
    build.number();
    assert_eq!(new_keys(&build.case, trade::book()), []);
    let marks: Vec<usize> = build
        .assess()
        .findings
        .iter()
        .map(|it| it.history[0].marks.len())
        .collect();
    assert_eq!(marks, [2, 2]);
}

#[test]
fn a_finding_that_no_mark_names_keeps_its_number() {
    let mut build = bought();
    build.number();
    build.case.photos[0].sidecar.marks.clear();
    let found = build.finding(1);
    assert_eq!(
        (found.state, found.disclose),
        (FindingState::Withdrawn, false)
    );
    assert_eq!(build.assess().findings.len(), 1);
    assert_eq!(build.part("top").findings, []);
}

#[test]
fn what_no_picture_can_show_is_not_said_to_be_there() {
    let build = Build::chest().shoot(Stage::Purchase, BOUGHT).photo(
        "",
        &[],
        vec![mark("worm_old", "back").says("not_visible")],
    );
    assert_eq!(build.finding(1).state, FindingState::NotVisible);
    assert_eq!(build.finding(1).origin, Origin::Unknown);
}

/// A smell has no place in a picture, and is a finding all the same.
#[test]
fn a_fault_without_a_region_is_kept() {
    let build = Build::chest().shoot(Stage::Purchase, BOUGHT).photo(
        "",
        &[],
        vec![
            mark("odour_musty", "drawer-3")
                .level(2)
                .note("strong when opened"),
        ],
    );
    let found = build.finding(1);
    assert_eq!((found.state, found.level), (FindingState::Open, Some(2)));
    assert_eq!(found.history[0].day.to_string(), BOUGHT);
}

#[test]
fn buyers_are_told_from_the_level_on_and_of_every_repair() {
    let book = trade::book();
    let quiet = book.tags.iter().find(|it| it.disclose_from == 2).unwrap();
    let at = |level: Option<u8>| {
        let mut it = mark(&quiet.id, "top");
        it.level = level;
        Build::chest()
            .shoot(Stage::Purchase, BOUGHT)
            .photo("", &[], vec![it])
    };
    assert!(!at(Some(1)).finding(1).disclose);
    assert!(at(Some(2)).finding(1).disclose);
    assert!(
        at(None).finding(1).disclose,
        "an unknown level counts as yes"
    );
    assert!(at(Some(1)).repair(WORKED, &[1]).finding(1).disclose);
}

#[test]
fn found_is_what_the_first_look_shows() {
    let found = sold_as("repaired").finding(1);
    assert_eq!(found.origin, Origin::Found);
    assert_eq!(
        found.origin_why,
        "It is in picture 1 of 14 March 2026 (purchase), taken before any work."
    );
}

/// A repair that makes a new fault, with and without a statement from before.
#[test]
fn by_work_needs_a_statement_that_the_part_was_sound() {
    let with = |statement: &str| {
        Build::chest()
            .shoot(Stage::Purchase, BOUGHT)
            .photo(
                "left_whole",
                &["side-left"],
                vec![mark(statement, "side-left")],
            )
            .shoot(Stage::Work, WORKED)
            .photo("", &["side-left"], vec![mark("bleed_through", "side-left")])
            .finding(1)
    };
    let told = with("sound");
    assert_eq!(told.origin, Origin::ByWork);
    assert!(
        told.origin_why
            .starts_with("Picture 1 of 14 March 2026 says that "),
        "{}",
        told.origin_why
    );
    assert_eq!(with("not_examined").origin, Origin::Unknown);
    let seen_at_sale = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &[], vec![mark("sound", "drawer-2")])
        .shoot(Stage::Sale, FINISHED)
        .photo(
            "",
            &[],
            vec![mark("drawer_bottom_fault", "drawer-2/bottom")],
        );
    assert_eq!(seen_at_sale.finding(1).origin, Origin::ByWork);
}

/// `sound` beside a fault on the same part proves nothing for the rest of it.
#[test]
fn a_contradicted_sound_statement_does_not_count() {
    let build = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo(
            "",
            &[],
            vec![mark("sound", "top"), mark("white_mark", "top")],
        )
        .shoot(Stage::Work, WORKED)
        .photo("", &[], vec![mark("gouge", "top")]);
    assert_eq!(build.finding(2).origin, Origin::Unknown);
}

/// First seen at the buyer's; the sale and the handover show the part without it.
#[test]
fn after_sale_rests_on_clear_pictures_of_the_part() {
    let build = bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![])
        .photo("right_whole", &["side-right"], vec![])
        .shoot(Stage::Handover, LEFT)
        .photo("handover", &["top", "drawer-1"], vec![])
        .shoot(Stage::Delivery, ARRIVED)
        .photo("delivery", &["top"], vec![mark("scratch_finish", "top")])
        .photo("", &["back"], vec![mark("gouge", "back")])
        .photo(
            "",
            &["drawer-1"],
            vec![mark("drawer_bottom_fault", "drawer-1/bottom")],
        )
        .photo("", &["drawer-1"], vec![mark("gouge", "drawer-1/front")]);
    let scratch = build.finding(2);
    assert_eq!(scratch.origin, Origin::AfterSale);
    assert_eq!(
        scratch.origin_why,
        "It is first seen in picture 5 of 25 May 2026 (delivery); the top is in pictures 2 of 2 May 2026 and 4 of 20 May 2026 without it."
    );
    assert_eq!(
        build.finding(3).origin,
        Origin::Unknown,
        "the back was in no picture"
    );
    assert_eq!(
        build.finding(4).origin,
        Origin::Unknown,
        "a closed drawer does not show its bottom"
    );
    assert_eq!(
        build.finding(5).origin,
        Origin::AfterSale,
        "but it shows its front"
    );
}

#[test]
fn a_dark_picture_does_not_show_that_something_is_not_there() {
    let delivered = |build: Build| {
        let scratch = mark("scratch_finish", "top");
        build
            .shoot(Stage::Delivery, ARRIVED)
            .photo("delivery", &["top"], vec![scratch])
    };
    let sale = Build::chest()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![]);
    assert_eq!(delivered(sale.clone()).finding(1).origin, Origin::AfterSale);
    let dark = sale.but(|it| it.facts.brightness = 40.0);
    assert_eq!(delivered(dark).finding(1).origin, Origin::Unknown);
}

/// A photo taken after the sale never counts as evidence of the state before it.
#[test]
fn photos_after_the_sale_prove_nothing_for_the_sale() {
    let build = Build::chest()
        .shoot(Stage::Delivery, ARRIVED)
        .photo("delivery", &["top"], vec![])
        .shoot(Stage::Return, "2026-06-01")
        .photo("top_flat", &["top"], vec![mark("gouge", "top")]);
    assert_eq!(build.finding(1).origin, Origin::Unknown);
}

#[test]
fn first_seen_repaired_is_not_said_to_come_from_the_work() {
    let build = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &[], vec![mark("sound", "top")])
        .shoot(Stage::Sale, FINISHED)
        .photo("", &[], vec![mark("gouge", "top").says("repaired")]);
    assert_eq!(build.finding(1).origin, Origin::Unknown);
}

/// Photos taken before the work but imported after the sale take their place in time.
#[test]
fn a_late_import_takes_its_place_in_time() {
    let build = Build::chest()
        .shoot(Stage::Sale, FINISHED)
        .photo("", &["top"], vec![mark("gouge", "top").says("repaired")])
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &["top"], vec![mark("gouge", "top")]);
    let found = build.finding(1);
    assert_eq!(
        (found.state, found.origin),
        (FindingState::Repaired, Origin::Found)
    );
}

/// A camera whose clock nobody corrected: the order of import is believed, and said so.
#[test]
fn days_that_contradict_the_stages_are_not_believed() {
    let build = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &["top"], vec![mark("gouge", "top")])
        .shoot(Stage::Sale, "2019-01-01")
        .photo("", &["top"], vec![mark("gouge", "top").says("repaired")]);
    let found = build.finding(1);
    assert_eq!(
        (found.state, found.origin),
        (FindingState::Repaired, Origin::Found)
    );
    assert!(
        build
            .assess()
            .gaps
            .iter()
            .any(|it| it.code == "days_out_of_order")
    );
}
