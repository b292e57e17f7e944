//! Cases of the trade, part by part. Common practice, no source.

use crate::advise::refinish::advice::Fits;
use crate::advise::refinish::advice::Verdict;
use crate::advise::tests::words::SOLID;
use crate::advise::tests::words::advice;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::top;

use Verdict::AfterWork;
use Verdict::Open;
use Verdict::Shut;
use Verdict::Waiting;

/// Paths that sand or strip.
pub(super) const TAKES_OFF: [&str; 4] = ["french_polish", "strip_clear", "strip_stain", "oil_wax"];

#[test]
fn thin_exposed_veneer_may_be_painted_and_nothing_else_that_changes_its_look() {
    let told = top(
        "layer_line=0.4_mm worn_through:3 veneer_sand_through:1 fin_alcohol worth=ordinary drawer-1!dovetail_machine",
    );
    for path in TAKES_OFF {
        let path = told.path(path);
        assert_eq!(path.verdict, Shut, "{}", path.path);
        assert!(!path.reasons.is_empty());
    }
    for path in ["fill_paint", "scuff_paint", "replace_veneer", "leave"] {
        assert_eq!(told.path(path).verdict, Open, "{path}");
    }
    let sanding = told.sanding.unwrap();
    assert_eq!(
        (sanding.lowest_mm, sanding.reserve_mm, sanding.budget_mm),
        (Some(0.4), 0.3, 0.0),
        "sanded through once, so nothing more comes off"
    );
    assert!(sanding.runs.iter().all(|it| it.fits == Fits::No));
    assert!(sanding.bears.contains("colour or paint") || sanding.bears.contains("Colour or paint"));
    assert!(
        told.never
            .contains(&"Do not use a power sander.".to_owned())
    );
}

/// Wax takes nothing off: it may be chosen over a stain in the wood, which stays and is told.
#[test]
fn a_stain_in_the_wood_does_not_shut_cleaning_and_waxing() {
    for coat in ["fin_bare", "fin_alcohol"] {
        let told = top(&format!(
            "end_grain_runs figure_both_sides {coat} dark_stain:3"
        ));
        let path = told.path("clean_wax");
        assert_eq!(
            (path.verdict, path.leaves.len()),
            (Open, 1),
            "{coat}: {path:?}"
        );
    }
}

/// Told to be thin, without a number: it is known to be thin, and only the number is asked.
#[test]
fn face_wood_that_is_told_to_be_thin_is_asked_for_its_number_alone() {
    let told = top("veneer_thin fin_alcohol drawer-1!dovetail_machine refin_smell");
    let sanding = told.sanding.as_ref().unwrap();
    assert_eq!((sanding.lowest_mm, sanding.at_most_mm), (None, Some(0.9)));
    let looks: Vec<&String> = told.paths.iter().flat_map(|it| &it.look).collect();
    assert!(
        !looks
            .iter()
            .any(|it| it.starts_with("Measure the face wood at three open edges, and write")),
        "{looks:?}"
    );
    assert!(
        looks
            .iter()
            .any(|it| it.starts_with("Tell how thick the face wood is")),
        "{looks:?}"
    );
    let sanding = top("veneer_thin=0.6_mm fin_alcohol").sanding.unwrap();
    assert_eq!((sanding.lowest_mm, sanding.at_most_mm), (Some(0.6), None));
}

/// Not measured is never better than thin.
#[test]
fn face_wood_that_was_not_measured_waits() {
    let told = top("layer_line fin_alcohol drawer-1!dovetail_machine refin_smell");
    for path in ["strip_clear", "strip_stain", "french_polish"] {
        let path = told.path(path);
        assert_eq!(path.verdict, Waiting, "{}", path.path);
        assert_eq!(
            path.look,
            ["Measure the face wood at three open edges, and write down the lowest."]
        );
    }
    let sanding = told.sanding.as_ref().unwrap();
    assert_eq!((sanding.lowest_mm, sanding.budget_mm), (None, 0.0));
    assert!(
        told.never
            .contains(&"Do not use a power sander.".to_owned())
    );
    assert_eq!(told.path("oil_wax").verdict, Shut, "no thickness opens it");
    assert_eq!(
        told.path("oil_wax").reasons[0].why,
        "This is no way for veneer."
    );
    // Signs of earlier sanding, or a bound, count without a number.
    assert_eq!(
        top("layer_line refin_thin_veneer fin_alcohol")
            .path("strip_clear")
            .verdict,
        Shut
    );
    assert_eq!(
        top("layer_line=0.7_mm refin_thin_veneer fin_alcohol")
            .path("strip_clear")
            .verdict,
        Shut
    );
    let thick = top("veneer_thick fin_alcohol worth=ordinary drawer-1!dovetail_machine");
    assert_eq!(thick.path("french_polish").verdict, Open);
    assert_eq!(thick.sanding.unwrap().lowest_mm, Some(1.2));
    assert_eq!(
        top("veneer_thin fin_alcohol").path("french_polish").verdict,
        Waiting
    );
    // The lowest of several counts.
    let told = top("veneer_thick=1.4_mm veneer_thin=0.8_mm fin_alcohol");
    assert_eq!(told.sanding.unwrap().lowest_mm, Some(0.8));
}

/// The worked figures of the book: 0.6 mm bears 150-180-220, and 120-150-180 would take more than half of it.
#[test]
fn the_sanding_budget_is_what_must_not_stay_and_never_more_than_one_sanding_takes() {
    for (mm, fits) in [
        // A light sanding by hand takes 0.05 to 0.1 mm: a thin face bears that once (common practice, no source).
        ("0.4", [Fits::No, Fits::No, Fits::No, Fits::No]),
        ("0.5", [Fits::No, Fits::No, Fits::Tight, Fits::Fits]),
        ("0.6", [Fits::No, Fits::Tight, Fits::Tight, Fits::Fits]),
        ("0.9", [Fits::Tight, Fits::Fits, Fits::Fits, Fits::Fits]),
        ("0.3", [Fits::No, Fits::No, Fits::No, Fits::No]),
    ] {
        let told = top(&format!("layer_line={mm}_mm")).sanding.unwrap();
        let got: Vec<Fits> = told.runs.iter().map(|it| it.fits).collect();
        assert_eq!(got, fits, "{mm}");
    }
    assert!(top(SOLID).sanding.is_none());
    // Plywood has a face as well: its rule alone would open this.
    let told = top("ply_layers fin_alcohol worth=ordinary refin_clean_corners");
    assert_eq!(told.path("strip_stain").verdict, Waiting);
    let thin = top("ply_layers=0.32_mm fin_alcohol worth=ordinary refin_clean_corners");
    let strip = thin.path("strip_clear");
    assert_eq!(strip.verdict, Shut);
    assert_eq!(
        strip.reasons[0].why,
        "Of 0.32 mm of face wood 0.3 mm must stay: what is left bears no run of grits."
    );
}

#[test]
fn blistered_veneer_is_filled_or_built_again_and_then_painted() {
    let told = top(
        "layer_line=0.6_mm veneer_blister:4 veneer_ripple:3 fin_alcohol worth=ordinary drawer-1!dovetail_machine",
    );
    for path in ["revive", "clean_wax", "fill_paint"] {
        assert!(
            told.path(path).verdict == AfterWork && told.path(path).by("sheet_let_go"),
            "{path}: first the sheet is laid down again"
        );
    }
    assert_eq!(told.path("replace_veneer").verdict, Open);
    let new = told.path("replace_veneer");
    assert_eq!((new.removes.len(), new.leaves.len()), (2, 0));
    assert_eq!(
        told.path("fill_paint").leaves.len(),
        2,
        "paint alone takes no blister away"
    );
}

#[test]
fn rings_and_a_peeling_coat_are_faults_of_the_finish() {
    let told = top(
        "end_grain_runs figure_both_sides white_mark:2 flaking:3 residue:2 fin_alcohol worth=ordinary refin_clean_corners",
    );
    let paint = told.path("fill_paint");
    assert_eq!(paint.verdict, Open);
    assert_eq!((paint.removes.len(), paint.hides.len()), (2, 1));
    assert_eq!(
        told.path("scuff_paint").verdict,
        Shut,
        "a loose coat carries no paint"
    );
    assert_eq!(
        told.path("strip_stain").verdict,
        Open,
        "the coat comes off for its own sake, not for the mark"
    );
    assert_eq!(told.path("strip_clear").verdict, Open);
    assert_eq!(told.path("strip_clear").removes.len(), 2);
    // What stays or is only hidden is told, from level 2 on or earlier.
    assert_eq!(paint.tell.len(), 1);
    assert!(told.path("leave").tell.len() == 3 && told.path("leave").removes.is_empty());
}

#[test]
fn a_chip_in_the_veneer_is_small_under_paint() {
    let told =
        top("layer_line=0.6_mm veneer_chip:2 fin_alcohol worth=ordinary refin_clean_corners");
    assert_eq!(told.path("fill_paint").removes.len(), 1);
    assert!(told.path("fill_paint").tell.is_empty());
    assert_eq!(told.path("touch_up").hides.len(), 1);
    assert_eq!(told.path("touch_up").tell.len(), 1);
}

#[test]
fn what_it_is_made_of_decides_only_when_it_is_known() {
    let told = top("fin_alcohol refin_clean_corners book_match drawer-1!dovetail_machine");
    for path in ["clean_wax", "scuff_paint", "fill_paint", "leave"] {
        assert_eq!(
            told.path(path).verdict,
            Open,
            "{path}: every material bears it"
        );
    }
    for path in ["touch_up", "revive", "strip_clear", "patch_veneer"] {
        let path = told.path(path);
        assert_eq!(path.verdict, Waiting, "{}", path.path);
        assert!(
            path.look[0].contains("the back edge of the top"),
            "{}: {:?}",
            path.path,
            path.look
        );
    }
    let reasons = |path: &str| {
        let reasons = told.path(path).reasons.iter();
        reasons.map(|it| it.why.clone()).collect::<Vec<String>>()
    };
    assert_eq!(
        reasons("patch_veneer"),
        [
            "It may be a plastic covering, fibre board, particle board, plywood, a printed grain or solid wood, and this is no way for that."
        ]
    );
    assert!(reasons("revive")[0].starts_with("If it is fibre board or particle board: "));
    let covered = top("dots_or_no_pores chip_shows_paper worth=ordinary drawer-1!dovetail_machine");
    assert_eq!(
        covered.with(Open),
        [
            "leave",
            "clean_wax",
            "touch_up",
            "fill_paint",
            "scuff_paint",
            "specialist",
            "donor"
        ]
    );
}

#[test]
fn the_drawer_is_judged_by_its_front() {
    let words = "drawer-1/front!layer_line=0.6_mm drawer-1/front!white_mark:2 drawer-1/front!fin_alcohol drawer-1/bottom!gouge:3";
    let told = advice(&chest(words).assess(), "drawer-1");
    assert_eq!(told.path("clean_wax").hides.len(), 1);
    assert_eq!(
        told.path("clean_wax").leaves.len(),
        1,
        "the bottom is left as it is"
    );
    assert_eq!(
        told.path("fill_paint").leaves.len(),
        1,
        "and so it is by paint on the front"
    );
    assert_eq!(told.sanding.unwrap().lowest_mm, Some(0.6));
}
