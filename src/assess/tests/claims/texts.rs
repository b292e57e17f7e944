//! In which texts a claim is found, of what it speaks there, and what is said of it.

use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::claims::borne;
use crate::assess::tests::claims::chest;
use crate::assess::tests::claims::solid;
use crate::assess::tests::claims::unproven;
use crate::model::mark::Mark;

#[test]
fn a_gap_names_the_word_the_text_the_place_and_what_to_write() {
    let told = chest("solid oak chest", vec![]).assess();
    let gap = told
        .gaps
        .iter()
        .find(|it| it.code == "claim_without_evidence")
        .unwrap();
    assert!(
        gap.message
            .starts_with("`solid oak` in the title (\"solid oak chest\") claims"),
        "{}",
        gap.message
    );
    assert!(
        gap.remedy.contains("`asfound amend 26-001 --title"),
        "{}",
        gap.remedy
    );
    assert!(gap.remedy.contains("veneered"), "{}", gap.remedy);
    assert_eq!(told.piece.title, "solid oak chest", "the user's words stay");
}

#[test]
fn every_text_a_buyer_reads_is_looked_at_and_no_private_one() {
    let word = "guaranteed";
    let noted = mark("gouge", "top").level(2).note(word).which(word);
    let mut build = chest("chest", vec![noted])
        .but(|it| {
            it.sidecar.note = Some(word.to_owned());
            it.sidecar.private_note = Some(word.to_owned());
        })
        .repair("2026-04-10", &[1]);
    build.case.piece.about = Some(word.to_owned());
    build.case.piece.weight = Some(word.to_owned());
    build.case.piece.private_note = Some(word.to_owned());
    let repair = &mut build.case.repairs[0];
    for text in [
        &mut repair.new_material,
        &mut repair.hides,
        &mut repair.note,
        &mut repair.private_note,
    ] {
        *text = Some(word.to_owned());
    }
    let told = build.assess();
    let places: Vec<String> = told.claims.iter().map(|it| it.place.english()).collect();
    assert_eq!(
        places,
        [
            "the text about the piece",
            "the weight",
            "the note beside picture 1",
            "a mark beside picture 1",
            "a mark beside picture 1",
            "the new material of repair 1",
            "what is hidden by repair 1",
            "the note of repair 1",
        ]
    );
    let told_by = |n: usize| told.claims[n].told_by.as_str();
    assert_eq!(told_by(2), "`note` in `1 purchase 2026-03-14/P1.jpg.toml`");
    assert_eq!(
        told_by(3),
        "`note` of the mark `gouge` in `1 purchase 2026-03-14/P1.jpg.toml`"
    );
    assert_eq!(
        told_by(7),
        "`asfound repair 26-001 --again 1 --note \"...\"`"
    );
}

/// A note on a mark speaks of that mark's part.
#[test]
fn a_note_is_about_the_part_of_its_mark() {
    let with = |part: &str| {
        let mut marks = solid("top");
        marks.push(mark("gouge", part).level(2).note("solid wood shows"));
        chest("chest", marks).assess()
    };
    assert_eq!(unproven(&with("top")), [""; 0]);
    assert_eq!(unproven(&with("side-left")).len(), 1);
}

/// A note that says no more than its mark claims nothing; the same words elsewhere, and wider ones beside it, do.
#[test]
fn a_note_may_say_what_its_mark_says() {
    let clean = |note: &str| {
        let paint = mark("lead_paint", "top").level(1).note(note);
        unproven(&chest("chest", vec![paint]).assess()).len()
    };
    assert_eq!(clean("swab stayed yellow: no lead in that test"), 0);
    assert_eq!(clean("lead-free"), 1);
    let untested = mark("lead_paint", "top").level(3).note("no lead in it");
    assert_eq!(unproven(&chest("chest", vec![untested]).assess()).len(), 1);
}

#[test]
fn a_label_is_quoted_as_it_reads() {
    let quoted = "The label reads \"Genuine antique oak, guaranteed\".";
    let told = chest("chest", vec![mark("label_text", "back").note(quoted)]).assess();
    assert_eq!(told.claims, []);
}

/// Wherever a buyer reads it: each place by itself, with the word in it.
#[test]
fn a_claim_is_found_in_every_text_that_a_buyer_reads() {
    let text = "Free of woodworm";
    let fault = || mark("gouge", "top").level(2);
    let said = |it: Mark| chest("chest", vec![it]);
    let mut places = vec![
        ("title", chest(text, vec![])),
        ("fault's note", said(fault().note(text))),
        ("fault's name", said(fault().which(text))),
        ("fault's measure", said(fault().size(text))),
        (
            "observation",
            said(mark("old_repair_sound", "top").note(text)),
        ),
        (
            "observation's name",
            said(mark("looks_like_wood", "top").which(text)),
        ),
        ("sound", said(mark("sound", "top").note(text))),
        ("absent", said(mark("absent", "key").note(text))),
        (
            "not examined",
            said(mark("not_examined", "back").note(text)),
        ),
        (
            "picture",
            chest("chest", vec![]).but(|it| it.sidecar.note = Some(text.to_owned())),
        ),
    ];
    let mut about = chest("chest", vec![]);
    about.case.piece.about = Some(text.to_owned());
    places.push(("about", about));
    let mut weight = chest("chest", vec![]);
    weight.case.piece.weight = Some(text.to_owned());
    places.push(("weight", weight));
    let repaired = || said(fault()).repair("2026-04-10", &[1]);
    for n in 0..3 {
        let mut build = repaired();
        let repair = &mut build.case.repairs[0];
        let field = [
            &mut repair.note,
            &mut repair.new_material,
            &mut repair.hides,
        ];
        let [note, material, hides] = field;
        *[note, material, hides][n] = Some(text.to_owned());
        places.push(("repair", build));
    }
    for (place, build) in places {
        assert_eq!(unproven(&build.assess()).len(), 1, "{place}");
    }
}

/// A sentence about one lock is judged by that lock.
#[test]
fn a_sentence_is_judged_by_the_parts_that_it_names() {
    let marks = || {
        vec![
            mark("tried_works", "drawer-1/lock"),
            mark("hardware_loose", "drawer-2/pull").level(3),
        ]
    };
    for title in [
        "The lock of drawer 1 works.",
        "Drawer 1 lock works",
        "chest, lock of drawer 1 works",
    ] {
        let line = borne(title, marks()).unwrap();
        assert!(line.starts_with("Drawer 1, lock: tried"), "{title}: {line}");
    }
    let lacks = borne("The lock of drawer 2 works.", marks()).unwrap_err();
    assert!(!lacks.contains("F1"), "{lacks}");
}

#[test]
fn what_says_the_opposite_is_named() {
    let open = || vec![mark("worm_old", "back").level(2)];
    for (title, says) in [
        ("chest, no woodworm", "F1"),
        ("chest, free of faults", "F1"),
        ("chest, not a mark on it", "F1"),
        ("sound chest", "F1"),
        ("chest, none anywhere", "F1"),
    ] {
        let lacks = borne(title, open()).unwrap_err();
        assert!(
            lacks.starts_with(says) && lacks.ends_with("says the opposite"),
            "{title}: {lacks}"
        );
    }
    // Of another fault the record says nothing.
    let lacks = borne("chest, no scratch", open()).unwrap_err();
    assert!(!lacks.contains("opposite"), "{lacks}");
    for title in [
        "chest, never repaired",
        "chest, nothing was repaired",
        "chest, no part was replaced",
        "chest, no repairs were ever made to it",
    ] {
        let told = chest(title, open()).repair("2026-04-01", &[1]).assess();
        let [claim] = told.claims.as_slice() else {
            panic!("{title}: {:?}", told.claims);
        };
        assert!(
            claim.lacks.starts_with("repair 1 of 1 April 2026"),
            "{title}: {}",
            claim.lacks
        );
        assert!(!claim.write.contains("found none"), "{}", claim.write);
    }
}

/// What a mark says, its own words may say: how a fault is measured, and which wood a part looks like.
#[test]
fn a_mark_bears_the_words_beside_it() {
    let lacks = |fault: Mark| unproven(&chest("chest", vec![fault]).assess()).len();
    let joint = |note: &str| mark("loose_joint", "frame").level(1).note(note);
    assert_eq!(lacks(joint("no gap, does not turn by hand")), 0);
    assert_eq!(lacks(joint("no play in the other end")), 0);
    assert_eq!(lacks(joint("no gap anywhere")), 1);
    assert_eq!(lacks(joint("no gap in the back")), 1, "another part");
    assert_eq!(lacks(joint("no split")), 1, "another fault");
    let holes = |note: &str| mark("worm_old", "back").level(1).note(note);
    assert_eq!(lacks(holes("three holes, no dust")), 0);
    assert_eq!(lacks(holes("no worm")), 1);
    let inside = |note: &str| mark("secondary_softwood", "side-left").note(note);
    assert_eq!(lacks(inside("pale softwood")), 0);
    assert_eq!(lacks(inside("pine")), 0);
    assert_eq!(lacks(inside("oak")), 1);
    let by_eye = |note: &str| mark("looks_like_wood", "top").note(note);
    assert_eq!(lacks(by_eye("ash, by its grain")), 0);
    assert!(borne("chest with ash top", vec![by_eye("ash, by its grain")]).is_ok());
    assert!(borne("chest with ash top", vec![by_eye("not ash")]).is_err());
}

/// Every wood of the trade book, and those beside it, want evidence in a title.
#[test]
fn every_wood_in_a_title_wants_evidence() {
    for title in [
        "Cuban mahogany chest",
        "African mahogany chest",
        "kingwood chest",
        "yew chest",
        "pear wood chest",
        "French polished chest",
    ] {
        assert!(borne(title, vec![]).is_err(), "{title}");
    }
    let book = crate::trade::book();
    for wood in &book.woods {
        let found = book.claims.in_text(&wood.label);
        assert!(
            found.iter().any(|it| it.claim.id == "wood"),
            "{}",
            wood.label
        );
    }
}
