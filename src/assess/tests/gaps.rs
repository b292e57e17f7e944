//! What keeps a final report from being printed, and that an honest silence never does.

use crate::assess::assessment::Assessment;
use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::gaps::lacks::Gap;
use crate::assess::gaps::missing;
use crate::assess::material::clue::Made;
use crate::assess::part_list::PartList;
use crate::assess::statements::reading::Statements;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::timeline::Timeline;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::trade;

fn codes(told: &Assessment) -> Vec<&str> {
    told.gaps.iter().map(|it| it.code.as_str()).collect()
}

fn has(told: &Assessment, code: &str) -> bool {
    codes(told).contains(&code)
}

fn chest(marks: Vec<Mark>) -> Assessment {
    Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("front_whole", &["frame"], marks)
        .assess()
}

/// A mark of a fault, on a part that its photo does not name.
#[test]
fn a_fault_needs_its_place_in_a_picture_or_words_for_what_none_can_show() {
    let gouge = || mark("gouge", "top").level(2);
    let code = "fault_without_picture";
    let told = chest(vec![gouge()]);
    let gap = told.gaps.iter().find(|it| it.code == code).unwrap();
    assert!(
        gap.message.contains("F1") && gap.remedy.contains("`\"top\"` in `parts`"),
        "{gap:?}"
    );
    assert!(!has(
        &chest(vec![gouge().within([1.0, 1.0, 5.0, 5.0])]),
        code
    ));
    assert!(!has(&chest(vec![gouge().note("felt with the hand")]), code));
    assert!(!has(&chest(vec![gouge().size("3 mm")]), code));
    assert!(
        !has(&chest(vec![mark("gouge", "frame").level(2)]), code),
        "the photo shows the frame"
    );
    let smell = mark("odour_musty", "drawer-1")
        .level(2)
        .note("smelt after a day shut");
    assert!(!has(&chest(vec![smell]), code));
    let unseen = gouge().says("not_visible");
    assert!(!has(&chest(vec![gouge().says("gone")]), code));
    // Not to be told from the picture: said so, and listed as not examined.
    let told = chest(vec![
        gouge().within([1.0, 1.0, 5.0, 5.0]).says("not_visible"),
        unseen,
    ]);
    assert!(!has(&told, code), "{:?}", told.gaps);
}

#[test]
fn an_identity_that_was_looked_for_and_not_found_is_no_gap() {
    let code = "no_identity";
    assert!(has(&chest(vec![]), code));
    for said in ["gone", "present", "not_visible"] {
        assert!(
            !has(&chest(vec![mark("label_text", "back").says(said)]), code),
            "{said}"
        );
    }
    let looked = Build::chest().shoot(Stage::Purchase, "2026-03-14");
    assert!(
        !has(
            &looked.photo("label_mark", &["back"], vec![]).assess(),
            code
        ),
        "the places where one looked"
    );
}

/// What the program says by itself is held against the same rule.
#[test]
fn statements_that_are_never_missing_are_asked_for_all_the_same() {
    let case = Build::chest().case;
    let (book, time, made) = (trade::book(), Timeline::of(&case), Made::default());
    let list = PartList::of(&case, book);
    let statements = Statements::of(&case, book, &time, &list);
    let mut part = Build::chest().part("top");
    part.material.settled = Some("solid".to_owned());
    let parts = [part];
    let ground = ClaimContext {
        case: &case,
        book,
        time: &time,
        list: &list,
        statements: &statements,
        parts: &parts,
        findings: &[],
        observations: &[],
        made: &made,
    };
    let nothing = missing::Told {
        not_examined: &[],
        cautions: &[],
        claims: &[],
    };
    let told: Vec<Gap> = missing::gaps(&ground, &nothing);
    for code in [
        "material_without_picture",
        "nothing_unexamined",
        "no_tip_over_line",
    ] {
        assert!(told.iter().any(|it| it.code == code), "{code}");
    }
    let whole = Build::chest().assess();
    for code in [
        "material_without_picture",
        "nothing_unexamined",
        "no_tip_over_line",
    ] {
        assert!(!has(&whole, code), "{code}");
    }
}

/// The ways to own up to what is missing, all at once: nothing of it blocks.
#[test]
fn honesty_blocks_nothing() {
    let bare = Build::chest().assess();
    let required: Vec<_> = bare.parts.iter().filter(|it| it.required).collect();
    let said = ["absent", "not_examined", "sound"];
    let marks = required.iter().zip(said.iter().cycle());
    let mut marks: Vec<Mark> = marks
        .map(|(part, said)| mark(said, part.part.as_str()))
        .collect();
    marks.push(mark("label_text", "back").says("gone"));
    marks.push(mark("wobble", "side-left").level(1).note("not measured"));
    let mut build =
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("front_whole", &[], marks);
    build.case.piece.about =
        Some("Not solid; it appears to be original. No cracks seen on 14 March.".to_owned());
    let told = build.assess();
    assert_eq!(codes(&told), ["no_size", "no_examiner"]);
}
