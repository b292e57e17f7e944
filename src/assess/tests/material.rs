//! What a part is made of: what settles it, what it may still be, and where to look. Common practice, no source.

use crate::assess::part_report::Material;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::trade;

/// Each word is a cue on the top, or `part!cue`.
fn seen(words: &str) -> Build {
    let marks = words.split_whitespace().map(|word| {
        let (part, cue) = word.split_once('!').unwrap_or(("top", word));
        mark(cue, part)
    });
    let shoot = Build::chest().shoot(Stage::Purchase, "2026-03-14");
    shoot.photo("edge_line", &["top"], marks.collect())
}

fn top(words: &str) -> Material {
    seen(words).part("top").material
}

#[test]
fn what_settles_a_part_and_what_does_not() {
    for (words, class) in [
        ("layer_line", Some("veneer")),
        ("veneer_thin", Some("veneer")),
        ("end_grain_runs figure_both_sides", Some("solid")),
        ("book_match cross_grain_edge", Some("veneer")),
        ("dots_or_no_pores chip_shows_paper", Some("laminate")),
        // Plywood shows its own outer layer; what covers a board has still to be looked at.
        ("ply_layers", Some("plywood")),
        ("chips_seen", None),
        ("uniform_brown", None),
        ("face_of_chips chips_seen", Some("particleboard")),
        ("face_of_fibre", Some("mdf")),
        // Face and core are two questions.
        ("layer_line chips_seen", Some("veneer")),
        ("layer_line ply_layers", Some("veneer")),
        (
            "dots_or_no_pores chip_shows_paper chips_seen",
            Some("laminate"),
        ),
        ("tap_dull ply_layers", Some("plywood")),
        // What can happen to veneer alone settles it, unless contradicted.
        ("veneer_lift", Some("veneer")),
        ("veneer_missing", Some("veneer")),
        ("veneer_lift end_grain_runs", None),
        // Mirrored figure speaks for veneer and does not settle it.
        ("book_match", None),
        ("end_grain_runs", None),
        ("tap_dull", None),
        // Strong words against one another.
        ("layer_line end_grain_runs", None),
        ("book_match ply_layers", None),
        ("chips_seen uniform_brown", None),
        ("end_grain_runs figure_both_sides book_match", None),
        // Weight proves nothing.
        ("weight_light", None),
        // Who says that it is veneer nowhere to be measured has said that it is veneer.
        ("weight_light veneer_unmeasured", Some("veneer")),
        ("veneer_unmeasured end_grain_runs", None),
        ("", None),
    ] {
        let told = top(words);
        assert_eq!(told.settled.as_deref(), class, "{words}");
        assert_eq!(told.possible.is_empty(), class.is_some(), "{words}");
        assert_eq!(told.look.is_none(), class.is_some(), "{words}");
    }
}

#[test]
fn what_is_not_settled_may_be_everything_that_is_not_excluded() {
    let all = [
        "laminate",
        "mdf",
        "particleboard",
        "plywood",
        "print",
        "solid",
        "veneer",
    ];
    assert_eq!(top("").possible, all);
    assert_eq!(top("book_match").possible, all);
    assert_eq!(top("end_grain_runs").possible, all, "one edge may mislead");
    let chips = top("chips_seen uniform_brown").possible;
    assert_eq!(
        chips,
        [
            "laminate",
            "mdf",
            "particleboard",
            "plywood",
            "print",
            "veneer"
        ]
    );
    assert!(
        top("composition_ornament book_match")
            .possible
            .contains(&"composition".to_owned())
    );
    assert!(top("weight_light").evidence.is_empty());
}

#[test]
fn it_says_where_to_look_next() {
    let look = |words: &str| top(words).look.unwrap();
    assert_eq!(
        look(""),
        "Look at the back edge of the top and at both faces of the same board."
    );
    assert_eq!(look("book_match"), look(""));
    let second = look("layer_line end_grain_runs");
    assert_eq!(
        second,
        "Look at a second edge and at both faces of the same board."
    );
    let drawer = seen("").part("drawer-2").material;
    assert_eq!(
        drawer.text,
        "Not settled: nothing is recorded that tells it. To settle it, look at the top edge of the drawer front and at both \
         faces of the same board."
    );
}

/// Veneered fronts are a hint for the top, never a verdict.
#[test]
fn veneered_fronts_make_a_veneered_top_likely() {
    let told = top("drawer-1/front!layer_line drawer-2!layer_line drawer-10!book_match book_match");
    assert_eq!(told.settled, None);
    let hint = "The fronts of drawers 1 and 2 are veneered, so the top is likely to be veneered as well; only its own back edge settles that.";
    assert!(told.text.contains(hint), "{}", told.text);
    assert!(
        told.look
            .unwrap()
            .starts_with("Look at the back edge of the top")
    );
    let side = seen("drawer-1/front!layer_line").part("side-left").material;
    assert!(!side.text.contains("likely"));
    let solid = top("drawer-1!layer_line end_grain_runs figure_both_sides");
    assert_eq!(solid.settled.as_deref(), Some("solid"));
    assert!(!solid.text.contains("likely"));
}

/// A drawer is judged by its front, and by no other of its parts.
#[test]
fn a_drawer_and_its_front_are_the_same() {
    let build = seen(
        "drawer-1!layer_line drawer-1/front!tap_dull drawer-2/front!layer_line drawer-3/side-left!layer_line drawer-3!tap_dull",
    );
    let class = |part: &str| build.part(part).material.settled;
    for part in [
        "drawer-1",
        "drawer-1/front",
        "drawer-2",
        "drawer-2/front",
        "drawer-3/side-left",
    ] {
        assert_eq!(class(part).as_deref(), Some("veneer"), "{part}");
    }
    assert_eq!(class("drawer-3"), None);
    assert_eq!(
        build.part("drawer-1").material,
        build.part("drawer-1/front").material
    );
}

#[test]
fn of_an_absent_part_there_is_nothing_to_look_at() {
    let absent = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], vec![mark("absent", "back")])
        .part("back");
    assert_eq!(
        (absent.material.look, absent.material.possible),
        (None, Vec::new())
    );
}

/// What an observation tells in general is said of it only where it was seen, and a trial that failed is called so.
#[test]
fn no_observation_is_praised_where_it_was_not_so() {
    for cue in &trade::book().cues {
        for (state, word) in MarkState::ALL {
            let told = Build::chest()
                .shoot(Stage::Purchase, "2026-03-14")
                .photo("", &[], vec![mark(&cue.id, "drawer-1").says(word)])
                .assess();
            let it = &told.remarks[0];
            let so = state == MarkState::Present;
            assert!(state.is_there() || it.plain.is_empty(), "{} {word}", cue.id);
            assert!(
                so || it.term != cue.term || !it.unless_seen().is_empty(),
                "{} {word}",
                cue.id
            );
        }
    }
    let failed = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], vec![mark("tried_works", "drawer-1").says("gone")])
        .assess();
    assert_eq!(
        failed.remarks[0].term,
        "Tried, and it did not do what it is for"
    );
    assert_eq!(failed.remarks[0].unless_seen(), "");
}

/// Of a coat that work took off since nothing is told as it is now.
#[test]
fn a_coat_that_was_taken_off_is_told_as_it_was() {
    let tested = |repair: &str| {
        let build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
            "",
            &[],
            vec![mark("fin_neither", "top"), mark("fin_neither", "frame")],
        );
        let mut build = build.repair("2026-04-10", &[]);
        build.case.repairs[0].method = repair.to_owned();
        build.case.repairs[0].parts = vec!["top".parse().unwrap()];
        build.assess()
    };
    let told = tested("strip");
    assert_eq!(told.remarks[0].unless_seen(), "taken off since");
    assert!(told.remarks[0].plain.is_empty());
    assert_eq!(told.remarks[1].unless_seen(), "", "another part");
    assert_eq!(tested("wax_polish").remarks[0].unless_seen(), "");
}
