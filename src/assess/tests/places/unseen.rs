//! Pictures that do not show the place are not shown as if they did.

use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Origin;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::photo::Stage;

/// Pictures of the top at the sale, then a scratch that is new at the delivery, the first finding.
fn delivered(sale: Vec<(&str, Vec<Mark>)>) -> Build {
    let mut build = Build::chest().shoot(Stage::Delivery, "2026-05-25").photo(
        "defect_close",
        &["top"],
        vec![mark("scratch_finish", "top").within([1.0, 1.0, 9.0, 9.0])],
    );
    build.number();
    build = build.shoot(Stage::Sale, "2026-05-02");
    for (view, marks) in sale {
        build = build.photo(view, &["top"], marks);
    }
    build
}

fn pair(build: &Build) -> Option<Pair> {
    let about = PairAbout::Finding(FindingNo(1));
    build
        .assess()
        .pairs
        .into_iter()
        .find(|it| it.about == about)
}

#[test]
fn a_close_up_of_elsewhere_is_no_before() {
    let elsewhere = || vec![mark("gouge", "top").within([20.0, 20.0, 60.0, 60.0])];
    let only = delivered(vec![("defect_close", elsewhere())]);
    assert_eq!(pair(&only), None);
    assert_eq!(only.finding(1).origin, Origin::Unknown);
    assert!(!only.finding(1).origin_why.contains("picture 2"));
    let with_whole = delivered(vec![("defect_close", elsewhere()), ("top_flat", vec![])]);
    let found = pair(&with_whole).unwrap();
    assert_eq!(found.before.photo, 3);
    assert!(found.may_miss(found.before) && !found.may_miss(found.after));
}

#[test]
fn whole_views_of_the_part_come_before_other_pictures_of_it() {
    let build = delivered(vec![
        ("", vec![]),
        ("top_raking", vec![]),
        ("scale_ref", vec![]),
    ]);
    assert_eq!(pair(&build).unwrap().before.photo, 3);
}

#[test]
fn a_close_up_that_carries_the_mark_is_a_picture_of_the_place() {
    let here = mark("scratch_finish", "top")
        .says("gone")
        .within([5.0, 5.0, 50.0, 50.0]);
    let found = pair(&delivered(vec![
        ("top_flat", vec![]),
        ("defect_close", vec![here]),
    ]))
    .unwrap();
    assert_eq!(found.before.photo, 3);
    assert!(!found.may_miss(found.before));
}

/// What an origin rests on, from strong to weak: a word that the part was sound, a whole view, nothing that can bear it.
#[test]
fn an_origin_after_the_sale_says_what_it_rests_on() {
    let why = |sale| {
        let found = delivered(sale).finding(1);
        (found.origin, found.origin_why)
    };
    let (origin, said) = why(vec![("", vec![mark("sound", "top")])]);
    assert_eq!(origin, Origin::AfterSale);
    assert!(
        said.ends_with("; picture 2 of 2 May 2026 says that the top was sound."),
        "{said}"
    );
    let (origin, said) = why(vec![("top_flat", vec![]), ("top_raking", vec![])]);
    assert_eq!(origin, Origin::AfterSale);
    assert!(
        said.ends_with(
            "; the top is in pictures 2 and 3 of 2 May 2026 (sale), and it is not marked there."
        ),
        "{said}"
    );
    let (origin, said) = why(vec![("scale_ref", vec![])]);
    assert_eq!(origin, Origin::Unknown);
    assert!(
        said.ends_with(
            "without it; the top is in picture 2 of 2 May 2026 (sale), which may not show the place."
        ),
        "{said}"
    );
}

/// A wider word that was taken back for the part itself bears nothing.
#[test]
fn a_wider_sound_bears_no_origin_of_a_part_spoken_of_otherwise() {
    let origin = |bought: Vec<Mark>| {
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &[], bought)
            .shoot(Stage::Work, "2026-04-10")
            .photo("", &[], vec![mark("bleed_through", "drawer-2/front")])
            .finding(1)
            .origin
    };
    let whole = || mark("sound", "drawer-2");
    assert_eq!(origin(vec![whole()]), Origin::BetweenLooks);
    assert_eq!(
        origin(vec![whole(), mark("not_examined", "drawer-2/front")]),
        Origin::Unknown
    );
}
