//! Orders of the user's own, and the days of a plan.

use super::plan::plan_of;
use crate::advise::labour::order::OwnLine;
use crate::advise::labour::order::check_order;
use crate::advise::labour::schedule::DAY;
use crate::advise::labour::schedule::Job;
use crate::advise::labour::schedule::network::Edge;
use crate::advise::labour::schedule::schedule;
use crate::advise::tests::made_up::chest;
use crate::advise::tests::made_up::chest_with;
use crate::trade;
#[test]
fn an_order_of_ones_own_is_held_against_the_rules() {
    let book = trade::book();
    let plan = plan_of(&chest_with(&[("veneer_lift", "top", 2)]), "strip_stain");
    let line = |text: &str| {
        let (method, part) = text.split_once(' ').unwrap_or((text, ""));
        OwnLine {
            method: method.to_owned(),
            part: part.parse().ok(),
        }
    };
    let own: Vec<OwnLine> = [
        "record",
        "dismantle",
        "strip top",
        "veneer_relay top",
        "sand side-left",
        "paint top",
    ]
    .map(line)
    .into();
    let said = check_order(&plan.tasks, &own, &[], book);
    let broken: Vec<String> = said
        .broken
        .iter()
        .map(|it| format!("{}: {} before {}", it.id, it.first, it.then))
        .collect();
    assert_eq!(
        broken,
        [
            "structure_before_strip: veneer_relay top before strip top",
            "relay_before_abrasive: veneer_relay top before strip top",
            "prime_before_paint: prime_block before paint top",
        ]
    );
    assert!(
        said.left_out.contains(&"stain".to_owned()) && !said.left_out.contains(&"strip".to_owned())
    );
    assert_eq!(said.not_in_plan, ["paint top"]);
    // The plan's own order breaks none.
    let lines: Vec<OwnLine> = plan
        .tasks
        .iter()
        .map(|it| OwnLine {
            method: it.method.clone(),
            part: it.parts.first().cloned(),
        })
        .collect();
    assert!(
        check_order(&plan.tasks, &lines, &[], book)
            .broken
            .is_empty()
    );
}

/// The materials of a path that the book tells for 2.6 m2 hold those of its steps, counted one by one.
#[test]
fn two_figures_of_the_book_for_materials_agree() {
    let book = trade::book();
    for path in book.paths.iter().filter(|it| !it.steps.is_empty()) {
        let plan = plan_of(&chest(), &path.id);
        let [_, _, high] = path.materials;
        let likely = plan.cost.minor.likely as f64 / 100.0;
        // The dearest one: a whole sheet of veneer on every part, which nobody orders, is counted up to the edge.
        assert!(
            likely <= high * 1.02 && likely >= path.materials[0] * 0.7,
            "{}: {likely} of {:?}",
            path.id,
            path.materials
        );
    }
}

#[test]
fn a_day_s_end_cuts_work_and_waits_run_on() {
    let job = |hands, wait| Job { hands, wait };
    let after = |from, to| Edge { from, to, lag: 0 };
    // 4 h at 3 h a day, then 24 h of wait, then an hour.
    let jobs = [job(240, DAY), job(60, 0)];
    let it = schedule(&jobs, &[after(0, 1)], 180);
    assert_eq!((it.finish[0], it.start[1]), (DAY + 60, 2 * DAY + 60));
    assert_eq!(it.work_days, 3);
    // Work that waits for nothing fills the gap, and the longest way comes first.
    let jobs = [job(60, 0), job(60, DAY), job(60, 0)];
    let it = schedule(&jobs, &[after(1, 2)], 180);
    assert_eq!(it.order, [1, 0, 2]);
    assert_eq!(it.work_days, 2);
}
