//! Findings: where they came from.

use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Origin;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::findings::BOUGHT;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::WORKED;
use crate::assess::tests::findings::sold_as;
use crate::model::photo::Stage;

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
            .shoot(Stage::Doorstep, "2026-03-13")
            .photo("", &[], vec![mark("gouge", "side-left")])
            .shoot(Stage::Purchase, BOUGHT)
            .photo(
                "left_whole",
                &["side-left"],
                vec![mark(statement, "side-left")],
            )
            .shoot(Stage::Sale, FINISHED)
            .photo("", &["side-left"], vec![mark("bleed_through", "side-left")])
    };
    let worked = |build: Build| build.repair(WORKED, &[1]).finding(2);
    let told = worked(with("sound"));
    assert_eq!(told.origin, Origin::ByWork);
    assert!(
        told.origin_why
            .ends_with("; repair 1 of 10 April 2026 lies between."),
        "{}",
        told.origin_why
    );
    assert!(
        told.origin_why
            .starts_with("Picture 2 of 14 March 2026 says that "),
        "{}",
        told.origin_why
    );
    assert_eq!(worked(with("not_examined")).origin, Origin::Unknown);
    let mut of_part = with("sound").repair(WORKED, &[]);
    of_part.case.repairs[0].parts = vec!["side-left".parse().unwrap()];
    assert_eq!(of_part.finding(2).origin, Origin::ByWork);
    of_part.case.repairs[0].parts = vec!["side-right".parse().unwrap()];
    assert_eq!(of_part.finding(2).origin, Origin::BetweenLooks);
    // What was sound after the work did not come with it.
    let sound_at_sale = || vec![mark("sound", "side-left")];
    let at_van = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("left_whole", &["side-left"], sound_at_sale())
        .shoot(Stage::Sale, FINISHED)
        .photo("left_whole", &["side-left"], sound_at_sale())
        .shoot(Stage::Handover, "2026-05-20")
        .photo("", &["side-left"], vec![mark("dent", "side-left")]);
    let mut at_van = at_van.repair(WORKED, &[]);
    at_van.case.repairs[0].parts = vec!["side-left".parse().unwrap()];
    let told = at_van.finding(1);
    assert_eq!(told.origin, Origin::BetweenLooks);
    let looks = "First seen between 2 May 2026 and 20 May 2026: picture 2 of 2 May 2026 says ";
    assert!(told.origin_why.starts_with(looks), "{}", told.origin_why);
    // Nobody worked on that part between the two looks, or only on the fault itself.
    for build in [
        with("sound"),
        with("sound").repair(WORKED, &[2]),
        with("sound").repair("2026-03-13", &[1]),
    ] {
        let told = build.finding(2);
        assert_eq!(told.origin, Origin::BetweenLooks);
        assert!(
            told.origin_why
                .starts_with("First seen between 14 March 2026 and 2 May 2026: "),
            "{}",
            told.origin_why
        );
    }
    let seen_at_sale = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &[], vec![mark("sound", "drawer-2")])
        .shoot(Stage::Sale, FINISHED)
        .photo(
            "",
            &[],
            vec![
                mark("drawer_bottom_fault", "drawer-2/bottom"),
                mark("gouge", "drawer-2/front"),
            ],
        );
    let bottom = seen_at_sale.finding(1);
    assert_eq!(
        bottom.origin,
        Origin::Unknown,
        "a look at the drawer is none at its bottom"
    );
    let front = seen_at_sale.finding(2);
    assert_eq!(front.origin, Origin::BetweenLooks);
    assert_eq!(
        front.origin_why,
        "First seen between 14 March 2026 and 2 May 2026: picture 1 of 14 March 2026 says that drawer 2 was sound, and drawer 2, front is seen with it; the fault is first seen in picture 2 of 2 May 2026 (sale)."
    );
}

/// A repair that is older than the first picture of a fault on its part: nobody knows which of them was first.
#[test]
fn taken_before_any_work_is_said_of_a_picture_that_is_older_than_the_work() {
    let worked = |part: &str| {
        let mut build = Build::chest()
            .shoot(Stage::Purchase, BOUGHT)
            .photo("", &["top"], vec![mark("gouge", "top")])
            .repair("2026-03-13", &[]);
        build.case.repairs[0].parts = vec![part.parse().unwrap()];
        build.finding(1)
    };
    let own = worked("top");
    assert_eq!(own.origin, Origin::Unknown);
    assert_eq!(
        own.origin_why,
        "It is in picture 1 of 14 March 2026 (purchase); repair 1 on the top is dated 13 March 2026, before that."
    );
    let other = worked("back");
    assert_eq!(other.origin, Origin::Found);
    assert!(
        other
            .origin_why
            .ends_with(", taken before any work on the top."),
        "{}",
        other.origin_why
    );
}

/// Work of the day of the picture may have been done before it: that is said, and not that the picture is older.
#[test]
fn of_work_of_the_same_day_the_order_is_not_known() {
    let gouge = |repairs: &[(&str, &[u32], &str)]| {
        let mut build = Build::chest().shoot(Stage::Purchase, BOUGHT).photo(
            "",
            &["top"],
            vec![mark("gouge", "top")],
        );
        for (day, findings, part) in repairs {
            build = build.repair(day, findings);
            let last = build.case.repairs.last_mut().unwrap();
            last.parts = Vec::from_iter((!part.is_empty()).then(|| part.parse().unwrap()));
        }
        let found = build.finding(1);
        (found.origin, found.origin_why.to_string())
    };
    let unknown = |on: &str| {
        let why = format!("It is in picture 1 of 14 March 2026 (purchase); {on}.");
        (Origin::Unknown, why)
    };
    let same_day =
        "repair 1 on the top is of the same day, and which of the two came first is not known";
    // On the top, and on the piece as a whole.
    assert_eq!(gouge(&[(BOUGHT, &[], "top")]), unknown(same_day));
    assert_eq!(gouge(&[(BOUGHT, &[], "")]), unknown(same_day));
    let (origin, why) = gouge(&[(BOUGHT, &[], "back")]);
    assert_eq!(origin, Origin::Found);
    assert!(
        why.ends_with(", taken before any work on the top."),
        "{why}"
    );
    // What was done for it on that day did not bring it, and what is older may have.
    let (origin, why) = gouge(&[(BOUGHT, &[1], "")]);
    assert_eq!(origin, Origin::Found);
    assert!(
        why.ends_with(
            "; repair 1 for it is of the same day, and no older work on the top is on record."
        ),
        "{why}"
    );
    assert_eq!(
        gouge(&[("2026-03-13", &[1], "")]),
        unknown("repair 1 for it is dated 13 March 2026, before that")
    );
}

/// Work on a part of what has the fault is work on it.
#[test]
fn work_on_a_part_of_it_is_older_than_a_fault_of_the_whole() {
    let mut build = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &["drawer-1"], vec![mark("gouge", "drawer-1")])
        .repair("2026-03-13", &[]);
    build.case.repairs[0].parts = vec!["drawer-1/front".parse().unwrap()];
    assert_eq!(build.finding(1).origin, Origin::Unknown);
}

/// A repair of the day of the last sound look, or of the first look at the fault, is not known to lie between them.
#[test]
fn work_lies_between_two_looks_when_it_is_of_neither_day() {
    let worked = |day: &str| {
        let mut build = Build::chest()
            .shoot(Stage::Purchase, BOUGHT)
            .photo("", &["top"], vec![mark("sound", "top")])
            .shoot(Stage::Sale, FINISHED)
            .photo("", &["top"], vec![mark("gouge", "top")])
            .repair(day, &[]);
        build.case.repairs[0].parts = vec!["top".parse().unwrap()];
        build.finding(1)
    };
    assert_eq!(worked(WORKED).origin, Origin::ByWork);
    for (day, spoken) in [(BOUGHT, "14 March 2026"), (FINISHED, "2 May 2026")] {
        let found = worked(day);
        assert_eq!(found.origin, Origin::BetweenLooks);
        let ends = format!(
            "; repair 1 on the top is of {spoken}, and which of the two came first is not known."
        );
        assert!(found.origin_why.ends_with(&ends), "{}", found.origin_why);
    }
}

/// A repair that is told as one for the fault is older than its first picture: the work on that part since did not bring it.
#[test]
fn a_fault_that_was_repaired_before_it_was_seen_did_not_come_with_other_work() {
    let mut build = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo("", &["top"], vec![mark("sound", "top")])
        .shoot(Stage::Sale, FINISHED)
        .photo("", &["top"], vec![mark("gouge", "top")])
        .repair("2026-04-01", &[1])
        .repair(WORKED, &[]);
    build.case.repairs[1].parts = vec!["top".parse().unwrap()];
    let found = build.finding(1);
    assert_eq!(found.origin, Origin::BetweenLooks);
    assert!(
        found
            .origin_why
            .ends_with("; repair 1 of 1 April 2026, before that, is told as one for it."),
        "{}",
        found.origin_why
    );
    let all = build.assess();
    let early = |it: &&crate::assess::gaps::lacks::Gap| it.code == "repair_before_its_fault";
    assert_eq!(all.gaps.iter().filter(early).count(), 1);
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
