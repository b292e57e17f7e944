//! What holds for every plan.

use crate::advise::labour::area::Surfaces;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan::plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::schedule::DAY;
use crate::advise::labour::schedule::Job;
use crate::advise::labour::schedule::schedule;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::Choice;
use crate::advise::part::facts::Facts;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::monday;
use crate::advise::tests::made_up::settings;
use crate::assess::tests::build::Build;
use crate::trade;
use crate::trade::entry::repair::method::Phase;
use crate::trade::entry::repair::order::Reach;
use proptest::prelude::*;
use std::collections::BTreeSet;
const FAULTS: [&str; 14] = [
    "white_mark",
    "dent",
    "veneer_lift",
    "veneer_chip",
    "loose_joint",
    "runner_worn",
    "burn",
    "gouge",
    "scratch_finish",
    "worm_active",
    "lead_paint",
    "odour_musty",
    "wobble",
    "sun_fade",
];
const PLACES: [&str; 7] = [
    "top",
    "side-left",
    "drawer-1",
    "drawer-2/bottom",
    "drawer-1/runner-left",
    "foot-front-left",
    "back",
];
const PATHS: [&str; 9] = [
    "leave",
    "clean_wax",
    "touch_up",
    "revive",
    "french_polish",
    "strip_stain",
    "oil_wax",
    "fill_paint",
    "scuff_paint",
];
const SIZES: [Option<&str>; 6] = [
    None,
    Some("70 mm"),
    Some("3"),
    Some("20 %"),
    Some("long"),
    Some("2 m"),
];

type Fault = (usize, usize, u8, usize);

fn a_fault() -> impl Strategy<Value = Fault> {
    (0..FAULTS.len(), 0..PLACES.len(), 1_u8..=4, 0..SIZES.len())
}

/// A fault that only adds work: not one that tells what the part is made of, or that lead was found, which may spare other work.
fn only_work() -> impl Strategy<Value = Fault> {
    let tells = ["veneer_lift", "veneer_chip", "lead_paint"];
    a_fault().prop_filter("tells more than its own work", move |it| {
        !tells.contains(&FAULTS[it.0])
    })
}

fn with(faults: &[Fault]) -> Build {
    let named: Vec<_> = faults
        .iter()
        .map(|it| (FAULTS[it.0], PLACES[it.1], it.2))
        .collect();
    let mut build = chest_with(&named);
    for (mark, fault) in build.case.photos[0].sidecar.marks.iter_mut().zip(faults) {
        mark.size = SIZES[fault.3].map(str::to_owned);
        mark.which = Some(format!("{}-{}", fault.2, fault.3));
    }
    build
}

/// Any path on any part.
fn mixed(build: &Build, paths: &[usize]) -> (Plan, Vec<PartAdvice>) {
    let it = build.assess();
    let advice = advice(&it, &[]);
    let (book, settings) = (trade::book(), settings());
    let surfaces = Surfaces::of(&it, &advice, book);
    let facts = Facts::of_all(&it, book);
    let need = PlanInput::of(&it, &advice, &surfaces, &settings, book, &facts);
    let path = |n: usize| PATHS[paths[n % paths.len()]].to_owned();
    let choice: Choice = advice
        .iter()
        .enumerate()
        .map(|(n, it)| (it.part.clone(), path(n)))
        .collect();
    (plan(&need, &choice, monday()), advice)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_plan_breaks_a_rule_and_every_wait_is_kept(
        faults in prop::collection::vec(a_fault(), 0..7),
        paths in prop::collection::vec(0..PATHS.len(), 1..5),
        day in 10_i64..600,
    ) {
        let book = trade::book();
        let (plan, _) = mixed(&with(&faults), &paths);
        let ids: BTreeSet<&str> = plan.tasks.iter().map(|it| it.id.as_str()).collect();
        prop_assert_eq!(ids.len(), plan.tasks.len());
        for (late, then) in plan.tasks.iter().enumerate() {
            for rule in &book.orders {
                let is = |it: &Task, work: &crate::trade::entry::repair::order::Work| it.phase.is_some_and(|phase| work.holds(&it.method, phase));
                for first in &plan.tasks[late + 1..] {
                    let reaches = rule.reach == Reach::Piece || first.shares_part_with(then);
                    let wrong = is(first, &rule.first) && is(then, &rule.then) && reaches;
                    prop_assert!(!wrong, "{}: {} stands after {}", rule.id, first.id, then.id);
                }
            }
        }
        let hands = |it: &Task| if it.phase.is_none() { 0 } else { it.own_minutes().likely };
        let jobs: Vec<Job> = plan.tasks.iter().map(|it| Job { hands: hands(it), wait: it.wait_minutes.likely }).collect();
        let it = schedule(&jobs, &plan.edges, day);
        for edge in &plan.edges {
            prop_assert!(it.finish[edge.from] + jobs[edge.from].wait <= it.start[edge.to]);
        }
        // One pair of hands: no two tasks at once, and never outside the hours of work.
        let mut busy: Vec<usize> = (0..jobs.len()).filter(|at| jobs[*at].hands > 0).collect();
        busy.sort_by_key(|at| it.start[*at]);
        for pair in busy.windows(2) {
            prop_assert!(it.finish[pair[0]] <= it.start[pair[1]]);
        }
        for at in busy {
            prop_assert!(it.start[at] % DAY < day && (it.finish[at] - 1) % DAY < day);
            let nights = it.finish[at].saturating_sub(1) / DAY - it.start[at] / DAY;
            prop_assert_eq!(it.finish[at] - it.start[at] - nights * (DAY - day), jobs[at].hands);
        }
    }

    #[test]
    fn hours_are_the_sum_of_the_tasks_and_more_faults_are_never_less_work(
        faults in prop::collection::vec(a_fault(), 0..6),
        more in only_work(),
        paths in prop::collection::vec(0..PATHS.len(), 1..5),
    ) {
        let (before, _) = mixed(&with(&faults), &paths);
        let own: Spread = before.tasks.iter().map(Task::own_minutes).sum();
        prop_assert_eq!(own, before.hours.minutes);
        let cash: Spread = before.tasks.iter().filter_map(|it| it.cost).sum();
        prop_assert_eq!(cash, before.cost.minor);
        let grown: Vec<Fault> = faults.iter().copied().chain([more]).collect();
        let (after, _) = mixed(&with(&grown), &paths);
        let (a, b) = (before.hours.minutes, after.hours.minutes);
        prop_assert!(a.low <= b.low && a.likely <= b.likely && a.high <= b.high, "{a:?} {b:?}");
        prop_assert!(before.cost.minor.likely <= after.cost.minor.likely);
        prop_assert!(before.cost.bill_not_known.len() <= after.cost.bill_not_known.len());
        prop_assert!(after.days.likely.done <= after.days.likely.wrap);
        prop_assert!(after.tasks.iter().all(|it| it.phase != Some(Phase::Hold)));
    }
}
