//! Gaps, cautions, missing views, and what nobody examined.

use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::complaint::Complaint;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::piece::Size;

fn codes(told: &Assessment) -> Vec<&str> {
    told.gaps.iter().map(|it| it.code.as_str()).collect()
}

/// A record in which everything is said.
fn complete() -> Build {
    let bare = Build::chest().assess();
    let required = bare.parts.iter().filter(|it| it.required);
    let sound = required.map(|it| mark("sound", it.part.as_str())).collect();
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("front_whole", &["top"], sound)
        .photo("identity_mark", &[], vec![]);
    build.case.piece.size = Some(Size {
        height_mm: 900.0,
        width_mm: 1050.0,
        depth_mm: 480.0,
    });
    build.case.settings.examined_by = "the owner".to_owned();
    build
}

#[test]
fn a_complete_record_has_no_gap() {
    assert_eq!(complete().assess().gaps, []);
}

#[test]
fn every_gap_is_told_and_goes_with_its_cause() {
    let without = |change: fn(&mut Build)| {
        let mut build = complete();
        change(&mut build);
        let told = build.assess();
        assert!(
            told.gaps
                .iter()
                .all(|it| !it.message.is_empty() && !it.remedy.is_empty())
        );
        told.gaps
            .into_iter()
            .map(|it| it.code)
            .collect::<Vec<String>>()
    };
    assert_eq!(without(|it| it.case.piece.size = None), ["no_size"]);
    assert_eq!(
        without(|it| it.case.settings.examined_by.clear()),
        ["no_examiner"]
    );
    let no_front = without(|it| it.case.photos[0].sidecar.view = Some("front_open".to_owned()));
    assert_eq!(no_front, ["no_front"]);
    let bare = without(|it| it.case.photos[1].sidecar.view = None);
    assert_eq!(bare, ["no_identity", "photo_without_view"]);
    let silent = without(|it| {
        it.case.photos[0].sidecar.marks.pop();
    });
    assert_eq!(silent, ["part_without_statement"]);
    let unread = without(|it| {
        it.case.complaints.push(Complaint {
            file: "P1.jpg.toml".to_owned(),
            line: 3,
            column: 1,
            message: "`vew` is not a key".to_owned(),
            help: Some("did you mean `view`?".to_owned()),
            drawn: String::new(),
        });
    });
    assert_eq!(unread, ["sidecar_not_in_force"]);
}

/// A wobble from level 2 on needs its number; without it the report says so.
#[test]
fn a_wobble_without_a_number_is_a_gap() {
    let with = |mark| {
        complete()
            .photo("action", &["side-left"], vec![mark])
            .assess()
    };
    let wobble = || mark("wobble", "side-left").level(2);
    assert_eq!(codes(&with(wobble())), ["wobble_without_number"]);
    assert_eq!(codes(&with(wobble().size("8 mm"))), [""; 0]);
    assert_eq!(codes(&with(wobble().level(1))), [""; 0]);
}

#[test]
fn a_repair_without_a_picture_is_a_gap_until_one_is_there() {
    let fault = vec![mark("gouge", "top").level(2)];
    let build = complete()
        .photo("defect_close", &["top"], fault)
        .repair("2026-04-10", &[1]);
    assert_eq!(codes(&build.assess()), ["repair_without_picture"]);
    let seen = build.shoot(Stage::Sale, "2026-05-02");
    let seen = seen.photo("defect_close", &["top"], vec![of(1).says("repaired")]);
    assert_eq!(codes(&seen.assess()), [""; 0]);
}

#[test]
fn missing_views_are_asked_for_by_stage() {
    let told = complete().shoot(Stage::Sale, "2026-05-02").assess();
    let missing = |stage: Stage, view: &str| {
        told.missing_views
            .iter()
            .any(|it| it.stage == stage && it.view == view)
    };
    assert!(missing(Stage::Purchase, "back_whole") && !missing(Stage::Purchase, "front_whole"));
    assert!(
        missing(Stage::Sale, "front_whole"),
        "the purchase's picture does not count"
    );
    assert!(
        !missing(Stage::Handover, "handover"),
        "there was no handover yet"
    );
    assert!(
        !missing(Stage::Purchase, "glass_mirror_front"),
        "it has no glass"
    );
}

#[test]
fn what_nobody_tested_is_said() {
    let told = complete().assess();
    let has = |told: &Assessment, what: &str| told.not_examined.iter().any(|it| it.what == what);
    for what in [
        "Lead in paint or finish",
        "Species of the wood",
        "Inside of the joints",
        "Tipping forward",
        "Views not taken at purchase",
    ] {
        assert!(has(&told, what), "{what}");
    }
    let tested = complete()
        .photo("action", &[], vec![mark("tip_risk", "side-left").level(1)])
        .assess();
    assert!(!has(&tested, "Tipping forward"));
    let mut empty = Build::chest();
    empty.case.piece.form = "no such form".to_owned();
    assert!(
        !empty.assess().not_examined.is_empty(),
        "never empty, whatever the form"
    );
}

#[test]
fn cautions_follow_form_parts_and_marks() {
    let of = |told: &Assessment, hazard: &str| told.cautions.iter().any(|it| it.hazard == hazard);
    let chest = complete().assess();
    assert!(of(&chest, "tip_over") && of(&chest, "lead"));
    assert!(
        !of(&chest, "insects") && !of(&chest, "dust"),
        "no worm, and nothing for the buyer"
    );
    assert!(!of(&chest, "glass"));
    let wormy = complete()
        .photo("", &[], vec![mark("worm_active", "back")])
        .assess();
    assert!(of(&wormy, "insects"));
    let mut chair = Build::chest();
    chair.case.piece.form = "chair".to_owned();
    assert!(!of(&chair.assess(), "tip_over"));
    assert!(chest.cautions.iter().all(|it| !it.lines.is_empty()));
}

/// A fault on which somebody may come to harm is named with the safety lines until a picture shows it repaired.
#[test]
fn a_failing_part_is_not_to_be_used_until_it_was_repaired_and_seen() {
    let with = |fault: Mark| {
        let mut build =
            Build::chest()
                .shoot(Stage::Purchase, "2026-03-14")
                .photo("", &[], vec![fault]);
        build.case.piece.form = "chair".to_owned();
        build
    };
    let glued = |build: Build| {
        let mut build = build.repair("2026-04-10", &[1]);
        build.case.repairs[0].method = "break_glue".to_owned();
        build
    };
    let lines = |build: Build| {
        let told = build.assess();
        let found = told.cautions.into_iter().find(|it| it.hazard == "failing");
        found.map(|it| it.lines)
    };
    let broken = |level| mark("broken_member", "back-post-left").level(level);
    let said = lines(with(broken(4))).unwrap();
    assert_eq!(
        said[0],
        "F1 broken leg, rail or post, Back post, left: level 4, seen once, 14 March 2026."
    );
    assert!(said[1].starts_with("Do not sit on it"), "{said:?}");
    assert!(said.last().unwrap().contains("licensed"), "{said:?}");
    let unseen = lines(glued(with(broken(4)))).unwrap();
    assert!(
        unseen[0].ends_with("repaired, not yet tried."),
        "{unseen:?}"
    );
    let mended = of(1).says("repaired");
    let seen = glued(with(broken(4)))
        .shoot(Stage::Sale, "2026-04-12")
        .photo("", &[], vec![mended]);
    assert_eq!(lines(seen), None);
    assert_eq!(lines(with(broken(2))), None, "no danger at level 2");
    assert_eq!(
        lines(with(mark("gouge", "back-post-left").level(4))),
        None,
        "it touches the look alone"
    );
    let mut lidded = with(mark("hinge_fault", "lid/hinge-left").level(3));
    lidded.case.piece.form = "trunk_chest".to_owned();
    assert!(lines(lidded).is_some());
    assert_eq!(
        lines(with(mark("flaking", "leg-front-left").level(4))),
        None,
        "paint has its own caution"
    );
}

/// Parts that no form lists still appear, so that no finding is homeless.
#[test]
fn a_form_nobody_knows_still_gives_its_findings() {
    let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "",
        &["shelf-9/edge"],
        vec![mark("gouge", "shelf-9")],
    );
    build.case.piece.form = "no such form".to_owned();
    let told = build.assess();
    let labels: Vec<&str> = told.parts.iter().map(|it| it.label.as_str()).collect();
    assert_eq!(labels, ["Shelf 9", "Shelf 9, edge"]);
    assert_eq!(told.findings[0].part_label, "Shelf 9");
}

/// What hangs on a wall falls off it; with a support, or a drawer below, it stands. Common practice, no source.
#[test]
fn a_mirror_is_told_as_what_hangs_unless_it_stands() {
    let with = |fault: Mark, kinds: &[&str]| {
        let shoot = Build::chest().shoot(Stage::Purchase, "2026-03-14");
        let mut build = shoot.photo("part_close", &[], vec![fault]);
        build.case.piece.form = "mirror".to_owned();
        build.case.piece.drawer_rows = Vec::new();
        build.case.piece.with = kinds.iter().map(|it| (*it).to_owned()).collect();
        build.assess()
    };
    let text = |it: &Assessment| {
        let lines = it.cautions.iter().flat_map(|it| it.lines.clone());
        lines
            .map(|it| it.to_string())
            .collect::<Vec<String>>()
            .join("\n")
    };
    let of = |told: &Assessment, hazard: &str| told.cautions.iter().any(|it| it.hazard == hazard);
    let lacks = |told: &Assessment, what: &str| told.not_examined.iter().any(|it| it.what == what);
    let frayed = with(mark("mirror_fixing", "back").level(3), &[]);
    let said = text(&frayed);
    assert!(said.contains("Do not hang it"), "{said}");
    for wrong in [
        "sit on",
        "climbing",
        "Fix this piece",
        "Broken glass",
        "drawers",
    ] {
        assert!(!said.contains(wrong), "{wrong}: {said}");
    }
    assert!(
        of(&frayed, "hanging") && !of(&frayed, "tip_over") && !lacks(&frayed, "Tipping forward")
    );
    let broken = text(&with(mark("glass_damage", "mirror-glass").level(4), &[]));
    for line in ["Broken glass cuts", "Do not hang it", "upright"] {
        assert!(broken.contains(line), "{line}: {broken}");
    }
    let stands = with(
        mark("mirror_fixing", "mirror-support-left").level(3),
        &["mirror_support"],
    );
    let said = text(&stands);
    assert!(
        of(&stands, "tip_over") && !of(&stands, "hanging") && lacks(&stands, "Tipping forward")
    );
    assert!(
        said.contains("nobody before it") && !said.contains("hang it until"),
        "{said}"
    );
    assert!(!said.contains("climbing"), "it has no top: {said}");
    // A pane in a door: it is not sat on, and not hung.
    let mut cabinet = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "",
        &[],
        vec![mark("glass_damage", "door-left").level(4)],
    );
    cabinet.case.piece.form = "bookcase".to_owned();
    let said = text(&cabinet.assess());
    assert!(
        said.contains("nor open it") && !said.contains("Do not sit on it"),
        "{said}"
    );
}

/// A coat that is on record is told, and what bears no drop is not to be tested with one.
#[test]
fn a_recorded_coat_is_named_where_its_kind_was_not_tested() {
    let why = |cue: Option<&str>| {
        let marks = cue.map(|it| mark(it, "top")).into_iter().collect();
        let shoot = Build::chest().shoot(Stage::Purchase, "2026-03-14");
        let told = shoot.photo("part_close", &[], marks).assess();
        let found = told
            .not_examined
            .into_iter()
            .find(|it| it.what == "Kind of the finish");
        found.map(|it| it.why)
    };
    assert!(why(None).unwrap().contains("a drop of solvent"));
    let gilded = why(Some("fin_gilt_water")).unwrap();
    assert!(
        gilded.contains("water gilding) (top, picture 1)"),
        "{gilded}"
    );
    assert!(
        gilded.contains("touch it nowhere") && !gilded.contains("drop"),
        "{gilded}"
    );
}
