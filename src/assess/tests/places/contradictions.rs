//! Marks, sizes and laid faces that cannot all be right are told.

use crate::assess::assessment::PairAbout;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::places::laid::chest;
use crate::assess::tests::places::laid::delivered;
use crate::assess::tests::places::laid::lay;
use crate::assess::tests::places::laid::top;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::piece::Size;
use crate::model::region::Region;

#[test]
fn marks_of_one_finding_at_two_places_are_told() {
    let at = |x: f64| mark("white_mark", "top").within([x, 30.0, 3.0, 3.0]);
    let one = |marks| {
        chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &["top"], marks)
            .but(lay(top([10.0, 20.0], 3.0)))
    };
    let same = one(vec![at(20.0), at(21.0)]).assess();
    assert!(
        same.places.conflicts.is_empty(),
        "{:?}",
        same.places.conflicts
    );
    let two = one(vec![at(20.0), at(60.0)]).assess();
    let [conflict] = two.places.conflicts.as_slice() else {
        panic!("{:?}", two.places.conflicts);
    };
    assert!(
        (conflict.apart_mm - 37.0 * 40.32 / 3.0).abs() < 0.1,
        "{conflict:?}"
    );
    assert!(conflict.text.contains("`which`"), "{}", conflict.text);
    assert_eq!(two.findings[0].place, None);
    assert!(two.findings[0].sights.is_empty() && two.places.findings.is_empty());
    assert!(two.gaps.iter().any(|it| it.code == "places_in_conflict"));
    let later = one(vec![at(20.0)])
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &["top"], vec![at(50.0)])
        .but(lay(top([10.0, 20.0], 3.0)))
        .assess();
    assert_eq!(later.places.conflicts.len(), 1);
    assert!(
        later.places.conflicts[0]
            .text
            .contains("a face is laid wrong")
    );
}

/// A size told anew can make a laid face impossible: it is told and not used.
#[test]
fn a_face_that_no_longer_fits_the_piece_is_told_and_not_used() {
    let mut build = delivered(None, "");
    build.case.piece.size = Some(Size {
        height_mm: 900.0,
        width_mm: 480.0,
        depth_mm: 1050.0,
    });
    let all = build.assess();
    assert_eq!(all.places.unused.len(), 1);
    assert_eq!(all.findings[0].place, None);
    build.case.piece.size = None;
    assert!(
        build.assess().places.unused[0]
            .why
            .contains("size of the piece")
    );
}

/// A written length and the line drawn for it are one measure.
#[test]
fn a_size_that_is_not_that_of_its_line_is_a_gap() {
    let scratch = |size: &str, region: Region| {
        let line = Mark {
            region: Some(region),
            size: Some(size.to_owned()),
            ..mark("scratch_finish", "top")
        };
        let build = chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &["top"], vec![line])
            .but(lay(top([10.0, 20.0], 3.0)));
        let gaps = build.assess().gaps.into_iter();
        gaps.filter(|it| it.code == "size_unlike_its_place").count()
    };
    // 8 % of a picture of 4032 px at 3 px per mm are 107 mm.
    let line = || Region::Line(vec![[20.0, 30.0], [28.0, 30.0]]);
    assert_eq!(scratch("20 mm", line()), 1);
    assert_eq!(scratch("30 cm", line()), 1);
    assert_eq!(scratch("11 cm", line()), 0);
    assert_eq!(scratch("2 mm wide", line()), 0);
    // A box is often larger than its fault, never smaller.
    let area = || Region::Box([20.0, 30.0, 8.0, 3.0]);
    assert_eq!(scratch("20 mm", area()), 0);
    assert_eq!(scratch("300 mm", area()), 1);
}

/// A face that is laid beside itself in one of two pictures does not slide: what is marked in both tells it.
#[test]
fn marks_of_one_fault_tell_that_a_face_is_laid_wrong() {
    let pair = |off: f64| {
        let at = [30.0, 30.0, 3.0, 3.0];
        let again = mark("white_mark", "top").within(at);
        let build = chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo(
                "top_flat",
                &["top"],
                vec![mark("white_mark", "top").within(at)],
            )
            .but(lay(top([10.0, 20.0], 2.0)))
            .shoot(Stage::Sale, "2026-05-02")
            .photo("top_flat", &["top"], vec![again])
            .but(lay(top([10.0 + off, 20.0], 2.0)));
        let pairs = build.assess().pairs;
        let view = pairs
            .into_iter()
            .find(|it| matches!(it.about, PairAbout::View(_)));
        view.unwrap().straight.unwrap()
    };
    assert!(pair(0.0).slides(), "{:?}", pair(0.0));
    let wrong = pair(0.8);
    assert!(
        (wrong.apart_mm - 0.8 * 40.32 / 2.0).abs() < 0.1,
        "{wrong:?}"
    );
    assert!(!wrong.slides());
}
