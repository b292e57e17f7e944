//! Shot lists of forms and of built cases.

use crate::advise::shots::shot_list::of_form;
use crate::advise::shots::shot_list::of_piece;
use crate::advise::shots::to_take::ShotList;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words as _;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::tongue::Saying;
use crate::trade;

fn form(id: &str, stage: Stage) -> ShotList {
    let book = trade::book();
    let form = book.form(id).unwrap();
    of_form(form, &PartChoice::default(), stage, book)
}

fn list(case: &Build, stage: Stage) -> ShotList {
    of_piece(&case.assess(), stage, trade::book())
}

fn views(it: &ShotList) -> Vec<&str> {
    it.views.iter().map(|it| it.view.as_str()).collect()
}

fn faults(it: &ShotList) -> Vec<String> {
    it.faults.iter().map(|it| it.finding.to_string()).collect()
}

#[test]
fn no_stop_of_the_walk_is_visited_twice() {
    for form_ in &trade::book().forms {
        for (stage, _) in Stage::ALL {
            let it = form(&form_.id, stage);
            let mut stops: Vec<String> = it.views.iter().map(|it| it.stop.to_string()).collect();
            stops.dedup();
            let mut each = stops.clone();
            each.sort_unstable();
            each.dedup();
            assert_eq!(each.len(), stops.len(), "{} {stage}: {stops:?}", form_.id);
            assert!(stops.iter().all(|it| !it.is_empty()));
            assert!(!it.plus.is_nothing() && !it.views.is_empty());
        }
    }
}

#[test]
fn the_walk_goes_round_then_over_then_in_then_under() {
    let it = form("dresser_mirror", Stage::Purchase);
    let expected = [
        "front_whole",
        "front_open",
        "hardware_front",
        "glass_mirror_front",
        "three_quarter_left",
        "scale_ref",
        "left_whole",
        "back_whole",
        "glass_mirror_back",
        "right_whole",
        "top_flat",
        "top_raking",
        "edge_line",
        "figure_both_faces",
        "joint_close",
        "hardware_back",
        "drawer_inside",
        "drawer_under",
        "carcass_inside",
        "underside_whole",
        "label_mark",
        "identity_mark",
    ];
    assert_eq!(views(&it), expected);
    // Whether a returned piece is the one that was sold is asked before anything else.
    assert_eq!(form("bed", Stage::Return).views[0].view, "identity_mark");
}

#[test]
fn a_line_says_what_it_shows_and_where_the_card_goes() {
    let it = form("chest_of_drawers", Stage::Purchase);
    let line = |id: &str| it.views.iter().find(|it| it.view == id).unwrap();
    assert_eq!(
        line("left_whole").shows,
        "Left side; foot: front left, back left"
    );
    assert_eq!(
        line("drawer_under").shows,
        "Drawer bottom; lower edge or guide of a drawer"
    );
    assert_eq!(line("label_mark").shows, "");
    assert!(line("front_whole").shows.contains("drawer: all 4"));
    assert!(
        line("left_whole")
            .parts
            .iter()
            .any(|it| it.as_str() == "side-left")
    );
    for (id, card) in [
        ("edge_line", true),
        ("scale_ref", true),
        ("left_whole", false),
    ] {
        assert_eq!(line(id).card.is_some(), card, "{id}");
    }
}

#[test]
fn what_to_mind_follows_the_piece() {
    let says = |form_: &str, word: &str| {
        let it = form(form_, Stage::Doorstep);
        it.mind.iter().any(|it| it.contains(word))
    };
    for form_ in &trade::book().forms {
        assert!(says(&form_.id, "alone") && says(&form_.id, "lead") && says(&form_.id, "Dust"));
    }
    assert!(says("dresser_mirror", "Glass") && !says("dining_table", "Glass"));
    assert!(says("chest_of_drawers", "tip") && !says("chair", "tip"));
    assert!(says("trunk_chest", "lid") && !says("chair", "lid"));
}

#[test]
fn what_the_book_holds_of_that_stage_is_left_out_and_of_no_other() {
    let case = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("front_whole", &[], vec![])
        .photo("", &["top"], vec![]);
    let bought = list(&case, Stage::Purchase);
    assert_eq!(bought.held, ["front_whole"]);
    assert!(!views(&bought).contains(&"front_whole") && views(&bought).contains(&"front_open"));
    let sale = list(&case, Stage::Sale);
    assert!(sale.held.is_empty() && views(&sale).contains(&"front_whole"));
}

#[test]
fn a_part_that_is_not_there_is_not_said_to_be_shown() {
    let mut case = Build::chest().shoot(Stage::Purchase, "2026-03-14");
    let front = |case: &Build| {
        let it = list(case, Stage::Purchase);
        it.views
            .into_iter()
            .find(|it| it.view == "front_whole")
            .unwrap()
    };
    assert!(front(&case).shows.contains("drawer: all 5"));
    case.case.piece.absent = vec!["drawer-2".parse().unwrap()];
    let without = front(&case);
    assert!(
        without
            .parts
            .iter()
            .all(|it| it.whole().as_str() != "drawer-2")
    );
    assert!(without.shows.contains("drawer: all 4"), "{}", without.shows);
}

/// Faults on the top (F1 close and with a rule), a drawer (F2) and the left side (F3, later gone).
fn bought() -> Build {
    Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo(
            "top_flat",
            &["top"],
            vec![mark("white_mark", "top").level(2)],
        )
        .photo(
            "defect_close",
            &["top"],
            vec![of(1).within([1.0, 1.0, 9.0, 9.0])],
        )
        .photo(
            "defect_scale",
            &["top"],
            vec![of(1).within([1.0, 1.0, 9.0, 9.0])],
        )
        .but(|it| it.sidecar.note = Some("Window light from the left.".to_owned()))
        .photo(
            "front_whole",
            &[],
            vec![mark("drawer_stick", "drawer-2").level(2)],
        )
        .photo(
            "left_whole",
            &[],
            vec![mark("split_through", "side-left").level(1)],
        )
}

#[test]
fn from_the_sale_on_every_fault_is_asked_for_again() {
    let case = bought();
    for stage in [Stage::Doorstep, Stage::Purchase, Stage::Work] {
        assert!(list(&case, stage).faults.is_empty(), "{stage}");
    }
    for stage in [Stage::Sale, Stage::Handover, Stage::Delivery, Stage::Return] {
        // In the order of the walk: front, left side, top.
        assert_eq!(faults(&list(&case, stage)), ["F2", "F3", "F1"], "{stage}");
    }
    let it = list(&case, Stage::Sale);
    let ring = &it.faults[2];
    let earlier = ring.earlier.as_ref().unwrap();
    // The picture with a rule, not the whole top.
    assert_eq!((earlier.photo, earlier.stage), (3, Stage::Purchase));
    assert!(
        ring.how
            .starts_with("Same place as picture 3 (fault with a rule, purchase 14 March 2026)")
    );
    assert_eq!(
        ring.light,
        "As then; usual for this view: even. Noted then: “Window light from the left.”"
    );
    assert!(ring.card.contains("plane"));
}

#[test]
fn what_is_shown_again_gone_withdrawn_or_newer_is_not_asked_for() {
    let case = bought()
        .shoot(Stage::Sale, "2026-05-02")
        .photo("top_flat", &["top"], vec![of(1).says("repaired")])
        .photo("left_whole", &[], vec![of(3).says("gone")])
        .photo("front_whole", &[], vec![of(2).says("not_examined")]);
    let it = list(&case, Stage::Sale);
    assert_eq!(faults(&it), ["F2"]);
    assert_eq!(it.faults_held.len(), 1);
    // A picture that cannot tell it shows nothing, and what was gone is asked for once nobody looked for it any more.
    let van = case.clone().shoot(Stage::Handover, "2026-05-10").photo(
        "handover",
        &[],
        vec![of(1).says("not_visible"), of(3).says("not_examined")],
    );
    let van = list(&van, Stage::Handover);
    assert_eq!(faults(&van), ["F2", "F3", "F1"]);
    assert_eq!(van.faults_held, []);
    // A repaired one is shown again at hand-over, as in the picture of the sale.
    let at_van = list(&case, Stage::Handover);
    let ring = at_van.faults.iter().find(|it| it.finding.0 == 1).unwrap();
    assert_eq!(ring.earlier.as_ref().unwrap().stage, Stage::Sale);
    // A fault first seen at the buyer's is nothing that the sale could have shown.
    let later = case.shoot(Stage::Delivery, "2026-05-24").photo(
        "right_whole",
        &[],
        vec![mark("gouge", "side-right").level(3)],
    );
    assert_eq!(faults(&list(&later, Stage::Sale)), ["F2"]);
    assert!(faults(&list(&later, Stage::Return)).contains(&"F4".to_owned()));
}

#[test]
fn what_can_fall_comes_off_before_the_piece_is_moved() {
    let at = |stage: Stage, level: u8| {
        let fault = mark("stone_damage", "top").level(level);
        let case = Build::chest().shoot(stage, "2026-05-03");
        list(&case.photo("front_whole", &[], vec![fault]), stage)
    };
    let slab = |level: u8| at(Stage::Purchase, level);
    let back = |it: &ShotList| {
        let mut views = it.views.iter();
        views
            .find(|it| it.view == "back_whole")
            .unwrap()
            .how
            .clone()
    };
    let (cracked, nibbled) = (slab(4), slab(1));
    assert!(cracked.mind[0].starts_with("Taken off first, by two people: top."));
    assert_eq!(
        back(&cracked),
        format!("Once it is off (top): {}", back(&nibbled))
    );
    assert!(!nibbled.mind.iter().any(|it| it.contains("Taken off first")));
    // Nobody takes a seller's piece apart.
    let door = at(Stage::Doorstep, 4);
    assert!(door.mind[0].starts_with("It can fall or break: top."));
    assert!(back(&door).starts_with("Only as far as a lamp reaches"));
}

/// What drops is not opened, and the piece not tipped, for a picture. Common practice, no source.
#[test]
fn no_view_opens_a_fall_that_drops() {
    let desk_at = |level, stage| {
        let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
            "front_open",
            &[],
            vec![
                mark("mechanism_fault", "fall")
                    .which("left stay")
                    .level(level),
            ],
        );
        build.case.piece.form = "desk".to_owned();
        build.case.piece.with = vec!["fall_or_roll".to_owned()];
        list(&build, stage)
    };
    let desk = |level| desk_at(level, Stage::Sale);
    let how = |it: &ShotList| {
        let open = it.views.iter().find(|it| it.view == "front_open");
        open.unwrap().how.clone()
    };
    let drops = desk(4);
    assert!(drops.mind[0].contains("fall"), "{:?}", drops.mind);
    assert!(
        how(&drops).starts_with("Once it is mended"),
        "{}",
        how(&drops)
    );
    assert!(!how(&desk(1)).starts_with("Once"));
    // Nobody mends it first once it is handed over: it is shown as it is, shut.
    for stage in [Stage::Handover, Stage::Delivery, Stage::Return] {
        let later = desk_at(4, stage);
        let faults = later.faults.iter().map(|it| it.first.to_string());
        let views = later.views.iter().map(|it| it.how.to_string());
        let said: Vec<String> = faults.chain(views).collect();
        assert!(
            said.iter()
                .any(|it| it.contains("as nothing is moved or opened")),
            "{said:?}"
        );
        assert!(
            !said.iter().any(|it| it.contains("Once it is mended")),
            "{said:?}"
        );
    }
}

/// A fault that only a look moves the piece for waits as that look does; of two reasons both are named, once.
#[test]
fn faults_on_a_back_wait_as_its_view_does() {
    let cupboard = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "back_whole",
        &["back"],
        vec![
            mark("glass_damage", "glass-1").level(3),
            mark("hardware_loose", "back")
                .which("hanging plate")
                .level(3),
        ],
    );
    let mut cupboard = cupboard;
    cupboard.case.piece.form = "cabinet_sideboard".to_owned();
    cupboard.case.piece.with = vec!["glass_pane".to_owned(), "door".to_owned()];
    let list = list(&cupboard, Stage::Sale);
    let back = list
        .views
        .iter()
        .find(|it| it.view == "back_whole")
        .unwrap();
    let begins = "Once it is off (glass pane 1) and mended (back panel, hanging plate)";
    assert!(back.how.starts_with(begins), "{}", back.how);
    let plate = list
        .faults
        .iter()
        .find(|it| it.part.as_str() == "back")
        .unwrap();
    assert_eq!(plate.first, begins);
    let mind = Saying::Beside(list.mind).to_string();
    assert!(
        mind.contains("take it down") && !mind.contains("It can tip over"),
        "{mind}"
    );
}
