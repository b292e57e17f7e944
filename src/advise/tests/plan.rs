//! Plans: what is in them, in which order, and when.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::made_up::advice;
use super::made_up::chest;
use super::made_up::chest_with;
use super::made_up::monday;
use super::made_up::settings;
use crate::advise::labour::area::Surfaces;
use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::network::Edge;
use crate::advise::labour::network::order;
use crate::advise::labour::order::OwnLine;
use crate::advise::labour::order::check_order;
use crate::advise::labour::order::phase_of;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan::plan;
use crate::advise::labour::schedule::DAY;
use crate::advise::labour::schedule::Job;
use crate::advise::labour::schedule::schedule;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::Choice;
use crate::advise::labour::tasks::Need;
use crate::advise::labour::tasks::Trust;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::model::piece::Size;
use crate::model::settings::Settings;
use crate::trade;
use crate::trade::method::Phase;
use crate::trade::order::Reach;

/// A plan in which every part takes the same path.
fn planned(it: &Assessment, advice: &[PartAdvice], settings: &Settings, path: &str) -> Plan {
    let book = trade::book();
    let surfaces = Surfaces::of(it, advice, book);
    let need = Need {
        it,
        advice,
        surfaces: &surfaces,
        settings,
        book,
        trust: Trust::Open,
    };
    let choice: Choice = advice
        .iter()
        .map(|it| (it.part.clone(), path.to_owned()))
        .collect();
    plan(&need, &choice, monday())
}

fn plan_of(build: &Build, path: &str) -> Plan {
    let it = build.assess();
    planned(&it, &advice(&it, &[]), &settings(), path)
}

fn ids(plan: &Plan) -> Vec<&str> {
    plan.tasks.iter().map(|it| it.id.as_str()).collect()
}

fn task<'a>(plan: &'a Plan, id: &str) -> &'a Task {
    let found = plan.tasks.iter().find(|it| it.id == id);
    found.unwrap_or_else(|| panic!("no {id} in {:?}", ids(plan)))
}

#[test]
fn the_rules_of_order_and_the_steps_of_the_paths_make_no_ring() {
    let book = trade::book();
    let base = book.offer.base_work.iter().map(|it| it.id.as_str());
    let methods: Vec<&str> = book
        .methods
        .iter()
        .map(|it| it.id.as_str())
        .chain(base)
        .collect();
    let mut edges = Vec::new();
    for (from, first) in methods.iter().enumerate() {
        for (to, then) in methods.iter().enumerate() {
            let (Some(a), Some(b)) = (phase_of(first, book), phase_of(then, book)) else {
                continue;
            };
            let ruled = book
                .orders
                .iter()
                .any(|it| it.first.holds(first, a) && it.then.holds(then, b));
            let stepped = book.paths.iter().any(|it| {
                let at = |method: &str| it.steps.iter().position(|it| it.method == method);
                matches!((at(first), at(then)), (Some(a), Some(b)) if a < b)
            });
            if ruled || stepped {
                edges.push(Edge { from, to, lag: 0 });
            }
        }
    }
    assert!(edges.len() > 1000);
    let ring = order(methods.len(), &edges).err();
    let named = ring.map(|it| it.0.iter().map(|at| methods[*at]).collect::<Vec<_>>());
    assert_eq!(named, None);
}

/// Base work of the trade book's worked figures: 2.7/5.4/11.9 h for a four-drawer chest (an estimate of the book itself).
#[test]
fn every_piece_costs_the_base_work() {
    let plan = plan_of(&chest(), "leave");
    assert_eq!(
        ids(&plan),
        [
            "collect",
            "record",
            "dismantle",
            "drawers",
            "refit",
            "record_after",
            "handover"
        ]
    );
    assert_eq!(
        plan.hours.minutes,
        Spread {
            low: 162,
            likely: 324,
            high: 714
        }
    );
    assert_eq!(task(&plan, "drawers").quantity, Quantity::count(4));
    // Fetching and handing over take none of the plan's days: 3.1 h + 0.6 h of the rest at 3 h a day.
    assert_eq!(plan.days.likely.work_days, 2);
    assert_eq!(
        (
            plan.days.likely.done.to_string(),
            plan.days.likely.wrap.to_string()
        ),
        ("2026-06-02".to_owned(), "2026-06-02".to_owned())
    );
}

/// Surface work of the worked figures: strip 3.9, sand 2.08, stain 1.3, three coats 2.73 h for 2.6 m2; clean 1 h.
#[test]
fn a_path_costs_its_steps_by_the_square_metre() {
    let plan = plan_of(&chest(), "strip_stain");
    let surface = [
        "clean",
        "strip",
        "sand",
        "stain",
        "topcoat-1",
        "topcoat-2",
        "topcoat-3",
    ];
    let got: Vec<&str> = ids(&plan)
        .into_iter()
        .filter(|it| surface.contains(it))
        .collect();
    assert_eq!(got, surface);
    let area = task(&plan, "strip").quantity.milli;
    assert!(
        (area - 2600).abs() <= 8,
        "{area}: parts are rounded one by one"
    );
    let minutes: i64 = surface
        .iter()
        .map(|it| task(&plan, it).minutes.likely)
        .sum();
    let want = 60.0 * (1.0 + 2.6 * (1.5 + 0.8 + 0.5 + 3.0 * 0.35));
    assert!((minutes as f64 - want).abs() < 6.0, "{minutes} of {want}");
    assert!(
        plan.assumed.iter().any(|it| it.contains("2.6 m2")),
        "{:?}",
        plan.assumed
    );
    // The wait and hold of the worked figures: 2.6 days of waits, then shellac or varnish hardens a week (168 h).
    let days = monday().days_to(plan.days.likely.wrap);
    assert!((10..=14).contains(&days), "{days}");
    let last = plan.days.chain.last().unwrap();
    assert_eq!(
        (last.task.as_str(), last.then_waits_minutes),
        ("topcoat-3", 168 * 60)
    );
    assert!(
        plan.days
            .chain
            .iter()
            .any(|it| it.task == "stain" && it.then_waits_minutes == 24 * 60),
        "{:?}",
        plan.days.chain
    );
}

#[test]
fn a_measured_piece_has_the_surface_of_its_sides() {
    let mut build = chest();
    build.case.piece.size = Some(Size {
        height_mm: 900.0,
        width_mm: 1000.0,
        depth_mm: 500.0,
    });
    let it = build.assess();
    let surfaces = Surfaces::of(&it, &advice(&it, &[]), trade::book());
    let of = |part: &str| surfaces.get(&part.parse().unwrap()).unwrap().milli;
    assert_eq!(
        (of("top"), of("side-left"), of("side-right")),
        (500, 450, 450)
    );
    // 70 % of 0.9 m2 for four drawers.
    assert_eq!((of("drawer-1"), of("drawer-1/front")), (158, 158));
    assert_eq!(surfaces.assumed, None);
}

#[test]
fn a_path_that_removes_a_fault_needs_no_repair_of_it_and_one_that_hides_it_does() {
    let faults = [
        ("white_mark", "top", 2),
        ("veneer_lift", "side-left", 2),
        ("veneer_chip", "side-right", 2),
    ];
    let build = chest_with(&faults);
    let painted = plan_of(&build, "fill_paint");
    assert!(!ids(&painted).contains(&"white_mark"));
    // Loose veneer is hidden by paint, but must be down first.
    assert_eq!(task(&painted, "veneer_relay").findings.len(), 1);
    // A chip is filled, not patched: the path's own filling does it.
    assert!(!ids(&painted).contains(&"veneer_patch"));
    assert_eq!(task(&painted, "twopart_fill").findings.len(), 1);
    let waxed = plan_of(&build, "clean_wax");
    for id in ["white_mark", "veneer_relay", "veneer_patch"] {
        assert_eq!(task(&waxed, id).findings.len(), 1, "{id}");
    }
    let order = ids(&painted);
    let at = |id: &str| order.iter().position(|it| *it == id).unwrap();
    assert!(
        at("veneer_relay") < at("sand")
            && at("sand") < at("prime_block")
            && at("prime_block") < at("paint-1")
    );
}

#[test]
fn traces_of_looks_are_left_alone_and_said() {
    let faults = [
        ("dent", "top", 1),
        ("loose_joint", "drawer-1", 1),
        ("cut_down", "case", 3),
        ("lead_paint", "top", 1),
    ];
    let plan = plan_of(&chest_with(&faults), "clean_wax");
    assert!(ids(&plan).contains(&"reglue_joint"));
    let left: Vec<String> = plan
        .left
        .iter()
        .map(|it| format!("{}: {}", it.what, it.why))
        .collect();
    assert_eq!(
        left,
        [
            "Dent, Top: a trace, and only a matter of looks",
            "Cut down or altered, Case: nothing mends it; it is told to the buyer",
            "Lead paint present or not excluded, Top: a test found none",
        ]
    );
}

#[test]
fn a_specialist_is_named_and_costs_no_hours_of_ours() {
    let with = plan_of(&chest_with(&[("lead_paint", "top", 2)]), "clean_wax");
    let without = plan_of(&chest(), "clean_wax");
    assert_eq!(with.hours.minutes, without.hours.minutes);
    assert_eq!(
        with.cost.bill_not_known,
        ["Lead-safe handling, by a specialist"]
    );
    let mut priced = settings();
    priced
        .prices
        .insert("lead_safe".to_owned(), super::made_up::eur(150));
    let it = chest_with(&[("lead_paint", "top", 2)]).assess();
    let plan = planned(&it, &advice(&it, &[]), &priced, "clean_wax");
    assert!(plan.cost.bill_not_known.is_empty());
    assert_eq!(plan.cost.minor.likely - without.cost.minor.likely, 15_000);
}

#[test]
fn lengths_and_counts_are_taken_from_the_measure() {
    let mut build = chest_with(&[
        ("veneer_lift", "top", 3),
        ("veneer_lift", "side-left", 2),
        ("blocks_missing", "case", 2),
    ]);
    let marks = &mut build.case.photos[0].sidecar.marks;
    marks[0].size = Some("500 mm".to_owned());
    marks[2].size = Some("4".to_owned());
    let plan = plan_of(&build, "clean_wax");
    // 500 mm are 2.5 steps of 200 mm; the other edge was not measured.
    assert_eq!(task(&plan, "veneer_relay").quantity, Quantity::of(3.5));
    assert_eq!(task(&plan, "glue_blocks").quantity, Quantity::count(4));
    assert_eq!(
        plan.assumed.first().unwrap(),
        "F2: not measured, 200 mm counted"
    );
}

#[test]
fn own_hours_and_prices_take_the_place_of_the_books() {
    let it = chest_with(&[("runner_worn", "drawer-1/runner-left", 3)]).assess();
    let mut own = settings();
    own.hours.insert("runner".to_owned(), [1.0, 2.0, 3.0]);
    own.prices
        .insert("runner".to_owned(), super::made_up::eur(7));
    let plan = planned(&it, &advice(&it, &[]), &own, "leave");
    let task = task(&plan, "runner");
    assert_eq!(
        task.minutes,
        Spread {
            low: 60,
            likely: 120,
            high: 180
        }
    );
    assert_eq!(task.cost, Some(Spread::even(700)));
    let yen = Settings::usual("JPY".parse().unwrap());
    let plan = planned(&it, &advice(&it, &[]), &yen, "leave");
    assert_eq!(plan.cost.not_priced, ["runner"]);
}

#[test]
fn work_that_opens_a_path_joins_the_plan() {
    let it = chest_with(&[("worm_active", "drawer-1", 1)]).assess();
    let mut advice = advice(&it, &[("*", "clean_wax", Verdict::AfterWork)]);
    for path in advice.iter_mut().flat_map(|it| &mut it.paths) {
        path.opening_work = vec!["quarantine".to_owned(), "insect_local".to_owned()];
    }
    let plan = planned(&it, &advice, &settings(), "clean_wax");
    let order = ids(&plan);
    let at = |id: &str| order.iter().position(|it| *it == id).unwrap();
    assert!(at("quarantine") < at("insect_local") && at("insect_local") < at("clean"));
    // Only where the beetle is, not on every part.
    assert_eq!(
        task(&plan, "insect_local").parts,
        ["drawer-1".parse().unwrap()]
    );
    assert!(task(&plan, "insect_freeze-specialist").own_minutes().high == 0);
}

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
    let said = check_order(&plan.tasks, &own, book);
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
    assert!(check_order(&plan.tasks, &lines, book).broken.is_empty());
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
    let need = Need {
        it: &it,
        advice: &advice,
        surfaces: &surfaces,
        settings: &settings,
        book,
        trust: Trust::Open,
    };
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
                let is = |it: &Task, work: &crate::trade::order::Work| it.phase.is_some_and(|phase| work.holds(&it.method, phase));
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
        more in a_fault(),
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
