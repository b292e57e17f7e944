//! Plans: what is in them, in which order, and when.

use crate::advise::labour::area::Surfaces;
use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::order::phase_of;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan::plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::schedule::network::Edge;
use crate::advise::labour::schedule::network::order;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::Choice;
use crate::advise::part::facts::Facts;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::eur;
use crate::advise::tests::made_up::monday;
use crate::advise::tests::made_up::settings;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::model::piece::Size;
use crate::model::settings::Settings;
use crate::trade;

/// A plan in which every part takes the same path.
pub(super) fn planned(
    it: &Assessment,
    advice: &[PartAdvice],
    settings: &Settings,
    path: &str,
) -> Plan {
    let book = trade::book();
    let surfaces = Surfaces::of(it, advice, book);
    let facts = Facts::of_all(it, book);
    let need = PlanInput::of(it, advice, &surfaces, settings, book, &facts);
    let choice: Choice = advice
        .iter()
        .map(|it| (it.part.clone(), path.to_owned()))
        .collect();
    plan(&need, &choice, monday())
}

pub(super) fn plan_of(build: &Build, path: &str) -> Plan {
    let it = build.assess();
    planned(&it, &advice(&it, &[]), &settings(), path)
}

pub(super) fn ids(plan: &Plan) -> Vec<&str> {
    plan.tasks.iter().map(|it| it.id.as_str()).collect()
}

pub(super) fn task<'a>(plan: &'a Plan, id: &str) -> &'a Task {
    let found = plan.tasks.iter().find(|it| it.id == id);
    found.unwrap_or_else(|| panic!("no {id} in {:?}", ids(plan)))
}

#[test]
fn the_rules_of_order_and_the_steps_of_the_paths_make_no_ring() {
    let book = trade::book();
    let methods = book.work_ids();
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

/// By hand, for a chest of four drawers, minutes: carrying 18/30/90, pictures and notes 6/12/30, drawers 4 x 6/9/18, pictures
/// and report afterwards 24/36/90, handing over 9/15/60. Common practice, no source; the drive is paid for as fetching.
#[test]
fn every_piece_costs_the_base_work() {
    let plan = plan_of(&chest(), "leave");
    assert_eq!(
        ids(&plan),
        ["collect", "record", "record_after", "handover"]
    );
    // What is over is no work any more.
    let begun = chest().repair("2026-05-04", &[]);
    assert_eq!(
        ids(&plan_of(&begun, "leave")),
        ["collect", "record_after", "handover"]
    );
    // Taking apart and putting together only where something must come apart.
    assert_eq!(
        plan.hours.minutes,
        Spread {
            low: 18 + 6 + 24 + 9,
            likely: 30 + 12 + 36 + 15,
            high: 90 + 30 + 90 + 60
        }
    );
    let stripped = plan_of(&chest(), "strip_clear");
    assert!(ids(&stripped).contains(&"dismantle") && ids(&stripped).contains(&"refit"));
    // Drawers are handled only where work is done.
    let drawers = task(&stripped, "drawers");
    assert_eq!(drawers.quantity, Quantity::count(4));
    assert_eq!(
        (
            drawers.minutes.low,
            drawers.minutes.likely,
            drawers.minutes.high
        ),
        (24, 36, 72)
    );
    // Fetching and handing over take none of the plan's days: 48 min of the rest at 3 h a day.
    assert_eq!(plan.days.likely.work_days, 1);
    assert_eq!(
        (
            plan.days.likely.done.to_string(),
            plan.days.likely.wrap.to_string()
        ),
        ("2026-06-01".to_owned(), "2026-06-01".to_owned())
    );
}

/// Surface work of the worked figures: strip 3.9, sand 2.08, stain 1.3, three coats 2.73 h for 2.6 m2; clean 1.5 h.
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
    let want = 60.0 * (1.5 + 2.6 * (1.5 + 0.8 + 0.5 + 3.0 * 0.35));
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
        at("veneer_relay") < at("scuff")
            && at("scuff") < at("prime_block")
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
            "Paint tested, no lead found, Top: a test found none",
        ]
    );
}

#[test]
fn a_specialist_is_named_and_costs_no_hours_of_ours() {
    let with = plan_of(&chest_with(&[("lead_paint", "top", 4)]), "clean_wax");
    let without = plan_of(&chest(), "clean_wax");
    assert_eq!(with.hours.minutes, without.hours.minutes);
    assert_eq!(
        with.cost.bill_not_known,
        ["Lead-safe handling, by a specialist"]
    );
    let mut priced = settings();
    priced.prices.insert("lead_safe".to_owned(), eur(150));
    let it = chest_with(&[("lead_paint", "top", 4)]).assess();
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
    own.prices.insert("runner".to_owned(), eur(7));
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
