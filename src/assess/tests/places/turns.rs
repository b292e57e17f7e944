//! When a fault came, went and came back: the sentence, the table and the counts say the same.

use crate::assess::places::sight::Poor;
use crate::assess::places::told::PlaceTold;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words as _;
use crate::assess::tests::build::mark;
use crate::assess::tests::places::laid::chest;
use crate::assess::tests::places::laid::lay;
use crate::assess::tests::places::laid::top;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::region::Region;

fn told(build: &Build) -> PlaceTold {
    let mut it = build.assess();
    it.places.findings.remove(&FindingNo(1)).unwrap()
}

fn turn(told: &PlaceTold, name: &str) -> String {
    let turns = told.turns();
    let found = turns.into_iter().find(|it| it.0 == name);
    found.map(|it| it.1).unwrap_or_default()
}

fn crack() -> Mark {
    let mut crack = mark("split_through", "top");
    crack.region = Some(Region::Line(vec![[30.0, 30.0], [40.0, 40.0]]));
    crack
}

/// The top lies in the picture of the sale so many px per mm large.
fn cracked(px_per_mm: f64) -> Build {
    chest()
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &["top"], vec![])
        .but(lay(top([5.0, 5.0], px_per_mm)))
        .shoot(Stage::Delivery, "2026-05-25")
        .photo("defect_close", &["top"], vec![crack()])
        .but(lay(top([10.0, 20.0], 2.0)))
}

/// All of a crack lies in a picture that is too small to show it: the table and the sentence give that one reason.
#[test]
fn a_picture_with_all_of_the_place_says_why_it_cannot_show_it() {
    let it = told(&cracked(0.5));
    assert_eq!(it.pictures[0].sight.poor, Some(Poor::TooSmall));
    assert_eq!(it.pictures[0].words(), "not marked; it is too small there");
    assert_eq!(
        turn(&it, "Before that, last not marked"),
        "no picture that can show it: picture 1 of 2 May 2026 (0.5 px/mm: it is too small there)"
    );
    let large = told(&cracked(1.5));
    assert_eq!(large.pictures[0].sight.poor, None);
    assert!(turn(&large, "Before that, last not marked").starts_with("picture 1 of 2 May 2026"));
}

/// A gouge at the purchase, repaired in a picture in which the top is not laid, silent at the hand-over, there at the delivery.
fn back_again() -> Build {
    let gouge = || mark("gouge", "top").within([20.0, 30.0, 5.0, 3.0]);
    chest()
        .shoot(Stage::Purchase, "2026-05-02")
        .photo("", &["top"], vec![gouge()])
        .but(lay(top([10.0, 20.0], 3.0)))
        .shoot(Stage::Work, "2026-05-11")
        .photo("process", &["top"], vec![gouge().says("repaired")])
        .shoot(Stage::Handover, "2026-05-20")
        .photo("", &["top"], vec![])
        .but(lay(top([5.0, 5.0], 2.0)))
        .photo("", &["top"], vec![])
        .shoot(Stage::Delivery, "2026-05-25")
        .photo("", &["top"], vec![gouge().says("worse")])
        .but(lay(top([10.0, 20.0], 3.0)))
}

#[test]
fn gone_and_there_again_is_told_with_its_bounds() {
    let it = told(&back_again());
    assert_eq!(
        turn(&it, "Gone, and there again"),
        "picture 2 of 11 May 2026 (repaired); not marked in picture 3 of 20 May 2026; picture 5 of 25 May 2026 (there, more than before)"
    );
}

/// A picture with a mark of the finding is told, laid or not, and counts never as one of which nothing is known.
#[test]
fn a_picture_with_its_mark_is_never_not_known() {
    let it = told(&back_again());
    assert_eq!(
        turn(&it, "Marked too"),
        "picture 2 of 11 May 2026 (repaired); its face is not laid there"
    );
    assert_eq!(
        (it.pictures.len(), it.not_laid_marked.len(), it.not_laid),
        (3, 1, 1)
    );
}
