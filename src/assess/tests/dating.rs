//! When a piece was made. Common practice, no source.

use crate::assess::material::clue::Made;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::mark::Mark;
use crate::model::photo::Stage;

/// One photo for each group of words: `part!tag` or `part!tag:level`.
fn build(photos: &[&str]) -> Build {
    let a_mark = |word: &str| -> Mark {
        let (part, tag) = word.split_once('!').unwrap();
        match tag.split_once(':') {
            Some((tag, level)) => mark(tag, part).level(level.parse().unwrap()),
            None => mark(tag, part),
        }
    };
    let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14");
    for words in photos {
        build = build.photo("", &[], words.split_whitespace().map(a_mark).collect());
    }
    build
}

fn made(photos: &[&str]) -> Made {
    build(photos).assess().made
}

#[test]
fn clues_bound_it_from_below_and_probably_from_above() {
    let told = made(&[
        "drawer-1!dovetail_machine drawer-2!runner_centre",
        "top!book_match",
        "drawer-3!runner_centre",
    ]);
    assert_eq!((told.from, told.to), (Some(1890), None));
    assert_eq!(
        told.text,
        "In our opinion made after about 1890, by one wooden guide under the middle of the drawer (pictures 1 and 3); an \
         opinion from construction, not a certificate."
    );
    let both = made(&["drawer-1!pin_and_cove"]);
    assert_eq!((both.from, both.to), (Some(1870), Some(1900)));
    assert!(both.text.starts_with(
        "In our opinion made after about 1870 and probably before about 1900, by row of round pins"
    ));
    let above = made(&["frame!glue_animal"]);
    assert!(
        above
            .text
            .starts_with("In our opinion probably made before about 1955, by "),
        "{}",
        above.text
    );
    assert_eq!(made(&["top!layer_line"]), Made::default());
    assert_eq!(made(&[]).text, "");
}

#[test]
fn what_is_on_a_later_part_does_not_count() {
    for (clue, why) in [
        (
            "drawer-1/pull!screw_pointed drawer-1/pull!pull_odd",
            "fittings here",
        ),
        (
            "drawer-1/pull!screw_pointed drawer-1/front!hw_extra_holes",
            "other holes",
        ),
        (
            "drawer-1!dovetail_machine drawer-1!drawer_swapped:3",
            "not belonging",
        ),
        (
            "drawer-1/bottom!secondary_ply drawer-1!drawer_swapped",
            "not belonging",
        ),
        ("frame!dowel_joint frame!bad_repair:1", "poorly repaired"),
        ("frame!dowel_joint frame!old_repair_sound", "old repair"),
        (
            "back!nail_wire back!two_backs_differ",
            "upper and lower part",
        ),
        ("top!screw_cross", "by itself"),
        ("top!screw_cross drawer-1!dovetail_machine", "by itself"),
    ] {
        let told = made(&[clue]);
        let aside: Vec<_> = told
            .clues
            .iter()
            .filter_map(|it| it.aside.as_ref())
            .collect();
        assert!(
            aside.len() == 1 && aside[0].contains(why),
            "{clue}: {aside:?}"
        );
        let rest = if clue.ends_with("dovetail_machine") {
            Some(1870)
        } else {
            None
        };
        assert_eq!(told.from, rest, "{clue}");
        if rest.is_none() {
            assert!(
                told.text.starts_with("Not settled when it was made"),
                "{clue}"
            );
        }
    }
    // Two drawers of the same piece in each other's places tell as much as before; so does a clue on another part.
    assert_eq!(
        made(&["drawer-1!dovetail_machine drawer-1!drawer_swapped:1"]).from,
        Some(1870)
    );
    assert_eq!(
        made(&["drawer-1!dovetail_machine drawer-2!drawer_swapped:3"]).from,
        Some(1870)
    );
    assert_eq!(
        made(&["drawer-1!dovetail_machine drawer-1/pull!pull_odd"]).from,
        Some(1870)
    );
    assert_eq!(
        made(&["top!screw_cross back!staples_hotmelt"]).from,
        Some(1950)
    );
}

#[test]
fn a_new_part_says_nothing_of_the_piece() {
    let new = build(&["drawer-1/bottom!drawer_bottom_fault:3"])
        .repair("2026-04-01", &[1])
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &[], vec![mark("secondary_ply", "drawer-1/bottom")]);
    let with = |method: &str| {
        let mut build = new.clone();
        build.case.repairs[0].method = method.to_owned();
        build.assess().made
    };
    assert_eq!(with("drawer_bottom_new").from, None);
    assert!(
        with("drawer_bottom_new").clues[0]
            .aside
            .as_ref()
            .unwrap()
            .contains("1 April 2026")
    );
    assert_eq!(
        with("drawer_bottom").from,
        Some(1920),
        "glued, not made new"
    );
    // What was seen before the work was there before it.
    let mut old = build(&["drawer-1/bottom!drawer_bottom_fault:3 drawer-1/bottom!secondary_ply"])
        .repair("2026-04-01", &[1]);
    old.case.repairs[0].method = "drawer_bottom_new".to_owned();
    assert_eq!(old.assess().made.from, Some(1920));
    let missing = build(&["drawer-1!part_missing:4"])
        .repair("2026-04-01", &[1])
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &[], vec![mark("dovetail_machine", "drawer-1")]);
    assert_eq!(missing.assess().made.from, None);
}

#[test]
fn one_late_part_is_either_the_truth_or_a_replacement() {
    let told = made(&["drawer-1!dovetail_machine", "drawer-5/bottom!secondary_ply"]);
    assert_eq!(told.from, Some(1920));
    assert!(
        told.text.ends_with(
            "That rests on one part, drawer 5, bottom; the others say no more than after about 1870: either the piece is \
             that late, or that part was replaced."
        ),
        "{}",
        told.text
    );
    let two = made(&[
        "drawer-1!secondary_ply",
        "back!secondary_ply drawer-2!dovetail_machine",
    ]);
    assert!(!two.text.contains("replaced"), "{}", two.text);
    let lone = made(&["drawer-1!dovetail_machine"]);
    assert!(!lone.text.contains("replaced"), "nothing speaks against it");
}

#[test]
fn clues_that_contradict_one_another_give_no_range() {
    let told = made(&["drawer-1!screw_hand", "back!staples_hotmelt"]);
    assert_eq!((told.from, told.to), (None, None));
    assert_eq!(
        told.text,
        "Not settled when it was made: the clues contradict one another. After about 1950, by staples, beads of melted glue, \
         plastic corner blocks (picture 2); probably before about 1830, by screw: blunt, irregular thread, file marks, slot off \
         centre (picture 1). Either the piece is that late and older things were used again, or one part was replaced: back panel."
    );
    // A range of no years is none.
    assert_eq!(
        made(&["drawer-1!pin_and_cove", "back!finger_joint"]).from,
        None
    );
    // A weak sign gives way.
    let weak = made(&["drawer-1!marks_straight_even", "back!staples_hotmelt"]);
    assert_eq!((weak.from, weak.to), (Some(1950), None));
    assert!(
        weak.clues
            .iter()
            .any(|it| it.aside.as_ref().is_some_and(|it| it.contains("weak")))
    );
}

/// Never a promise, never a word that sells.
#[test]
fn the_text_is_an_opinion() {
    for photos in [
        vec!["drawer-1!pin_and_cove"],
        vec!["drawer-1!dovetail_machine", "back!nail_wire"],
        vec!["drawer-1!screw_hand", "back!staples_hotmelt"],
        vec!["top!screw_cross"],
    ] {
        let text = made(&photos).text.english();
        assert!(
            text.contains("opinion") || text.starts_with("Not settled"),
            "{text}"
        );
        assert!(!text.to_lowercase().contains("antique"));
        let (years, about) = (text.matches("about 1").count(), text.matches(" 1").count());
        assert!(
            text.contains("counts") || (years > 0 && about >= years),
            "{text}"
        );
    }
}
