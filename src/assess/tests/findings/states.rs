//! What marks and repairs make of a finding.

use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Origin;
use crate::assess::new_keys;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::findings::BOUGHT;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::LEFT;
use crate::assess::tests::findings::WORKED;
use crate::assess::tests::findings::bought;
use crate::assess::tests::findings::sold_as;
use crate::model::ids::FindingNo;
use crate::model::mark::MarkState;
use crate::model::photo::RemovedPhoto;
use crate::model::photo::Stage;
use crate::trade;

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

/// No picture ever showed it repaired or gone: it is not there again, but still.
#[test]
fn a_fault_that_its_repair_left_was_never_away() {
    let still = |build: Build| build.repair(WORKED, &[1]).finding(1).still_after;
    assert_eq!(still(sold_as("present")), Some(1));
    assert_eq!(still(sold_as("repaired")), None);
    let again = sold_as("repaired")
        .shoot(Stage::Handover, LEFT)
        .photo("", &[], vec![of(1)]);
    assert_eq!(still(again), None);
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
    let notes: Vec<&str> = sale.notes.iter().map(|it| it.text.as_str()).collect();
    assert_eq!(notes, ["patched", "still to be seen"]);
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
fn a_finding_is_called_as_the_newest_mark_says_that_names_its_number() {
    let mut build = Build::chest()
        .shoot(Stage::Purchase, BOUGHT)
        .photo(
            "",
            &["top"],
            vec![mark("white_mark", "top").which("right ring")],
        )
        .photo("", &["top"], vec![of(1).which("by the right edge"), of(1)]);
    build.number();
    let found = build.finding(1);
    assert_eq!(
        (found.which.as_str(), found.numbered_as.as_str()),
        ("by the right edge", "right ring")
    );
    let more = &found.history[0].more;
    let told: Vec<&str> = more.iter().map(|it| it.text.as_str()).collect();
    assert_eq!(told, ["right ring"], "the word of before is told");
    assert_eq!(found.history[0].marks.len(), 3, "one finding");
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

/// A picture that is taken out takes its findings with it, and the record says so.
#[test]
fn a_picture_that_is_taken_out_names_the_findings_that_went_with_it() {
    let mut build = bought().photo("", &[], vec![of(1), mark("worm_old", "back")]);
    build.number();
    let photo = build.case.photos.pop().unwrap();
    build.case.removed.push(RemovedPhoto {
        photo,
        why: "blurred".to_owned(),
        removed: "2026-05-05T10:00:00Z".parse().unwrap(),
    });
    let told = build.assess();
    let out = &told.taken_out[0];
    let numbers = |list: &[FindingNo]| list.iter().map(|it| it.0).collect::<Vec<u32>>();
    assert_eq!(
        (out.photo, numbers(&out.findings), numbers(&out.withdrawn)),
        (2, vec![1, 2], vec![2])
    );
    assert!(out.went_with_it().unwrap().starts_with("F2 went with it"));
    let gone: Vec<u32> = told.withdrawn().map(|it| it.no.0).collect();
    assert_eq!(gone, [2]);
}

/// A look that shows it repaired stays a look, whatever was done later.
#[test]
fn a_later_repair_does_not_unsee_the_one_before() {
    let build = sold_as("repaired").repair(WORKED, &[1]).repair(LEFT, &[1]);
    let found = build.finding(1);
    assert_eq!(found.state, FindingState::RepairUnseen);
    assert!(found.seen_cured().is_some());
    assert!(
        bought()
            .repair(WORKED, &[1])
            .finding(1)
            .seen_cured()
            .is_none()
    );
    let told = build.assess();
    let why = told
        .not_examined
        .iter()
        .find(|it| it.what.starts_with("F1"));
    assert!(why.unwrap().why.starts_with("It was seen repaired"));
}
