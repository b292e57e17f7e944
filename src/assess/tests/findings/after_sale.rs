//! Findings: what shows that a fault came after the sale.

use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Origin;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::assess::tests::findings::ARRIVED;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::LEFT;
use crate::assess::tests::findings::bought;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::photo::Stage;

/// First seen at the buyer's; the sale and the handover show the part without it.
#[test]
fn after_sale_rests_on_whole_views_of_the_part() {
    let build = bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![])
        .photo("right_whole", &["side-right"], vec![])
        .shoot(Stage::Handover, LEFT)
        .photo("handover", &["top", "drawer-1"], vec![])
        .shoot(Stage::Delivery, ARRIVED)
        .photo("delivery", &["top"], vec![mark("scratch_finish", "top")])
        .photo("", &["back"], vec![mark("gouge", "back")])
        .photo(
            "",
            &["drawer-1"],
            vec![mark("drawer_bottom_fault", "drawer-1/bottom")],
        )
        .photo("", &["drawer-1"], vec![mark("gouge", "drawer-1/front")]);
    let scratch = build.finding(2);
    assert_eq!(scratch.origin, Origin::AfterSale);
    assert_eq!(
        scratch.origin_why,
        "It is first seen in picture 5 of 25 May 2026 (delivery); the top is in picture 2 of 2 May 2026 (sale), and it is not marked there; later in picture 4 of 20 May 2026 (handover), which may not show the place."
    );
    assert_eq!(
        build.finding(3).origin,
        Origin::Unknown,
        "the back was in no picture"
    );
    assert_eq!(
        build.finding(4).origin,
        Origin::Unknown,
        "a closed drawer does not show its bottom"
    );
    let front = build.finding(5);
    assert_eq!(
        front.origin,
        Origin::Unknown,
        "it is in a picture that is no whole view of it"
    );
    assert!(
        front.origin_why.ends_with(
            "; drawer 1, front is in picture 4 of 20 May 2026 (handover), which may not show the place."
        ),
        "{}",
        front.origin_why
    );
}

/// Where nobody looked at the part on that day, no picture of the day shows that the fault was not there.
#[test]
fn a_part_that_was_not_examined_at_the_sale_proves_nothing_for_it() {
    let delivered = |unseen: Mark| {
        Build::chest()
            .shoot(Stage::Sale, FINISHED)
            .photo("right_whole", &["side-right"], vec![])
            .photo("back_whole", &["back"], vec![unseen])
            .shoot(Stage::Delivery, ARRIVED)
            .photo("", &["side-right"], vec![mark("gouge", "side-right")])
    };
    let looked = delivered(mark("not_examined", "back")).finding(1);
    assert_eq!(looked.origin, Origin::AfterSale);
    let build = delivered(mark("not_examined", "side-right"));
    let unseen = build.finding(1);
    assert_eq!(unseen.origin, Origin::Unknown);
    let why = &unseen.origin_why;
    assert!(!why.contains("not marked there"), "{why}");
    assert!(
        why.ends_with("; the right side was not examined on 2 May 2026."),
        "{why}"
    );
    let of_finding = build.assess().pairs.into_iter();
    let of_finding = of_finding.filter(|it| it.about == PairAbout::Finding(FindingNo(1)));
    assert_eq!(
        of_finding.count(),
        0,
        "no picture of that day is its before"
    );
}

#[test]
fn a_dark_picture_does_not_show_that_something_is_not_there() {
    let delivered = |build: Build| {
        let scratch = mark("scratch_finish", "top");
        build
            .shoot(Stage::Delivery, ARRIVED)
            .photo("delivery", &["top"], vec![scratch])
    };
    let sale = Build::chest()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![]);
    assert_eq!(delivered(sale.clone()).finding(1).origin, Origin::AfterSale);
    let dark = sale.but(|it| it.facts.brightness = 40.0);
    assert_eq!(delivered(dark).finding(1).origin, Origin::Unknown);
}

/// A photo taken after the sale never counts as evidence of the state before it.
#[test]
fn photos_after_the_sale_prove_nothing_for_the_sale() {
    let build = Build::chest()
        .shoot(Stage::Delivery, ARRIVED)
        .photo("delivery", &["top"], vec![])
        .shoot(Stage::Return, "2026-06-01")
        .photo("top_flat", &["top"], vec![mark("gouge", "top")]);
    assert_eq!(build.finding(1).origin, Origin::Unknown);
}
