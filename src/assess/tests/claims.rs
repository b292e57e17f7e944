//! Words of the user that claim something: with their evidence they stand, without it the report is not final.

use crate::assess::assessment::Assessment;
use crate::assess::claims::check;
use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::material::clue::Made;
use crate::assess::part_list::PartList;
use crate::assess::statements::reading::Statements;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::timeline::Timeline;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::trade;

/// A chest with a title, photographed in March; one photo with these marks.
fn chest(title: &str, marks: Vec<Mark>) -> Build {
    let mut build =
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("front_whole", &[], marks);
    title.clone_into(&mut build.case.piece.title);
    build
}

fn unproven(told: &Assessment) -> Vec<&str> {
    let gaps = told.gaps.iter();
    let gaps = gaps.filter(|it| it.code == "claim_without_evidence");
    gaps.map(|it| it.message.as_str()).collect()
}

/// Whether the only claim of the title is borne by the record; with what is said of it.
fn borne(title: &str, marks: Vec<Mark>) -> Result<String, String> {
    let told = chest(title, marks).assess();
    let [claim] = told.claims.as_slice() else {
        panic!("{title}: {:?}", told.claims);
    };
    assert_eq!(unproven(&told).len(), usize::from(claim.rests_on.is_none()));
    claim.rests_on.clone().ok_or_else(|| claim.lacks.clone())
}

fn solid(part: &str) -> Vec<Mark> {
    vec![
        mark("end_grain_runs", part),
        mark("figure_both_sides", part),
    ]
}

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
fn solid_needs_the_part_it_names_or_every_part() {
    assert!(
        borne("chest with solid oak top", solid("top"))
            .is_ok_and(|it| it.starts_with("Top: Solid wood"))
    );
    assert!(borne("chest, the top is solid", solid("top")).is_ok());
    let lacks = borne("chest with solid top and sides", solid("top")).unwrap_err();
    assert!(lacks.contains("Left side; Right side"), "{lacks}");
    let lacks = borne("solid oak chest of drawers", solid("top")).unwrap_err();
    assert!(lacks.contains("and ") && lacks.contains(" more"), "{lacks}");
    assert!(borne("chest of drawers of solid oak", solid("drawer-1")).is_err());
    let bare = Build::chest().assess();
    let wooden = bare
        .parts
        .iter()
        .filter(|it| !it.part.as_str().contains("pull"));
    let all = wooden.flat_map(|it| solid(it.part.as_str())).collect();
    assert!(borne("solid oak chest", all).is_ok());
    let veneered = vec![mark("layer_line", "top")];
    assert!(borne("chest with solid top", veneered).is_err());
    assert!(borne("chest with solid brass pulls", solid("top")).is_err());
}

#[test]
fn original_needs_old_surface_and_neither_later_coat_nor_repair() {
    let kept = || vec![mark("patina_kept", "top")];
    assert!(borne("chest with its original top", kept()).is_ok_and(|it| it.contains("picture 1")));
    assert!(borne("chest with its original top", vec![]).is_err());
    assert!(
        borne("chest with original top and sides", kept()).is_err(),
        "the sides have none of their own"
    );
    let mut later = kept();
    later.push(mark("refin_drips_hidden", "top"));
    assert!(
        borne("unrestored chest", later)
            .unwrap_err()
            .contains("speaks against")
    );
    let mut repaired = kept();
    repaired.push(mark("gouge", "top").level(2));
    let build = chest("unrestored chest", repaired).repair("2026-04-10", &[1]);
    let gaps = build.assess();
    assert!(
        unproven(&gaps)[0].contains("repair 1 changed: Top"),
        "{:?}",
        unproven(&gaps)
    );
    // Of several repairs the one that took the coat off contradicts a word on the coat.
    let mut stripped = chest("chest in its original finish", kept())
        .repair("2026-04-10", &[])
        .repair("2026-04-12", &[]);
    stripped.case.repairs[0].parts = vec!["top".parse().unwrap()];
    stripped.case.repairs[1].method = "strip".to_owned();
    let gaps = stripped.assess();
    assert!(
        unproven(&gaps)[0]
            .contains("repair 2 changed: the piece as a whole (strip the old finish)"),
        "{:?}",
        unproven(&gaps)
    );
    // Work that was told of no finding changes what it was done on.
    for (parts, changed) in [
        (&["top"][..], "repair 1 changed: Top"),
        (&[], "repair 1 changed: the piece as a whole"),
    ] {
        let mut build = chest("unrestored chest", kept()).repair("2026-04-10", &[]);
        build.case.repairs[0].parts = parts.iter().map(|it| it.parse().unwrap()).collect();
        let gaps = build.assess();
        assert!(
            unproven(&gaps)[0].contains(changed),
            "{:?}",
            unproven(&gaps)
        );
    }
}

#[test]
fn working_needs_that_what_moves_was_tried() {
    let lock = || vec![mark("tried_works", "drawer-1/lock")];
    assert!(
        borne("chest with working lock", lock())
            .is_ok_and(|it| it.contains("14 March 2026 (picture 1)"))
    );
    assert!(
        borne("chest with working lock", vec![]).is_err(),
        "no lock is on record"
    );
    let lacks = borne("chest in working order", lock()).unwrap_err();
    assert!(lacks.contains("Drawer 1"), "{lacks}");
    let mut stuck = lock();
    stuck.push(mark("lock_fault", "drawer-1/lock").level(3));
    assert!(
        borne("chest with working lock", stuck)
            .unwrap_err()
            .contains("F1")
    );
}

#[test]
fn grades_and_ready_need_that_everything_was_looked_at() {
    let bare = Build::chest().assess();
    let all: Vec<Mark> = bare
        .parts
        .iter()
        .filter(|it| it.required)
        .map(|it| mark("sound", it.part.as_str()))
        .collect();
    assert!(borne("excellent chest", all.clone()).is_ok());
    let untried = borne("chest, ready to use", all.clone()).unwrap_err();
    assert!(untried.contains("was tried: Drawer 1"), "{untried}");
    let drawers = (1..=5).map(|n| mark("tried_works", &format!("drawer-{n}")));
    let tried: Vec<Mark> = all.iter().cloned().chain(drawers).collect();
    assert!(borne("chest, ready to use", tried).is_ok());
    assert!(
        borne("excellent chest", vec![])
            .unwrap_err()
            .contains("nobody looked at")
    );
    let mut worn = all.clone();
    worn.push(mark("scratch_finish", "top").level(2));
    assert!(
        borne("excellent chest", worn.clone())
            .unwrap_err()
            .contains("F1")
    );
    assert!(borne("chest in very good condition", worn).is_ok());
    let mut unknown = all;
    unknown.push(mark("scratch_finish", "top"));
    assert!(
        borne("chest in good condition", unknown).is_err(),
        "unknown is never better"
    );
}

#[test]
fn hand_work_needs_its_marks_and_none_of_a_factory() {
    let hand = || vec![mark("dovetail_hand", "drawer-1")];
    assert!(borne("chest with handmade drawer 1", hand()).is_ok());
    let lacks = borne("handmade chest", hand()).unwrap_err();
    assert!(lacks.contains("name the part"), "{lacks}");
    let both = vec![
        mark("dovetail_hand", "drawer-1"),
        mark("dovetail_machine", "drawer-2"),
    ];
    assert!(borne("handmade chest", both).is_err());
}

/// The day of the newest shoot stands in for today: 2026.
#[test]
fn a_time_is_claimed_only_when_the_whole_range_bears_it() {
    let borne = |title: &str, from: Option<i16>, to: Option<i16>| {
        let case = chest(title, vec![]).case;
        let (book, time) = (trade::book(), Timeline::of(&case));
        let list = PartList::of(&case, book);
        let statements = Statements::of(&case, book, &time, &list);
        let made = Made {
            from,
            to,
            text: "In our opinion ...".to_owned(),
            clues: vec![],
        };
        let told = check::claims(&ClaimContext {
            case: &case,
            book,
            time: &time,
            list: &list,
            statements: &statements,
            parts: &[],
            findings: &[],
            observations: &[],
            made: &made,
        });
        told[0].rests_on.is_some()
    };
    assert!(borne("antique chest", None, Some(1925)));
    assert!(
        !borne("antique chest", None, Some(1926)),
        "100 years to the year may still be less"
    );
    assert!(!borne("antique chest", Some(1850), None));
    assert!(borne("victorian chest", Some(1840), Some(1900)));
    assert!(!borne("victorian chest", None, Some(1900)));
    assert!(!borne("victorian chest", Some(1840), Some(1910)));
}

#[test]
fn some_words_no_record_bears() {
    for title in [
        "restored chest",
        "rare chest",
        "genuine oak chest",
        "chest, never painted",
        "perfect chest",
        "chest, no faults",
    ] {
        assert!(borne(title, solid("top")).is_err(), "{title}");
    }
    assert!(borne("antique chest", vec![]).is_err());
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
    let places: Vec<&str> = told.claims.iter().map(|it| it.place.as_str()).collect();
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

/// A lock cannot be seen to work: it is tried, and said of the lock itself.
#[test]
fn what_works_was_tried_itself() {
    let lock = |tag: &str| mark(tag, "drawer-1/lock");
    assert!(borne("The locks work", vec![lock("tried_works")]).is_ok());
    assert!(
        borne("The locks work", vec![lock("sound")]).is_err(),
        "nobody tried it"
    );
    assert!(borne("The locks work", vec![mark("sound", "drawer-1")]).is_err());
    assert!(borne("The locks work", vec![]).is_err());
    let failed = vec![lock("tried_works"), lock("tried_works").says("gone")];
    assert!(borne("The locks work", failed).is_err());
    assert!(
        borne("Drawers run smoothly", vec![mark("sound", "drawer-1")]).is_err(),
        "there are five"
    );
    let all: Vec<Mark> = (1..=5)
        .map(|n| mark("tried_works", &format!("drawer-{n}")))
        .collect();
    assert!(borne("Drawers run smoothly", all.clone()).is_ok());
    let both = borne("Both drawers run well", all.clone()).unwrap_err();
    assert_eq!(both, "`both`: 5 on record");
    let locks = borne("The key turns in both locks.", all.clone()).unwrap_err();
    assert_eq!(locks, "`locks`: none is on record");
    let without = all.into_iter().skip(1).chain([mark("absent", "drawer-1")]);
    let lacks = borne("Drawers run smoothly", without.collect()).unwrap_err();
    assert_eq!(lacks, "Drawer 1 is absent");
}

#[test]
fn a_wood_all_through_and_a_date_need_what_bears_them() {
    assert!(borne("Massive oak", vec![]).is_err());
    assert!(borne("All oak", solid("top")).is_err());
    assert!(borne("chest with all oak top", solid("top")).is_ok());
    for title in ["Made about 1880", "c. 1890", "19th century chest"] {
        assert!(borne(title, vec![]).is_err(), "{title}");
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
fn what_is_whole_or_there_or_gone_was_looked_at() {
    assert!(borne("The top is whole", vec![mark("sound", "top")]).is_ok());
    assert!(borne("The top is whole", vec![]).is_err());
    let split = || mark("split_through", "top").level(3);
    let lacks = borne("The top is whole", vec![mark("sound", "top"), split()]).unwrap_err();
    assert!(lacks.contains("F1"), "{lacks}");
    let line = borne("chest, key included", vec![mark("sound", "key")]);
    assert_eq!(
        line.unwrap(),
        "Key: seen and found sound on 14 March 2026 (picture 1)."
    );
    assert!(borne("chest, key included", vec![mark("absent", "key")]).is_err());
    assert!(borne("chest, lockable", vec![mark("absent", "key")]).is_err());
    let ring = || mark("white_mark", "top").level(2);
    assert!(
        borne("Rings removed", vec![])
            .unwrap_err()
            .contains("rings")
    );
    assert!(
        borne("Rings removed", vec![ring()])
            .unwrap_err()
            .contains("F1")
    );
    let seen = |state: &str| {
        let build = chest("Rings removed", vec![ring()])
            .shoot(Stage::Sale, "2026-05-02")
            .photo("", &[], vec![of(1).says(state)]);
        unproven(&build.assess()).len()
    };
    assert_eq!((seen("present"), seen("gone")), (1, 0));
}

#[test]
fn the_name_of_a_wood_rests_on_its_look() {
    let looks = |wood: &str| vec![mark("looks_like_wood", "top").which(wood)];
    let line = chest("oak chest", looks("white oak")).assess();
    let line = line.claims[0].rests_on.clone().unwrap();
    assert!(
        line.starts_with("By eye, an opinion: Top looks like white oak"),
        "{line}"
    );
    assert!(borne("oak chest", vec![]).is_err());
    assert_eq!(
        unproven(&chest("oak chest", looks("teak")).assess()).len(),
        1
    );
    let mut filled = chest("chest", vec![mark("gouge", "top").level(2)]).repair("2026-04-10", &[1]);
    filled.case.repairs[0].new_material = Some("oak, 2 cm2".to_owned());
    assert_eq!(
        filled.assess().claims,
        [],
        "new material is no claim on the piece"
    );
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

#[test]
fn that_all_was_examined_needs_every_part_on_the_list() {
    let lacks = borne("chest, every part was examined", vec![mark("sound", "top")]);
    assert!(
        lacks
            .as_ref()
            .is_err_and(|it| it.starts_with("nobody looked at")),
        "{lacks:?}"
    );
}
