//! The order of the ways, and first coats.

use crate::advise::refinish::advice::Verdict;
use crate::advise::tests::words::SOLID;
use crate::advise::tests::words::top;
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
