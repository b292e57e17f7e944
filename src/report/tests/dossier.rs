//! The first page of a dossier: what a claim is about stands in an exhibit, and what is missing is missing.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words as _;
use crate::assess::tests::build::mark;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::CoverRequest;
use crate::report::DrawingInput;
use crate::report::cover_page;
use crate::report::cover_shots;
use crate::report::missing_for_claim;
use crate::report::tests::stand_ins;
use crate::trade::entry::claim_kind::claim_kind;

pub(super) fn order(claim: &str) -> CoverRequest {
    CoverRequest {
        made_on: "2026-08-01".parse().unwrap(),
        claim: Some(claim_kind(claim).unwrap()),
        photos: Vec::new(),
        proofs: BTreeMap::new(),
        editions: Vec::new(),
        sales: Vec::new(),
        repairs: BTreeMap::new(),
        before_claim: None,
        shoot_changes: Vec::new(),
        moves: Vec::new(),
        withdrawals: Vec::new(),
        papers: Vec::new(),
        seals: Vec::new(),
        root: String::new(),
        fingerprint: String::new(),
        key_changes: Vec::new(),
        signed: false,
        taken_out: Vec::new(),
        photo_files: crate::report::PhotoFiles::Originals,
        not_in: Vec::new(),
        confirmed: Vec::new(),
        retold: Vec::new(),
        lacks: Vec::new(),
        built_later: false,
    }
}

fn cover(it: &Assessment, claim: &str) -> String {
    cover_by(it, &order(claim))
}

/// The page without its tags, each run of blanks one.
pub(super) fn cover_by(it: &Assessment, order: &CoverRequest) -> String {
    let pictures = stand_ins(cover_shots(it, order));
    let html = cover_page(it, &DrawingInput::default(), order, &pictures).unwrap();
    let body = html.split("<body>").nth(1).unwrap();
    let bare = body
        .split('<')
        .map(|it| it.split_once('>').map_or(it, |it| it.1));
    let bare: Vec<&str> = bare.collect();
    let words: Vec<&str> = bare.iter().flat_map(|it| it.split_whitespace()).collect();
    words.join(" ")
}

pub(super) fn missing(it: &Assessment, claim: &str) -> Vec<String> {
    missing_for_claim(it, &order(claim))
}

/// A scratch that is marked at the van, on a side that nobody took at the delivery; an old split, and worm holes that were gone.
pub(super) fn sent() -> Build {
    let scratch = mark("scratch_wood", "side-right")
        .within([10.0, 10.0, 9.0, 9.0])
        .note("from the strap");
    Build::chest()
        .shoot(Stage::Purchase, "2026-06-01")
        .photo(
            "left_whole",
            &["side-left"],
            vec![mark("split_through", "side-left"), mark("worm_old", "back")],
        )
        .shoot(Stage::Sale, "2026-07-01")
        .photo(
            "front_whole",
            &[],
            vec![
                mark("split_through", "side-left").says("not_examined"),
                mark("worm_old", "back").says("gone"),
            ],
        )
        .shoot(Stage::Handover, "2026-07-10")
        .photo("handover", &["side-right"], vec![scratch])
        .shoot(Stage::Delivery, "2026-07-14")
        .photo(
            "delivery",
            &["back"],
            vec![
                mark("worm_old", "back").says("not_examined"),
                mark("dent", "top").says("not_visible"),
            ],
        )
}

/// Whoever asks whether it broke on the way sees every picture from the one in which it was gone, and the one in which it was first
/// marked.
#[test]
fn a_fault_that_came_back_at_the_van_is_shown_at_the_van() {
    let split = || mark("split_through", "side-left").within([10.0, 10.0, 9.0, 9.0]);
    let mut build = Build::chest();
    for (stage, day, said) in [
        (Stage::Purchase, "2026-06-01", split()),
        (Stage::Sale, "2026-07-01", split().says("gone")),
        (Stage::Handover, "2026-07-10", split().level(2)),
        (Stage::Delivery, "2026-07-14", split().level(3)),
    ] {
        let shoot = build.shoot(stage, day);
        build = shoot.photo("left_whole", &["side-left"], vec![said]);
    }
    let page = cover(&build.assess(), "transit_break");
    for no in 1..=4 {
        assert!(
            page.contains(&format!(" Picture {no} Camera time ")),
            "{no}: {page}"
        );
    }
    let said = "is there again (seen 10 July 2026, worse on 14 July 2026)";
    assert!(page.contains(said), "{page}");
}

/// Who asks what the way did sees, on top, the last look before it beside the first after it, and not what the work did before.
#[test]
fn the_pair_on_top_of_a_claim_on_the_way_is_over_the_way() {
    let joint = || mark("loose_joint", "side-left").within([10.0, 10.0, 9.0, 9.0]);
    let mut build = Build::chest().repair("2026-06-10", &[1]);
    for (stage, day, said) in [
        (Stage::Purchase, "2026-06-01", joint().level(3)),
        (Stage::Sale, "2026-07-01", joint().says("repaired")),
        (
            Stage::Delivery,
            "2026-07-14",
            joint().says("worse").level(4),
        ),
    ] {
        let shoot = build.shoot(stage, day);
        build = shoot.photo("left_whole", &["side-left"], vec![said]);
    }
    let it = build.assess();
    for claim in ["leg_loosened", "transit_break"] {
        let page = cover(&it, claim);
        let [over, work] = ["Before: picture 2, sale", "Before: picture 1, purchase"];
        let [over, work] =
            [over, work].map(|it| page.find(it).unwrap_or_else(|| panic!("{it}: {page}")));
        assert!(over < work, "{claim}: {page}");
    }
}

/// A leg that broke on the way; before, in pictures of the sale and of the van, it was whole.
fn broken(van: fn(&mut Photo)) -> Build {
    let side = "side-right";
    Build::chest()
        .shoot(Stage::Sale, "2026-07-01")
        .photo("right_whole", &[side], Vec::new())
        .shoot(Stage::Handover, "2026-07-10")
        .photo("handover", &[side], Vec::new())
        .but(van)
        .shoot(Stage::Delivery, "2026-07-14")
        .photo("delivery", &[side], vec![mark("split_through", side)])
}

/// The last picture of the part before it left stands before the damage, with its occasion; one that says that the part was sound
/// stands before one that does not.
#[test]
fn the_picture_at_the_van_stands_before_the_damage() {
    let before = |build: &Build| build.assess().pairs[0].before.photo;
    assert_eq!(before(&broken(|_| {})), 2);
    let page = cover(&broken(|_| {}).assess(), "transit_break");
    assert!(
        page.contains("Before: picture 2, handover, 10 July 2026."),
        "{page}"
    );
    let later = "is in picture 1 of 1 July 2026 (sale), and it is not marked there; later in picture 2 of 10 July 2026 (handover), \
                 which may not show the place";
    assert!(page.contains(later), "{page}");
    let sound = broken(|it| it.sidecar.marks.push(mark("sound", "side-right")));
    assert_eq!(before(&sound), 2);
    let mut sound = broken(|_| {});
    let said = mark("sound", "side-right");
    sound.case.photos[0].sidecar.marks.push(said);
    assert_eq!(before(&sound), 1);
}

/// That a fault is still there rests on two looks.
#[test]
fn a_fault_that_one_look_saw_is_not_told_as_still_there() {
    let once = cover(&broken(|_| {}).assess(), "transit_break");
    assert!(once.contains("State Seen once, 14 July 2026."), "{once}");
    let twice = broken(|_| {}).shoot(Stage::Return, "2026-07-20").photo(
        "right_whole",
        &["side-right"],
        vec![mark("split_through", "side-right")],
    );
    let twice = cover(&twice.assess(), "transit_break");
    assert!(
        twice.contains("State Still there (seen 20 July 2026)."),
        "{twice}"
    );
}

/// Whoever asks when it broke reads with the answer how bad the part was before, and what work on it hides.
#[test]
fn the_answer_names_the_earlier_level_and_what_is_hidden() {
    let side = "side-right";
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-06-01")
        .photo("right_whole", &[side], vec![mark("dent", side).level(3)])
        .shoot(Stage::Delivery, "2026-07-14")
        .photo("delivery", &[side], vec![mark("split_through", side)])
        .repair("2026-06-12", &[1]);
    build.number();
    build.case.repairs[0].hides = Some("a dowel stub stays".to_owned());
    let it = build.assess();
    let page = cover(&it, "transit_break");
    let first = page.split("What is missing for an answer").next().unwrap();
    for said in [
        ", level 3 (heavy) at worst: ",
        "Hidden, or still visible, by repair 1 of 12 June 2026: a dowel stub stays.",
    ] {
        assert!(first.contains(said), "{said}: {first}");
    }
}

#[test]
fn a_fault_first_marked_at_the_van_has_an_exhibit_of_its_own() {
    for claim in ["transit_break", "our_loss", "warranty_period"] {
        let page = cover(&sent().assess(), claim);
        assert!(
            page.contains(": F3: Scratch into the wood") || page.contains(". F3: "),
            "{claim}: {page}"
        );
    }
}

/// A picture that stands as a view names what is marked in it, with the words that were written.
#[test]
fn a_picture_in_an_exhibit_says_what_is_marked_in_it() {
    let page = cover(&sent().assess(), "missing_part");
    assert!(page.contains("Said of picture 3 F3, "), "{page}");
    assert!(page.contains("Note: From the strap."), "{page}");
}

/// Of what is gone, or was not seen, nobody took a measure: that it was not measured is no news.
#[test]
fn what_was_not_there_to_measure_is_not_told_as_unmeasured() {
    let split = |says: &str| mark("split_through", "side-left").says(says);
    let mut build = Build::chest();
    for (stage, day, said) in [
        (Stage::Purchase, "2026-06-01", split("present")),
        (Stage::Sale, "2026-07-01", split("gone")),
        (Stage::Delivery, "2026-07-14", split("not_visible")),
    ] {
        build = build
            .shoot(stage, day)
            .photo("left_whole", &["side-left"], vec![said]);
    }
    let page = cover(&build.assess(), "hidden_fault");
    assert!(
        page.contains("Not measured, no level: there (purchase,"),
        "{page}"
    );
    for look in [
        "Looked for, not found (sale,",
        "Cannot be told from the picture (delivery,",
    ] {
        assert!(page.contains(look), "{look}: {page}");
    }
}

/// A part that came off takes its faults with it, and its exhibit says what was marked while it was there.
#[test]
fn of_a_part_that_is_absent_what_was_marked_before_is_told() {
    let build = Build::chest()
        .shoot(Stage::Sale, "2026-07-01")
        .photo(
            "",
            &[],
            vec![mark("split_through", "leg-front-left").level(2)],
        )
        .shoot(Stage::Delivery, "2026-07-14")
        .photo("", &[], vec![mark("absent", "leg-front-left")]);
    let page = cover(&build.assess(), "missing_part");
    let (_, exhibit) = page
        .split_once("Absent, as written beside picture 2")
        .unwrap();
    let told =
        "Picture 1 of 1 July 2026 is said to show the part; nobody wrote there that it was sound.";
    assert!(exhibit.contains(told), "{exhibit}");
    assert!(exhibit.contains("Said of picture 1 F1"), "{exhibit}");
    assert!(!page.contains("in what state"), "{page}");
}

#[test]
fn a_repair_of_another_part_is_not_on_the_same_part() {
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-06-01")
        .photo(
            "",
            &[],
            vec![
                mark("scratch_finish", "drawer-1/front"),
                mark("pull_missing", "drawer-1/pull-left"),
            ],
        )
        .shoot(Stage::Delivery, "2026-07-14")
        .photo("", &[], vec![mark("scratch_finish", "drawer-1/front")])
        .repair("2026-06-12", &[2]);
    build.number();
    let page = cover(&build.assess(), "transit_break");
    assert!(!page.contains("on the same part"), "{page}");
    assert!(
        page.contains("Not for this fault, elsewhere on the drawer 1: repair 1."),
        "{page}"
    );
}

#[test]
fn a_claim_on_what_was_told_quotes_it_and_shows_what_was_seen() {
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-06-01")
        .photo("part_close", &["top"], vec![mark("fin_gilt_water", "top")])
        .photo("", &[], vec![mark("label_text", "back").says("gone")])
        .repair("2026-06-12", &[]);
    build.case.piece.title = "gilt chest".to_owned();
    build.case.piece.about = Some("one pull is new".to_owned());
    build.case.repairs[0].new_material = Some("brass pull".to_owned());
    let page = cover(&build.assess(), "not_as_described");
    for said in [
        "gilt chest",
        "One pull is new.",
        "New material: Brass pull.",
        "Said of picture 1 Gold leaf",
    ] {
        assert!(
            page.to_lowercase().contains(&said.to_lowercase()),
            "{said}: {page}"
        );
    }
    assert!(!page.contains("has no picture of what it asks"));
    assert!(
        page.contains("(label_mark); what it would show is told beside picture 2."),
        "{page}"
    );
}
