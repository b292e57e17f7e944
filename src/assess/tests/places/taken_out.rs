//! Pictures of a place that were taken out of the record: those that had all of it, or in which it was marked, are told; no other.

use crate::assess::places::taken_out::PlaceTakenOut;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words as _;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::places::laid::chest;
use crate::assess::tests::places::laid::lay;
use crate::assess::tests::places::laid::top;
use crate::model::ids::FindingNo;
use crate::model::photo::RemovedPhoto;
use crate::model::photo::Stage;

/// A gouge that lies 134 mm from the left and 101 mm from the back, and pictures from before it that show the top.
fn gouged() -> Build {
    let gouge = mark("gouge", "top").within([20.0, 30.0, 5.0, 3.0]);
    let mut build = chest()
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &["top"], vec![])
        .but(lay(top([5.0, 5.0], 1.0)))
        // The left 403 mm lie outside this one.
        .photo("", &["top"], vec![])
        .but(lay(top([-20.0, 10.0], 2.0)))
        // Where the top lies in this one nobody said.
        .photo("", &["top"], vec![])
        .shoot(Stage::Delivery, "2026-05-25")
        .photo("defect_close", &["top"], vec![gouge])
        .but(lay(top([10.0, 20.0], 3.0)))
        .photo("defect_close", &["top"], vec![of(1)]);
    build.number();
    build
}

fn without(photos: &[u32]) -> Vec<PlaceTakenOut> {
    let mut build = gouged();
    for no in photos {
        let at = build.case.photos.iter().position(|it| it.no == *no);
        build.case.removed.push(RemovedPhoto {
            photo: build.case.photos.remove(at.unwrap()),
            why: "blurred".to_owned(),
            removed: "2026-06-12T10:00:00Z".parse().unwrap(),
        });
    }
    let mut all = build.assess();
    all.places.findings.remove(&FindingNo(1)).unwrap().taken_out
}

#[test]
fn a_picture_with_all_of_the_place_is_told_with_its_day_and_the_day_it_went() {
    assert_eq!(without(&[]), []);
    let told = without(&[1]);
    let said: Vec<String> = told.iter().map(PlaceTakenOut::text).collect();
    assert_eq!(
        said,
        [
            "picture 1 of 2 May 2026, a picture of this place, was taken out of the record on 12 June 2026"
        ]
    );
}

#[test]
fn what_left_the_place_out_or_may_have_is_not_told() {
    assert_eq!(without(&[2]), []);
    assert_eq!(without(&[3]), []);
}

#[test]
fn a_picture_in_which_it_was_marked_is_told_wherever_its_face_lies() {
    let told = without(&[5, 3, 2, 1]);
    let numbers: Vec<(u32, bool)> = told.iter().map(|it| (it.photo, it.marked)).collect();
    assert_eq!(numbers, [(1, false), (5, true)]);
}

/// Also of a fault whose place nobody knows, a picture with its mark that is out is told.
#[test]
fn a_fault_without_a_place_tells_of_its_pictures_too() {
    let dent = || mark("dent", "back");
    let mut build = chest()
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &[], vec![dent()])
        .photo("", &[], vec![dent()]);
    build.number();
    build.case.removed.push(RemovedPhoto {
        photo: build.case.photos.pop().unwrap(),
        why: "blurred".to_owned(),
        removed: "2026-06-12T10:00:00Z".parse().unwrap(),
    });
    let it = build.assess();
    let told = it.places.findings[&FindingNo(1)].taken_out.iter();
    let told: Vec<String> = told.map(PlaceTakenOut::text).collect();
    assert_eq!(
        told,
        ["picture 2 of 2 May 2026, with a mark of it, was taken out of the record on 12 June 2026"]
    );
    assert_eq!(it.taken_out[0].told().unwrap(), "it told of F1 (there)");
}
