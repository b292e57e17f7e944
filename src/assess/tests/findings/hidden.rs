//! What is hidden and not cured, and how long a coat is left alone.

use crate::assess::findings::hidden::Hidden;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::ids::FindingNo;
use crate::model::photo::Stage;

/// A fault of this level, then this work on the part, then a picture that says what became of it.
fn after(tag: &str, level: u8, methods: &[&str], state: &str) -> Vec<Hidden> {
    let fault = mark(tag, "top").level(level).size("40 mm");
    let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "top_flat",
        &["top"],
        vec![fault],
    );
    for method in methods {
        build = build.repair("2026-04-10", &[1]);
        (*method).clone_into(&mut build.case.repairs.last_mut().unwrap().method);
    }
    let build =
        build
            .shoot(Stage::Sale, "2026-05-02")
            .photo("top_flat", &["top"], vec![of(1).says(state)]);
    build.assess().hidden
}

#[test]
fn what_work_only_hides_is_still_there_with_its_level_and_number() {
    let told = after("scratch_wood", 2, &["touch_up"], "repaired");
    let wanted = Hidden {
        no: FindingNo(1),
        level: Some(2),
        size: Some("40 mm".to_owned()),
        by: vec![1],
    };
    assert_eq!(told, [wanted]);
    assert_eq!(
        after("scratch_wood", 1, &["touch_up"], "repaired"),
        [],
        "below level 2"
    );
    assert_eq!(
        after("scratch_wood", 2, &["touch_up"], "present"),
        [],
        "still to be seen, and told so"
    );
    assert_eq!(
        after(
            "veneer_missing",
            3,
            &["veneer_patch", "touch_up"],
            "repaired"
        ),
        [],
        "cured, then coloured"
    );
    let cleaned = after("burn", 3, &["clean", "touch_up"], "gone");
    assert_eq!(cleaned[0].by, [2], "cleaning cures no burn");
}

/// Paint over a part hides what was on it, whatever the repair was told to be for.
#[test]
fn paint_hides_what_nobody_cured() {
    let faults = vec![
        mark("gouge", "top").level(2),
        mark("dark_stain", "top").level(3),
    ];
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("top_flat", &["top"], faults)
        .repair("2026-04-10", &[1]);
    "paint".clone_into(&mut build.case.repairs[0].method);
    let gone = vec![of(1).says("repaired"), of(2).says("gone")];
    let build = build
        .shoot(Stage::Sale, "2026-05-02")
        .photo("top_flat", &["top"], gone);
    let numbers = |build: &Build| -> Vec<u32> {
        let told = build.assess().hidden;
        told.iter().map(|it| it.no.0).collect()
    };
    assert_eq!(numbers(&build), [1, 2]);
    let mut of_part = build;
    of_part.case.repairs[0].findings.clear();
    of_part.case.repairs[0].parts = vec!["top".parse().unwrap()];
    assert_eq!(numbers(&of_part), [1, 2]);
    of_part.case.repairs[0].parts = vec!["side-left".parse().unwrap()];
    assert!(numbers(&of_part).is_empty());
}

/// `french_polish` holds 168 h by its way, and waits no longer by itself; 7 days after 9 April is 16 April.
#[test]
fn the_coat_that_holds_longest_decides() {
    let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "top_flat",
        &["top"],
        vec![mark("gouge", "top").level(2)],
    );
    assert_eq!(build.assess().hold, None);
    for (day, method) in [
        ("2026-04-09", "french_polish"),
        ("2026-04-10", "wax_polish"),
        ("2026-04-20", "glass"),
    ] {
        build = build.repair(day, &[1]);
        method.clone_into(&mut build.case.repairs.last_mut().unwrap().method);
    }
    let told = build.assess().hold.unwrap();
    assert_eq!(
        (told.coated, told.free_from),
        ("2026-04-09".parse().unwrap(), "2026-04-16".parse().unwrap())
    );
}

#[test]
fn work_that_puts_no_coat_on_holds_nothing() {
    for (method, holds) in [
        ("bleach", false),
        ("key", false),
        ("white_mark", false),
        ("strip", false),
        ("rub_out", false),
        ("touch_up", true),
        ("wax_polish", true),
        ("paint", true),
    ] {
        let mut build = Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &[], vec![mark("gouge", "top")])
            .repair("2026-04-10", &[1]);
        method.clone_into(&mut build.case.repairs[0].method);
        assert_eq!(build.assess().hold.is_some(), holds, "{method}");
    }
}
