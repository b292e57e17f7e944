//! Pairs: the best two photos, and how far they can be compared.

use crate::assess::assessment::Likeness;
use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::findings::ARRIVED;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::bought;
use crate::model::ids::FindingNo;
use crate::model::photo::Stage;

fn of_finding(build: &Build, no: u32) -> Vec<Pair> {
    let about = PairAbout::Finding(FindingNo(no));
    let mut pairs = build.assess().pairs;
    pairs.retain(|it| it.about == about);
    pairs
}

fn of_view(build: &Build, view: &str) -> Vec<(u32, u32)> {
    let about = PairAbout::View(view.to_owned());
    let pairs = build
        .assess()
        .pairs
        .into_iter()
        .filter(|it| it.about == about);
    pairs.map(|it| (it.before.photo, it.after.photo)).collect()
}

fn split(region: [f64; 4]) -> Vec<crate::model::mark::Mark> {
    vec![mark("split_through", "side-left").within(region)]
}

fn mended(region: [f64; 4]) -> Vec<crate::model::mark::Mark> {
    vec![of(1).says("repaired").within(region)]
}

/// The before photo was taken from another place: said so, and not called the same view.
#[test]
fn another_angle_is_called_one() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("left_whole", &["side-left"], split([10.0, 10.0, 5.0, 20.0]))
        .shoot(Stage::Sale, "2026-05-02")
        .photo(
            "three_quarter_left",
            &["side-left"],
            mended([10.0, 10.0, 5.0, 20.0]),
        );
    let pairs = of_finding(&build, 1);
    assert_eq!(pairs.len(), 1);
    assert_eq!(pairs[0].likeness, Likeness::DifferentAngle);
    assert_eq!(
        (pairs[0].before.mark, pairs[0].after.mark),
        (Some(0), Some(0))
    );
}

#[test]
fn the_same_fixed_view_goes_before_a_closer_picture() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo(
            "defect_close",
            &["side-left"],
            split([10.0, 10.0, 60.0, 60.0]),
        )
        .photo("left_whole", &["side-left"], split([10.0, 10.0, 5.0, 20.0]))
        .shoot(Stage::Sale, "2026-05-02")
        .photo(
            "left_whole",
            &["side-left"],
            mended([10.0, 10.0, 5.0, 20.0]),
        )
        .photo(
            "three_quarter_left",
            &["side-left"],
            mended([10.0, 10.0, 50.0, 50.0]),
        );
    let pair = of_finding(&build, 1).remove(0);
    assert_eq!((pair.before.photo, pair.after.photo), (2, 3));
    assert_eq!(pair.likeness, Likeness::SameView);
}

/// Two close pictures with the same word for their view are still taken from different places.
#[test]
fn a_view_that_is_not_fixed_is_never_the_same_view() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo(
            "defect_close",
            &["side-left"],
            split([10.0, 10.0, 60.0, 60.0]),
        )
        .shoot(Stage::Sale, "2026-05-02")
        .photo(
            "defect_close",
            &["side-left"],
            mended([10.0, 10.0, 60.0, 60.0]),
        );
    assert_eq!(of_finding(&build, 1)[0].likeness, Likeness::DifferentAngle);
}

/// A dent in raking light stands beside raking light, though a flat picture shows it larger.
#[test]
fn raking_light_stands_beside_raking_light() {
    let dent = |w: f64| vec![mark("dent", "top").within([1.0, 1.0, w, w])];
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("top_flat", &["top"], dent(50.0))
        .photo("top_raking", &["top"], dent(5.0))
        .shoot(Stage::Sale, "2026-05-02")
        .photo(
            "top_raking",
            &["top"],
            vec![of(1).says("better").within([1.0, 1.0, 5.0, 5.0])],
        )
        .photo(
            "part_close",
            &["top"],
            vec![of(1).says("better").within([1.0, 1.0, 90.0, 90.0])],
        );
    let pair = of_finding(&build, 1).remove(0);
    assert_eq!((pair.before.photo, pair.after.photo), (2, 3));
}

#[test]
fn dark_and_blurred_pictures_wait_for_want_of_others() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("left_whole", &["side-left"], split([1.0, 1.0, 50.0, 50.0]))
        .but(|it| it.facts.brightness = 30.0)
        .photo("part_close", &["side-left"], split([1.0, 1.0, 5.0, 5.0]))
        .shoot(Stage::Sale, "2026-05-02")
        .photo("left_whole", &["side-left"], mended([1.0, 1.0, 5.0, 5.0]))
        .but(|it| it.facts.sharpness = 5.0);
    let pair = of_finding(&build, 1).remove(0);
    assert_eq!((pair.before.photo, pair.after.photo), (2, 3));
}

#[test]
fn a_fault_first_seen_at_delivery_stands_beside_the_last_picture_before_it_left() {
    let build = Build::chest()
        .shoot(Stage::Sale, "2026-05-02")
        .photo("right_whole", &["side-right"], vec![])
        .shoot(Stage::Handover, "2026-05-20")
        .photo("handover", &["side-right"], vec![])
        .photo("handover", &["top"], vec![])
        .shoot(Stage::Delivery, "2026-05-25")
        .photo(
            "delivery",
            &["side-right"],
            vec![mark("gouge", "side-right")],
        );
    let pair = of_finding(&build, 1).remove(0);
    assert_eq!((pair.before.photo, pair.before.mark), (2, None));
    assert_eq!((pair.after.photo, pair.after.mark), (4, Some(0)));
}

/// The last shoot before the handover stands in where the sale says nothing.
#[test]
fn work_stands_in_for_the_sale() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &["side-left"], split([1.0, 1.0, 5.0, 5.0]))
        .shoot(Stage::Work, "2026-04-14")
        .photo("process", &["side-left"], mended([1.0, 1.0, 5.0, 5.0]))
        .shoot(Stage::Delivery, "2026-05-25")
        .photo("delivery", &["side-left"], mended([1.0, 1.0, 5.0, 5.0]));
    let pairs = of_finding(&build, 1);
    assert_eq!(
        pairs.len(),
        1,
        "no picture of the sale stands beside the delivery"
    );
    assert_eq!((pairs[0].before.photo, pairs[0].after.photo), (1, 2));
}

#[test]
fn whole_views_are_paired_by_stage() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("front_whole", &[], vec![])
        .photo("part_close", &[], vec![])
        .shoot(Stage::Sale, "2026-05-02")
        .photo("front_whole", &[], vec![])
        .photo("part_close", &[], vec![])
        .shoot(Stage::Handover, "2026-05-20")
        .photo("front_whole", &[], vec![])
        .shoot(Stage::Delivery, "2026-05-25")
        .photo("front_whole", &[], vec![]);
    assert_eq!(of_view(&build, "front_whole"), [(1, 3), (5, 6)]);
    assert_eq!(of_view(&build, "part_close"), [], "not from a fixed place");
}

/// A picture beside which somebody wrote that nobody looked for the fault shows no "before"; the newest one that shows it there does.
#[test]
fn what_was_not_examined_is_never_the_before() {
    for unseen in ["not_examined", "not_visible"] {
        let build = bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("top_flat", &["top"], vec![of(1).says(unseen)])
            .photo("top_raking", &["top"], vec![])
            .shoot(Stage::Delivery, ARRIVED)
            .photo("top_flat", &["top"], vec![of(1)]);
        let pairs = of_finding(&build, 1);
        let sides: Vec<_> = pairs
            .iter()
            .map(|it| (it.before.photo, it.after.photo))
            .collect();
        assert_eq!(sides, [(1, 4)], "{unseen}");
    }
}

/// Who hands over damage that the sale pictures do not show is asked for the two beside each other.
#[test]
fn a_fault_first_seen_at_the_van_sets_the_sale_picture_beside_that_of_the_van() {
    let record = |at_van: Vec<crate::model::mark::Mark>| {
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("left_whole", &["side-left"], vec![])
            .shoot(Stage::Sale, "2026-05-02")
            .photo("left_whole", &["side-left"], vec![])
            .shoot(Stage::Handover, "2026-05-20")
            .photo("left_whole", &["side-left"], at_van)
    };
    let dent = mark("dent", "side-left").within([10.0, 10.0, 5.0, 5.0]);
    assert_eq!(of_view(&record(vec![dent]), "left_whole"), [(1, 2), (2, 3)]);
    assert_eq!(of_view(&record(vec![]), "left_whole"), [(1, 2)]);
}
