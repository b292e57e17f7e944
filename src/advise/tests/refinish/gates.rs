//! What comes before any finish: beetle, lead, structure, a look.

use crate::advise::refinish::advice::Lead;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::paths;
use crate::advise::tests::words::advice;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::advise::tests::words::top;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::photo::Stage;
use crate::trade;

use Verdict::AfterWork;
use Verdict::Open;
use Verdict::Waiting;

#[test]
fn live_woodworm_comes_first_on_the_whole_piece() {
    let told = advice(
        &chest("drawer-5/bottom!worm_active:2 fin_alcohol").assess(),
        "top",
    );
    for path in &told.paths {
        assert_ne!(path.verdict, Open, "{}", path.path);
    }
    // Nor is it carried into the shop of somebody else before.
    assert_eq!(told.path("specialist").verdict, AfterWork);
    let leave = told.path("leave");
    assert_eq!(leave.verdict, AfterWork);
    assert_eq!(leave.opening_work, ["quarantine", "watch_again"]);
    assert!(leave.opened_by[0].contains("two watches"));
    let says = |build: Build, day: &str, word: &str| {
        let said = mark("worm_active", "drawer-5/bottom").which("");
        let build = build.shoot(Stage::Work, day);
        build.photo("", &[], vec![said.says(word)])
    };
    let verdict = |build: &Build| advice(&build.assess(), "top").path("leave").verdict;
    let found = chest("drawer-5/bottom!worm_active:2 fin_alcohol");
    // A word alone ends no live beetle, nor does its treatment alone.
    assert_eq!(
        verdict(&says(found.clone(), "2026-05-02", "repaired")),
        AfterWork
    );
    let mut treated = found.repair("2026-05-02", &[1]);
    "insect_freeze".clone_into(&mut treated.case.repairs[0].method);
    assert_eq!(verdict(&treated), AfterWork);
    let once = says(treated, "2026-05-16", "gone");
    assert_eq!(verdict(&once), AfterWork);
    assert_eq!(verdict(&says(once, "2026-05-30", "gone")), Open);
}

#[test]
fn untested_old_paint_lets_nothing_sand() {
    let told = top("overpaint:2 end_grain_runs figure_both_sides worth=ordinary");
    for path in ["strip_clear", "strip_stain", "oil_wax", "fill_paint"] {
        let path = told.path(path);
        assert_eq!(path.verdict, Waiting, "{}", path.path);
        let asks = |it: &String| it.starts_with("Have a sample through all layers tested");
        assert!(path.look.iter().any(asks), "{:?}", path.look);
    }
    assert_eq!(
        told.path("scuff_paint").verdict,
        Open,
        "sealing it in is left"
    );
    for step in [
        "Do not sand it dry.",
        "Do not use a power sander.",
        "Do not use a heat gun.",
        "Do not burn it off.",
    ] {
        assert!(told.never.contains(&step.to_owned()), "{step}");
    }
    let old = top("overpaint:2 end_grain_runs figure_both_sides drawer-1!pin_and_cove");
    let paint = old.path("fill_paint");
    assert_eq!(paint.verdict, Waiting);
    assert!(paint.opened_by[0].contains("laboratory"));
    let tested =
        top("overpaint:2 lead_paint:1 end_grain_runs figure_both_sides fin_neither worth=ordinary");
    assert_eq!(tested.path("fill_paint").verdict, Open);
    assert!(!tested.never.contains(&"Do not sand it dry.".to_owned()));
    // Nothing tells that a side is not painted; on veneer that is there to be seen, it would be marked.
    let side = advice(&chest("").assess(), "side-left");
    assert_eq!(side.path("fill_paint").verdict, Waiting);
    assert!(
        side.path("fill_paint")
            .look
            .iter()
            .any(|it| it.contains("mark it as paint"))
    );
    let veneered = advice(
        &chest("side-left!layer_line side-left!refin_clean_corners drawer-1!dovetail_machine")
            .assess(),
        "side-left",
    );
    assert_eq!(veneered.path("fill_paint").verdict, Open);
}

#[test]
fn structure_comes_before_surface() {
    let told = advice(&chest("frame!loose_joint:3 frame!end_grain_runs frame!figure_both_sides frame!fin_alcohol frame!refin_clean_corners").assess(), "frame");
    for path in ["strip_clear", "fill_paint", "touch_up", "revive"] {
        let path = told.path(path);
        assert_eq!(path.verdict, AfterWork, "{}", path.path);
        assert!(path.by("loose_structure") && path.opened_by.len() == 1);
    }
    assert_eq!(told.path("leave").verdict, Open);
    assert_eq!(told.paths[0].verdict, Open);
}

#[test]
fn nobody_looked_means_look_first() {
    let build = chest("back!layer_line side-right!layer_line");
    let told = advice(&build.assess(), "side-right");
    for path in &told.paths {
        assert!(
            path.verdict != Open && path.verdict != AfterWork,
            "{}",
            path.path
        );
    }
    let leave = told.path("leave");
    assert_eq!(
        (leave.verdict, leave.look[0].as_str()),
        (Waiting, "Look at the part first.")
    );
    let said = build
        .clone()
        .photo("", &[], vec![mark("not_examined", "side-right")]);
    assert_eq!(
        advice(&said.assess(), "side-right").path("leave").verdict,
        Waiting
    );
    let gone = build
        .photo("", &[], vec![mark("absent", "side-left")])
        .assess();
    let parts: Vec<String> = paths(&gone, trade::book())
        .iter()
        .map(|it| it.part.to_string())
        .collect();
    assert!(
        !parts.contains(&"side-left".to_owned()),
        "what is not there gets no advice"
    );
    assert!(
        !parts.contains(&"back".to_owned()),
        "a back is not finished"
    );
    assert_eq!(parts[..3], ["top", "side-right", "frame"]);
    assert!(
        parts.contains(&"drawer-5".to_owned()) && parts.contains(&"foot-front-left".to_owned())
    );
}

/// Lead that a test found lies in the coat: sealing it in, or the word that it is repaired, takes none of it off.
#[test]
fn lead_that_was_found_stays_until_its_coat_is_off_or_a_test_finds_none() {
    let lead = |build: &Build| facts(&build.assess(), "top").lead();
    let done = |method: &str| {
        let mut build = chest("lead_paint:4 overpaint:2").repair("2026-05-10", &[1, 2]);
        method.clone_into(&mut build.case.repairs[0].method);
        build
    };
    let says = |build: Build, word: &str| {
        let said = mark("lead_paint", "top").says(word);
        let build = build.shoot(Stage::Sale, "2026-06-01");
        build.photo("", &[], vec![said])
    };
    let sealed = done("lead_safe");
    assert_eq!(lead(&sealed), Lead::Found);
    assert_eq!(lead(&says(sealed.clone(), "repaired")), Lead::Found);
    assert_eq!(lead(&says(sealed, "gone")), Lead::NotSuspected);
    assert_eq!(lead(&done("strip")), Lead::NotSuspected);
}
