//! Parts: the three silences, faults, and what a part is made of.

use crate::assess::part_report::PartState;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::trade;

fn bought() -> Build {
    Build::chest().shoot(Stage::Purchase, "2026-03-14")
}

#[test]
fn the_three_silences_stay_apart() {
    let build = bought().photo(
        "",
        &["drawer-4"],
        vec![
            mark("absent", "drawer-1"),
            mark("not_examined", "drawer-2").note("locked, no key"),
            mark("sound", "drawer-3"),
        ],
    );
    let PartState::Absent(absent) = build.part("drawer-1").state else {
        panic!()
    };
    assert_eq!((absent.photo(), absent.wider()), (Some(1), None));
    let PartState::NotExamined(not) = build.part("drawer-2").state else {
        panic!()
    };
    assert_eq!(not.why(), Some("locked, no key"));
    let PartState::Sound(sound) = build.part("drawer-3").state else {
        panic!()
    };
    assert_eq!(
        (sound.photo(), sound.day()),
        (1, "2026-03-14".parse().unwrap())
    );
    assert_eq!(
        build.part("drawer-4").state,
        PartState::Silent,
        "a picture is no statement"
    );
    assert_eq!(build.part("drawer-4").photos, [1]);
    let photos = build.part("drawer-1").photos;
    assert!(photos.is_empty(), "what is absent is in no picture");
}

/// A required part without any photo is never silently fine.
#[test]
fn a_part_that_was_not_pictured_is_told() {
    let told = bought().photo("front_whole", &[], vec![]).assess();
    let silent = told
        .parts
        .iter()
        .filter(|it| it.required && it.state == PartState::Silent);
    let labels: Vec<&str> = silent.map(|it| it.label.as_str()).collect();
    assert!(
        labels.contains(&"Top") && labels.contains(&"Drawer 5"),
        "{labels:?}"
    );
    for label in labels {
        assert!(
            told.not_examined.iter().any(|it| it.what == label),
            "{label}"
        );
    }
    let gap = told
        .gaps
        .iter()
        .find(|it| it.code == "part_without_statement")
        .unwrap();
    assert!(gap.message.contains("Drawer 5") && gap.remedy.contains("\"drawer-5\""));
}

#[test]
fn an_absent_part_is_in_all_lists() {
    let mut build = bought().photo("front_whole", &[], vec![]);
    build.case.piece.absent.push("drawer-2".parse().unwrap());
    let PartState::Absent(absent) = build.part("drawer-2").state else {
        panic!()
    };
    assert_eq!(absent.photo(), None);
    let later = build
        .clone()
        .photo("", &[], vec![mark("sound", "drawer-2")]);
    assert!(
        matches!(later.part("drawer-2").state, PartState::Sound { .. }),
        "it turned up"
    );
}

#[test]
fn the_last_statement_counts_but_an_open_fault_outweighs_it() {
    let build = bought()
        .photo("", &[], vec![mark("not_examined", "top")])
        .photo("", &[], vec![mark("sound", "top")]);
    assert!(matches!(build.part("top").state, PartState::Sound(it) if it.photo() == 2));
    let faulty = build.photo("", &[], vec![mark("gouge", "top")]);
    let counted = |build: &Build| {
        let part = build.part("top");
        assert_eq!(part.state, PartState::Faults);
        part.counts.text()
    };
    assert_eq!(counted(&faulty), "1 finding, still there");
    let later = faulty
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &[], vec![mark("sound", "top")]);
    assert_eq!(
        counted(&later),
        "1 finding, still there",
        "still open, whatever was said of the whole"
    );
    let mended = later.photo("", &[], vec![of(1).says("repaired")]);
    assert_eq!(counted(&mended), "1 finding, repaired, no level given");
}

/// Taken off after the purchase: the part is absent, and its faults went with it.
#[test]
fn a_part_that_was_taken_off_is_absent() {
    let build = bought()
        .photo("", &[], vec![mark("gouge", "drawer-1")])
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &[], vec![mark("absent", "drawer-1")]);
    let PartState::Absent(absent) = build.part("drawer-1").state else {
        panic!()
    };
    assert_eq!(absent.photo(), Some(2));
    assert_eq!(build.part("drawer-1").findings, [FindingNo(1)]);
}

/// One photo, several parts, several faults.
#[test]
fn one_photo_counts_for_every_part_it_shows() {
    let marks = vec![
        mark("gouge", "drawer-1/front").within([10.0, 10.0, 5.0, 5.0]),
        mark("veneer_chip", "drawer-1/front").within([20.0, 10.0, 5.0, 5.0]),
        mark("white_mark", "top").within([10.0, 1.0, 5.0, 5.0]),
        mark("pull_missing", "drawer-3/pull-left"),
        mark("scratch_finish", "side-right"),
    ];
    let build = bought().photo("front_whole", &["face-frame"], marks);
    assert_eq!(build.assess().findings.len(), 5);
    for part in [
        "top",
        "drawer-1",
        "drawer-1/front",
        "drawer-3",
        "side-right",
        "face-frame",
    ] {
        assert_eq!(build.part(part).photos, [1], "{part}");
    }
    assert_eq!(
        build.part("drawer-1").findings,
        [FindingNo(1), FindingNo(2)]
    );
}

#[test]
fn material_needs_enough_and_strong_and_clear_evidence() {
    let told = |cues: &[&str]| {
        let marks = cues.iter().map(|it| mark(it, "top")).collect();
        bought()
            .photo("edge_line", &["top"], marks)
            .part("top")
            .material
    };
    let settled = told(&["layer_line", "cross_grain_edge"]);
    assert_eq!(settled.settled.as_deref(), Some("veneer"));
    assert!(settled.text.starts_with("Veneered. Seen: ") && settled.text.contains("(picture 1)"));
    assert_eq!(settled.evidence.len(), 2);
    assert_eq!(
        told(&["layer_line"]).settled.as_deref(),
        Some("veneer"),
        "decides alone"
    );
    assert_eq!(told(&["book_match"]).settled, None, "3 is not enough");
    assert_eq!(
        told(&["cross_grain_edge", "wide_single_board", "tap_dull"]).settled,
        None,
        "none strong"
    );
    let mixed = told(&["book_match", "cross_grain_edge", "end_grain_runs"]);
    assert_eq!(mixed.settled, None, "5 against 3");
    assert!(
        mixed.text.starts_with("Not settled. Seen: ")
            && mixed.text.contains("look at a second edge")
    );
    assert_eq!(
        told(&["layer_line", "end_grain_runs"]).settled,
        None,
        "one strong word against another"
    );
    assert_eq!(told(&[]).settled, None);
    let twice = bought()
        .photo("", &[], vec![mark("book_match", "top")])
        .photo("", &[], vec![mark("book_match", "top")]);
    assert_eq!(
        twice.part("top").material.settled,
        None,
        "the same cue twice counts once"
    );
    assert!(
        twice
            .part("top")
            .material
            .text
            .contains("(pictures 1 and 2)")
    );
}

#[test]
fn each_part_is_judged_by_itself_and_a_front_speaks_for_its_drawer() {
    let marks = vec![
        mark("layer_line", "drawer-1/front"),
        mark("book_match", "drawer-1/front"),
        mark("end_grain_runs", "top"),
        mark("figure_both_sides", "top"),
    ];
    let build = bought().photo("", &[], marks);
    assert_eq!(
        build.part("drawer-1").material.settled.as_deref(),
        Some("veneer")
    );
    assert_eq!(build.part("top").material.settled.as_deref(), Some("solid"));
    assert_eq!(build.part("drawer-2").material.settled, None);
}

/// Every class of the trade book has a word for the buyer.
#[test]
fn every_material_class_has_words() {
    for cue in &trade::book().cues {
        let Some(class) = &cue.supports else { continue };
        let words = crate::assess::material::settle::words(class).english();
        assert_ne!(words, *class, "`{class}` of `{}` has no words", cue.id);
    }
}

/// A part that was found sound and is absent since says when it was which, from the first picture in which it is absent.
#[test]
fn a_part_that_was_there_says_when_it_was_last_seen() {
    let key = |word: &str| vec![mark(word, "key")];
    let build = Build::chest()
        .shoot(Stage::Handover, "2026-04-16")
        .photo("", &[], key("sound"))
        .shoot(Stage::Delivery, "2026-04-19")
        .photo("", &[], key("absent"))
        .photo("", &[], key("absent"));
    let PartState::Absent(missed) = build.part("key").state else {
        panic!("{:?}", build.part("key").state);
    };
    let lost = missed.lost().unwrap();
    assert_eq!((lost.was.photo(), lost.photo), (1, 2));
    assert_eq!(lost.day.spoken(), "19 April 2026");
    let never = Build::chest()
        .shoot(Stage::Purchase, "2026-04-16")
        .photo("", &[], key("absent"));
    let PartState::Absent(missed) = never.part("key").state else {
        panic!("absent");
    };
    assert_eq!(missed.lost(), None);
}

/// A fault on a part of a drawer says nothing of the drawer; one on its front does, and so does a word on the drawer itself.
#[test]
fn a_fault_on_an_inner_part_says_nothing_of_its_whole() {
    let with = |marks: Vec<Mark>| {
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &[], marks)
    };
    let bottom = || mark("split_through", "drawer-3/bottom");
    let build = with(vec![bottom()]);
    let part = build.part("drawer-3");
    assert_eq!((part.state, part.findings.len()), (PartState::Silent, 1));
    let told = build.assess();
    let line = told.not_examined.iter().find(|it| it.what == "Drawer 3");
    assert_eq!(
        line.unwrap().why,
        "Nothing is recorded of it beyond F1; that is no statement that it is sound."
    );
    let gap = { told.gaps.iter() }.find(|it| it.code == "part_without_statement");
    assert!(gap.unwrap().message.contains("Drawer 3"));
    for more in [mark("gouge", "drawer-3/front"), mark("sound", "drawer-3")] {
        let part = with(vec![bottom(), more]).part("drawer-3");
        assert_eq!(part.state, PartState::Faults);
    }
}
