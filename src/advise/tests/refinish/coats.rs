//! The order of the ways, and first coats.

use crate::advise::next::next;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::paths;
use crate::advise::tests::words::SOLID;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::advise::tests::words::top;
use crate::trade;
use Verdict::Open;
use Verdict::Shut;
use Verdict::Waiting;
/// Open first, then what a rule prefers, then the gentlest.
#[test]
fn the_best_comes_first() {
    let told = top(
        "end_grain_runs figure_both_sides crazing:3 fin_alcohol worth=ordinary refin_clean_corners",
    );
    let order: Vec<&str> = told.paths.iter().map(|it| it.path.as_str()).collect();
    assert_eq!(order[..3], ["revive", "leave", "clean_wax"]);
    assert!(told.paths.is_sorted_by_key(|it| it.verdict));
    assert!(told.path("revive").by("coat_flows_again"));
}

/// What was stripped and polished is not stripped again, nor is its coat tested, until something is wrong with it.
#[test]
fn a_coat_of_our_own_is_left_alone() {
    let done = "end_grain_runs figure_both_sides crazing:3 fin_neither worth=ordinary done=strip done=french_polish";
    let told = top(done);
    for path in [
        "strip_clear",
        "strip_stain",
        "oil_wax",
        "fill_paint",
        "french_polish",
    ] {
        let path = told.path(path);
        assert_eq!(path.verdict, Shut, "{}", path.path);
        assert!(path.by("own_finish"), "{}", path.path);
    }
    assert_eq!(told.paths[0].path, "leave");
    let scratched = top(&format!("{done} scratch_finish:2"));
    assert!(
        scratched.path("strip_clear").by("own_finish"),
        "a scratch is no reason to strip"
    );
    let worn = top(&format!("{done} flaking:3"));
    assert!(!worn.path("strip_clear").by("own_finish"));
    // Wax on bare wood is its coat; wax on a coat is not.
    let facts = |words: &str| facts(&chest(words).assess(), "top");
    let is =
        |words: &str, coat: &str| facts(words).answer(&format!("finish = {coat}").parse().unwrap());
    assert_eq!(
        is("crazing:2 done=strip done=wax_polish", "oilwax"),
        Truth::Yes
    );
    assert_eq!(
        is("crazing:2 done=french_polish done=wax_polish", "shellac"),
        Truth::Yes
    );
}

/// Looks that only work needs are asked for while there is work.
#[test]
fn what_is_done_or_sold_asks_for_nothing_more() {
    let codes = |words: &str, sold: bool| -> Vec<&'static str> {
        let told = chest(words).assess();
        let steps = next(&told, &paths(&told, trade::book()), trade::book(), sold);
        steps.iter().map(|it| it.code).collect()
    };
    assert!(codes("crazing:2", false).contains(&"look"));
    assert!(codes("crazing:2", false).contains(&"plan"));
    assert!(!codes("crazing:2", true).contains(&"look"));
    assert!(!codes("crazing:2", true).contains(&"plan"));
    let done = codes("crazing:2 done=reamalgamate", false);
    assert!(
        !done.contains(&"look") && !done.contains(&"plan"),
        "{done:?}"
    );
    assert!(done.contains(&"show_repair"));
}

/// What is not told of its worth holds back what cannot be undone, until a sign of a later coat or a late clue frees it.
#[test]
fn a_first_finish_is_kept_until_something_tells_otherwise() {
    let solid = format!("{SOLID} fin_alcohol");
    let untold = top(&solid);
    let strip = untold.path("strip_clear");
    assert_eq!(strip.verdict, Waiting);
    assert!(strip.look.iter().any(|it| it.contains("--worth")));
    assert_eq!(
        top(&format!("{solid} refin_clean_corners"))
            .path("strip_clear")
            .verdict,
        Open
    );
    assert_eq!(
        top(&format!("{solid} worth=ordinary drawer-1!dovetail_machine"))
            .path("strip_clear")
            .verdict,
        Open
    );
    let late = top(&format!("{solid} drawer-1!cam_locks"));
    assert_eq!(late.path("strip_clear").verdict, Open, "later than 1950");
    let fine = top(&format!(
        "{solid} patina_kept worth=fine drawer-1!cam_locks"
    ));
    assert!(
        fine.path("strip_clear").verdict == Shut
            && fine.path("strip_clear").by("first_finish_fine")
    );
    assert_eq!(fine.path("leave").verdict, Open);
}
