//! Places on laid faces: what a picture shows of a place decides what is said of it, and contradictions are told.

use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Origin;
use crate::assess::places::sight::Share;
use crate::assess::places::told::Says;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::face::How;
use crate::model::face::LaidFace;
use crate::model::face::Lie;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::model::piece::Size;
use crate::model::region::Region;

/// The top of 1050 x 480 mm seen straight from above in a picture of 4032 x 3024 px, its corner at `from` (percent).
pub(super) fn top(from: [f64; 2], px_per_mm: f64) -> LaidFace {
    let [x, y] = from;
    let (w, h) = (1050.0 * px_per_mm / 40.32, 480.0 * px_per_mm / 30.24);
    LaidFace {
        face: "top".parse().unwrap(),
        lie: Lie::Corners([[x, y], [x + w, y], [x + w, y + h], [x, y + h]]),
        how: How::ByHand,
        size: None,
        at: None,
    }
}

pub(super) fn lay(face: LaidFace) -> impl FnOnce(&mut Photo) {
    move |photo| photo.sidecar.faces.push(face)
}

pub(super) fn chest() -> Build {
    let mut build = Build::chest();
    build.case.piece.size = Some(Size {
        height_mm: 900.0,
        width_mm: 1050.0,
        depth_mm: 480.0,
    });
    build
}

/// A gouge of 67 x 30 mm, new at the delivery, and a picture of the top from the sale with the top laid so.
pub(super) fn delivered(at_sale: Option<LaidFace>, view: &str) -> Build {
    let sale = chest()
        .shoot(Stage::Sale, "2026-05-02")
        .photo(view, &["top"], vec![]);
    let sale = match at_sale {
        Some(face) => sale.but(lay(face)),
        None => sale,
    };
    let gouge = mark("gouge", "top").within([20.0, 30.0, 5.0, 3.0]);
    sale.shoot(Stage::Delivery, "2026-05-25")
        .photo("defect_close", &["top"], vec![gouge])
        .but(lay(top([10.0, 20.0], 3.0)))
}

#[test]
fn a_mark_on_a_laid_face_has_its_place_in_mm() {
    let place = delivered(None, "").finding(1).place.unwrap();
    let [x, y, w, h] = place.bounds();
    let wanted = [
        10.0 * 40.32 / 3.0,
        10.0 * 30.24 / 3.0,
        5.0 * 40.32 / 3.0,
        3.0 * 30.24 / 3.0,
    ];
    for (got, wanted) in [x, y, w, h].into_iter().zip(wanted) {
        assert!((got - wanted).abs() < 1e-6, "{got}, not {wanted}");
    }
    assert!(
        place.uncertainty_mm > 1.0 && place.uncertainty_mm < 6.0,
        "{}",
        place.uncertainty_mm
    );
    assert_eq!(place.face.as_str(), "top");
}

#[test]
fn without_it_is_said_only_where_somebody_looked() {
    let build = delivered(Some(top([5.0, 10.0], 2.0)), "");
    let finding = build.finding(1);
    assert_eq!(finding.origin, Origin::AfterSale);
    assert_eq!(
        finding.origin_why,
        "It is first seen in picture 2 of 25 May 2026 (delivery); all of the place lies in picture 1 of 2 May 2026, at 2.0 px per mm, and it is not marked there."
    );
    let all = build.assess();
    let told = &all.places.findings[&FindingNo(1)];
    assert_eq!(told.last_without, None);
    assert_eq!(told.last_not_marked.unwrap().photo(), 1);
    assert_eq!(told.first_with.unwrap().photo, 2);
    let turned = |tag: &str| {
        let mut build = delivered(Some(top([5.0, 10.0], 2.0)), "");
        build.case.photos[0].sidecar.marks.push(mark(tag, "top"));
        build.assess().places.findings[&FindingNo(1)].clone()
    };
    assert_eq!(turned("sound").last_without.unwrap().lies().photo(), 1);
    // A vase stands on the place, and the sidecar says that nobody could look.
    assert_eq!(turned("not_examined").last_not_marked, None);
    let says: Vec<Says> = told.pictures.iter().map(|it| it.says).collect();
    assert_eq!(says, [Says::Nothing, Says::Marked]);
    let pair = all
        .pairs
        .iter()
        .find(|it| it.about == PairAbout::Finding(FindingNo(1)));
    let pair = pair.unwrap();
    assert_eq!(pair.before.photo, 1);
    assert!(!pair.may_miss(pair.before));
}

/// A picture in which nobody marked a fault says nothing of when it came: only words do.
#[test]
fn silence_before_the_work_is_no_look_at_the_part() {
    let sold = |said: Vec<Mark>| {
        chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("", &["top"], said)
            .but(lay(top([5.0, 10.0], 2.0)))
            .shoot(Stage::Sale, "2026-05-02")
            .photo(
                "",
                &["top"],
                vec![mark("white_mark", "top").within([20.0, 30.0, 5.0, 3.0])],
            )
            .but(lay(top([10.0, 20.0], 3.0)))
            .finding(1)
    };
    let silent = sold(Vec::new());
    assert_eq!(silent.origin, Origin::Unknown);
    assert_eq!(
        silent.origin_why,
        "It is first seen in picture 2 of 2 May 2026 (sale); no statement from before the work says that the top was sound; all of the place lies in picture 1 of 14 March 2026, at 2.0 px per mm, and it is not marked there."
    );
    assert_eq!(
        sold(vec![mark("sound", "top")]).origin,
        Origin::BetweenLooks
    );
}

/// A whole view by its name, which the laid face shows to leave the place out, bears nothing and is no before.
#[test]
fn a_picture_that_leaves_the_place_out_is_no_before_whatever_its_view() {
    for at in [[-60.0, -40.0], [92.0, 10.0]] {
        let build = delivered(Some(top(at, 3.0)), "top_flat");
        let finding = build.finding(1);
        assert_eq!(finding.origin, Origin::Unknown, "{}", finding.origin_why);
        assert_eq!(finding.sights[0].seen, Share::None);
        let pairs = build.assess().pairs;
        assert!(
            !pairs
                .iter()
                .any(|it| matches!(it.about, PairAbout::Finding(_)))
        );
        assert_eq!(
            build.assess().places.findings[&FindingNo(1)].last_not_marked,
            None
        );
    }
    // Where nothing is laid, the view counts as before.
    assert_eq!(
        delivered(None, "top_flat").finding(1).origin,
        Origin::AfterSale
    );
}

#[test]
fn part_of_a_place_or_too_few_pixels_are_not_enough() {
    // The left edge of the picture runs through the place, or within its uncertainty along it.
    for (at, said) in [
        (-12.0, "only part of the place"),
        (-9.98, "all of the place, but"),
    ] {
        let finding = delivered(Some(top([at, 10.0], 3.0)), "").finding(1);
        assert_eq!(
            finding.origin,
            Origin::Unknown,
            "{at}: {}",
            finding.origin_why
        );
        assert!(finding.origin_why.contains(said), "{}", finding.origin_why);
        assert!(
            finding
                .sights
                .iter()
                .all(|it| it.photo == 2 || it.whole().is_none())
        );
    }
    // 30 mm at 0.09 px per mm are less than 3 px.
    let small = delivered(Some(top([40.0, 40.0], 0.09)), "top_flat").finding(1);
    assert_eq!(small.origin, Origin::Unknown, "{}", small.origin_why);
    assert!(
        small.origin_why.contains("too small"),
        "{}",
        small.origin_why
    );
}

#[test]
fn a_mark_of_another_part_is_not_carried_onto_the_face() {
    let front = mark("gouge", "drawer-1/front").within([20.0, 30.0, 5.0, 3.0]);
    let leg = mark("gouge", "foot-front-left").within([20.0, 30.0, 5.0, 3.0]);
    let outside = mark("scratch_finish", "top").within([1.0, 1.0, 2.0, 2.0]);
    let build = chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &["top"], vec![front, leg, outside])
        .but(lay(top([10.0, 20.0], 3.0)));
    for finding in build.assess().findings {
        assert_eq!(finding.place, None, "{}", finding.part);
    }
}

#[test]
fn what_no_laid_picture_shows_is_counted_in_squares() {
    let half = top([-20.0, 10.0], 2.0);
    let build = chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &["top"], vec![])
        .but(lay(half));
    let all = build.assess();
    let [top] = all.places.coverage.as_slice() else {
        panic!("{:?}", all.places.coverage);
    };
    // 20 % of 4032 px at 2 px per mm are 403 mm of 1050: 10 of 24 columns are cut or out.
    let shown = top.cells.iter().flatten().count();
    assert_eq!((top.columns, top.rows), (24, 11));
    assert_eq!(shown, 14 * 11);
    assert!(top.cells.iter().flatten().all(|it| (it - 2.0).abs() < 0.02));
    assert_eq!(top.shoots.len(), 1);
}

/// A mark that its picture cuts off is not the whole of its fault: a smaller one that is not cut off gives the place.
#[test]
fn the_place_is_that_of_a_mark_that_its_picture_does_not_cut_off() {
    let near = mark("gouge", "top").within([0.0, 30.0, 5.0, 10.0]);
    let far = mark("gouge", "top").within([11.0, 30.0, 3.0, 6.0]);
    let build = chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &["top"], vec![near])
        .but(lay(top([-10.0, 20.0], 3.0)))
        .photo("", &["top"], vec![far])
        .but(lay(top([5.0, 20.0], 1.8)));
    let place = build.finding(1).place.unwrap();
    assert_eq!(place.from.photo, 2);
}

/// A line has no width of its own: from one px per mm on it shows, below that nothing is said.
#[test]
fn a_line_shows_from_one_pixel_for_each_mm_on() {
    let scratch = |px_per_mm: f64| {
        let line = Mark {
            region: Some(Region::Line(vec![[20.0, 30.0], [25.0, 33.0]])),
            ..mark("scratch_finish", "top")
        };
        chest()
            .shoot(Stage::Handover, "2026-05-20")
            .photo("", &["top"], vec![])
            .but(lay(top([5.0, 10.0], px_per_mm)))
            .shoot(Stage::Delivery, "2026-05-25")
            .photo("defect_close", &["top"], vec![line])
            .but(lay(top([10.0, 20.0], 3.0)))
            .finding(1)
            .origin
    };
    assert_eq!(scratch(1.1), Origin::AfterSale);
    assert_eq!(scratch(0.9), Origin::Unknown);
}

/// A later picture that has all of a place and says nothing of its fault is told of every fault, whenever it was first seen.
#[test]
fn a_later_silence_on_a_whole_place_is_told() {
    let sold = |view: LaidFace, marks: Vec<Mark>| {
        let gouge = mark("gouge", "top").within([20.0, 30.0, 5.0, 3.0]);
        let bought = chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("defect_close", &["top"], vec![gouge])
            .but(lay(top([10.0, 20.0], 3.0)));
        let sale = bought.shoot(Stage::Sale, "2026-05-02");
        let whole = sale.photo("", &["top"], marks).but(lay(view));
        whole.finding(1)
    };
    let all = || top([5.0, 10.0], 2.0);
    let it = sold(all(), vec![]);
    let silent = it.silent.last().unwrap();
    let since = it.not_told_since().map(|it| it.to_string());
    assert_eq!(since, Some(silent.text().to_string()));
    assert!(it.silent_since().is_none(), "it is told once");
    assert_eq!((silent.lies.photo(), silent.stage), (2, Stage::Sale));
    assert_eq!(
        silent.text(),
        "no mark of it in picture 2 of 2 May 2026, in which all of its place lies"
    );
    // Not all of the place, words on the part, or a mark of the fault: that is no such silence.
    let other = [
        sold(top([-60.0, 10.0], 2.0), vec![]),
        sold(all(), vec![mark("sound", "top")]),
        sold(all(), vec![mark("not_examined", "top")]),
        sold(
            all(),
            vec![crate::assess::tests::build::of(1).says("not_visible")],
        ),
    ];
    for (n, it) in other.iter().enumerate() {
        assert!(it.silent.is_empty(), "case {n}");
    }
}
