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
        conflicts: &[],
        sizes: &[],
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

/// Why a test was not made; `None` when it is not said that it was not.
fn untested(told: &Assessment, what: &str) -> Option<String> {
    let line = told.not_examined.iter().find(|it| it.what == what);
    line.map(|it| it.why.clone())
}

#[test]
fn a_statement_that_it_was_not_tested_is_no_test() {
    let lead = "Lead in paint or finish";
    // Where a test found some, no other coat is free of it.
    for (level, tested) in [(1, true), (2, false), (3, false), (4, false)] {
        let told = chest(vec![mark("lead_paint", "top").level(level)]);
        assert_eq!(untested(&told, lead).is_none(), tested, "level {level}");
    }
    let bare = chest(vec![mark("lead_paint", "top")]);
    assert!(untested(&bare, lead).is_some());
    // A test speaks for the part that it names, whatever it found; other painted parts stay untested.
    let others = ", nor the coat on all other parts";
    for (level, found, others) in [
        (1, "top: no lead found (F1)", ""),
        (4, "top: lead found (F1)", others),
    ] {
        let top = mark("lead_paint", "top").level(level);
        let told = chest(vec![
            top,
            mark("fin_paint", "top"),
            mark("fin_paint", "side-left"),
        ]);
        let why = untested(&told, lead);
        let says = format!("Tested: {found}. Not tested: the paint on left side{others}.");
        assert_eq!(why.as_deref(), Some(says.as_str()));
    }
    let finish = "Kind of the finish";
    // A test of the coat speaks for the part on which it was made.
    let why = |marks: Vec<Mark>| untested(&chest(marks), finish).unwrap_or_default();
    let on = |part: &str| mark("fin_alcohol", part);
    assert_eq!(
        why(vec![on("top")]),
        "Tested: top. Not tested: the coat on all other parts."
    );
    let faces = chest(vec![])
        .parts
        .into_iter()
        .filter(|it| !it.part.is_inner());
    assert_eq!(why(faces.map(|it| on(it.part.as_str())).collect()), "");
    for (cue, says) in [
        (mark("fin_paint", "top"), "lead first"),
        (
            mark("fin_neither", "top").says("not_visible"),
            "drop of solvent",
        ),
    ] {
        let told = why(vec![cue.clone()]);
        assert!(
            told.starts_with("Not tested") && told.contains(says),
            "{cue:?}: {told}"
        );
    }
    let tipping = "Tipping forward";
    let tried = mark("tip_risk", "frame").level(2);
    assert!(untested(&chest(vec![tried]), tipping).is_none());
    let unseen = mark("tip_risk", "frame").level(2).says("not_visible");
    assert!(untested(&chest(vec![unseen]), tipping).is_some());
}

#[test]
fn joints_that_a_repair_opened_are_named() {
    let build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "",
        &[],
        vec![mark("loose_joint", "side-left").level(2)],
    );
    let joints = |build: &Build| untested(&build.assess(), "Inside of the joints").unwrap();
    assert!(joints(&build).starts_with("Joints were not opened"));
    // What was opened is counted apart from what was not tested at all.
    let counted = |build: &Build| {
        let lacks = build.assess().counts.lacks;
        (lacks.tests, lacks.tests_in_part)
    };
    let (none, some) = counted(&build);
    let mut build = build.repair("2026-04-10", &[1]);
    "reglue_joint".clone_into(&mut build.case.repairs[0].method);
    assert_eq!(
        joints(&build),
        "Opened in the work (left side: repair 1 of 10 April 2026). No other joint was opened; what holds those was judged from outside."
    );
    assert_eq!((some, counted(&build)), (0, (none - 1, 1)));
    let lacks = build.assess().counts.lacks.text().to_string();
    assert!(lacks.contains("1 partly tested"), "{lacks}");
}

#[test]
fn a_seat_that_is_a_board_has_no_filling() {
    let chair = |marks: Vec<Mark>| {
        let mut build = Build::chest();
        "chair".clone_into(&mut build.case.piece.form);
        build
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &["seat"], marks)
            .assess()
    };
    let filling = "Filling of the seat";
    assert!(untested(&chair(vec![]), filling).is_some());
    assert!(untested(&chair(vec![mark("layer_line", "seat")]), filling).is_none());
    assert!(untested(&chair(vec![mark("absent", "seat")]), filling).is_none());
    // Work that covered it anew opened it.
    let mut build = Build::chest();
    "chair".clone_into(&mut build.case.piece.form);
    let torn = vec![mark("upholstery_fault", "seat").level(3)];
    let mut build = build
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &["seat"], torn);
    build = build.repair("2026-04-10", &[1]);
    "upholster".clone_into(&mut build.case.repairs[0].method);
    assert_eq!(
        untested(&build.assess(), filling).unwrap(),
        "Opened in the work (seat: repair 1 of 10 April 2026); how what is in it burns was not tested."
    );
}

#[test]
fn a_part_that_was_seen_is_not_silent() {
    let told = chest(vec![mark("tried_works", "drawer-1").note("slides")]);
    let drawer = told.parts.iter().find(|it| it.part.as_str() == "drawer-1");
    assert!(drawer.is_some_and(|it| it.is_unjudged() && !it.is_silent()));
    assert_eq!(
        (told.counts.parts.unjudged, told.counts.lacks.unjudged_parts),
        (1, 1)
    );
    let why = untested(&told, "Drawer 1").unwrap();
    assert!(why.starts_with("No statement on faults"), "{why}");
    let gap = told
        .gaps
        .iter()
        .filter(|it| it.code == "part_without_statement");
    let gap: Vec<_> = gap.collect();
    assert!(!gap[0].message.contains("Drawer 1") && gap[1].message.ends_with("of: Drawer 1"));
}

/// Work on a part that is not there, and was not by then: of one that is there since, or was lost later, nothing is said.
#[test]
fn a_repair_of_an_absent_part_is_a_gap() {
    let of = |before: &str, after: &str| {
        let mut build = Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &[], vec![mark(before, "drawer-2")])
            .shoot(Stage::Sale, "2026-05-02")
            .photo("", &[], vec![mark(after, "drawer-2")])
            .repair("2026-04-10", &[]);
        build.case.repairs[0].parts = vec!["drawer-2/bottom".parse().unwrap()];
        let gaps = build.assess().gaps.into_iter();
        gaps.filter(|it| it.code == "repair_on_absent_part").count()
    };
    assert_eq!(of("absent", "absent"), 1);
    assert_eq!(of("absent", "sound"), 0);
    assert_eq!(of("sound", "absent"), 0);
}

/// New material lies on a part that was there afterwards: one that is said to be absent later, and was not seen in between, contradicts it.
#[test]
fn a_part_that_is_absent_after_new_material_was_put_on_it_is_a_gap() {
    let gap = |between: &str, later: &str, new: Option<&str>, day: &str| {
        let mut build = Build::chest()
            .shoot(Stage::Purchase, "2026-01-20")
            .photo("", &[], vec![mark(between, "back")])
            .shoot(Stage::Work, "2026-02-04")
            .photo("", &[], vec![mark("absent", "back")])
            .shoot(Stage::Sale, "2026-05-02")
            .photo("", &[], vec![mark(later, "back")])
            .repair(day, &[]);
        build.case.repairs[0].parts = vec!["back".parse().unwrap()];
        build.case.repairs[0].new_material = new.map(str::to_owned);
        let gaps = build.assess().gaps.into_iter();
        let mut gaps = gaps.filter(|it| it.code == "part_absent_after_repair");
        gaps.next().map(|it| it.message)
    };
    let new = Some("a back of plywood");
    let (early, late) = ("2026-01-15", "2026-03-01");
    assert_eq!(
        gap("not_examined", "sound", new, early).unwrap(),
        "repair 1 of 15 January 2026 put new material on Back panel, which is said to be absent on 4 February 2026 (picture 2)"
    );
    assert_eq!(gap("not_examined", "sound", new, late), None);
    assert_eq!(gap("not_examined", "sound", None, early), None);
    // It was there after the repair, and was lost then.
    assert_eq!(gap("sound", "absent", new, early), None);
    assert_eq!(gap("gouge", "sound", new, early), None);
}

#[test]
fn a_repair_that_is_older_than_the_purchase_is_a_gap() {
    let told = |bought_on: Option<&str>| {
        let mut build = Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &["top"], vec![mark("gouge", "top")])
            .repair("2026-04-10", &[1]);
        build.case.piece.bought_on = bought_on.map(|it| it.parse().unwrap());
        let gaps = build.assess().gaps.into_iter();
        let mut gaps = gaps.filter(|it| it.code == "repair_before_purchase");
        gaps.next().map(|it| it.message)
    };
    assert_eq!(told(None), None);
    assert_eq!(told(Some("2026-04-10")), None);
    let wanted = "repair 1 is dated 10 April 2026, and the piece was bought after that";
    assert_eq!(told(Some("2026-04-11")).unwrap(), wanted);
}
