//! Marks on a laid face that contradict one another, or what is written beside them.

use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::places::laid::chest;
use crate::assess::tests::places::laid::lay;
use crate::assess::tests::places::laid::top;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::region::Region;

/// A gouge marked at the purchase and again at the sale, so far to the right by the corners of the second picture, percent.
fn twice(off: f64, again: Mark) -> Assessment {
    let gouge = mark("gouge", "top").within([30.0, 30.0, 6.0, 3.0]);
    chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("top_flat", &["top"], vec![gouge])
        .but(lay(top([10.0, 20.0], 2.0)))
        .shoot(Stage::Sale, "2026-05-02")
        .photo("top_flat", &["top"], vec![again])
        .but(lay(top([10.0 - off, 20.0], 2.0)))
        .assess()
}

#[test]
fn another_mark_of_a_finding_widens_by_how_much_its_place_may_be_off() {
    let again = || mark("gouge", "top").within([30.0, 30.0, 6.0, 3.0]);
    let place = |told: &Assessment| told.findings[0].place.clone().unwrap();
    let others = |told: &Assessment| told.places.findings[&FindingNo(1)].other_marks.clone();
    let right = twice(0.0, again());
    assert!(others(&right).is_empty());
    assert!(place(&right).uncertainty_mm < 6.0);
    // By corners that are 0.8 % of 4032 px too far to the left the mark lies 16 mm further to the right.
    let wrong = twice(0.8, again());
    let off = 0.8 * 40.32 / 2.0;
    let [other] = others(&wrong).try_into().unwrap();
    assert!((other.off_mm - off).abs() < 0.1, "{other:?}");
    assert!((place(&wrong).uncertainty_mm - off).abs() < 0.1);
    assert_ne!(other.photo, place(&wrong).from.photo);
    assert!(wrong.places.conflicts.is_empty());
    // What is gone is outlined from memory, and what is drawn larger is not drawn round the same.
    for other in [
        again().says("gone"),
        mark("gouge", "top").within([30.0, 30.0, 9.0, 3.0]),
    ] {
        let told = twice(0.8, other);
        assert!(others(&told).is_empty());
        assert!(place(&told).uncertainty_mm < 6.0);
    }
    // Marks that do not touch are no place at all.
    let apart = twice(9.0, again());
    assert_eq!(apart.places.conflicts.len(), 1);
    assert!(apart.findings[0].place.is_none());
}

/// A scratch of level 2 is 20 to 100 mm long, and a line of so many mm is drawn for it.
#[test]
fn a_level_that_does_not_hold_what_is_drawn_is_a_gap() {
    let scratch = |mm: f64, size: Option<&str>| {
        let far = 30.0 + mm * 2.0 / 40.32;
        let mut line = mark("scratch_wood", "top").level(2);
        line.region = Some(Region::Line(vec![[30.0, 40.0], [far, 40.0]]));
        line.size = size.map(str::to_owned);
        let told = chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("top_flat", &["top"], vec![line])
            .but(lay(top([10.0, 20.0], 2.0)))
            .assess();
        let gaps = told.gaps.into_iter();
        let mut gaps = gaps.filter(|it| it.code == "level_unlike_its_place");
        gaps.next().map(|it| it.message)
    };
    assert_eq!(scratch(60.0, None), None);
    assert_eq!(scratch(102.0, None), None, "by how much it may be off");
    assert!(scratch(4.0, None).is_some());
    let long = scratch(153.0, None).unwrap();
    assert!(
        long.ends_with("it is of level 2 (20 to 100 mm long), and what is drawn there is 153 mm long on the top"),
        "{long}"
    );
    // What is written is what is believed.
    assert_eq!(scratch(153.0, Some("150 mm")), None);
}
