//! What each claim rests on.

use crate::assess::claims::check;
use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::material::clue::Made;
use crate::assess::part_list::PartList;
use crate::assess::statements::reading::Statements;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::claims::borne;
use crate::assess::tests::claims::chest;
use crate::assess::tests::claims::solid;
use crate::assess::tests::claims::unproven;
use crate::assess::timeline::Timeline;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::trade;

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
            text: Saying::English("In our opinion ...".to_owned()),
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
fn that_all_was_examined_needs_every_part_on_the_list() {
    let lacks = borne("chest, every part was examined", vec![mark("sound", "top")]);
    assert!(
        lacks
            .as_ref()
            .is_err_and(|it| it.starts_with("nobody looked at")),
        "{lacks:?}"
    );
}
