//! What holds of every plan, whatever is on record and whatever way is taken on each part: nothing is planned on a face whose path is
//! shut or waiting there, nor what a rule forbids; no finding is lost; the work stands in the order of its steps; old paint is tested
//! before it is touched, gilding is not touched, and bare wood is not stripped.
//!
//! Told anew from the data here, by a plain walk over paths and rules: it does not ask the decision that gives leave.

use proptest::prelude::*;
use proptest::sample::Index;
use proptest::sample::subsequence;

use super::properties::POOL;
use crate::advise::labour::area::Surfaces;
use crate::advise::labour::order::OwnLine;
use crate::advise::labour::order::check_order;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan::plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::Choice;
use crate::advise::part::facts::Facts;
use crate::advise::part::truth::Truth;
use crate::advise::price::options::ways;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::paths;
use crate::advise::tests::made_up::monday;
use crate::advise::tests::made_up::settings;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::assess::assessment::Assessment;
use crate::trade;
use crate::trade::entry::path::Role;
use crate::trade::entry::repair::method::Phase;

/// Why a task is wrong on the face of this part; `None` when it is right.
fn wrong(task: &Task, advice: &PartAdvice, it: &Assessment) -> Option<String> {
    let book = trade::book();
    let method = book.method(&task.method)?;
    let part = advice.part.as_str();
    let of = |path: &str| {
        let path = book.path(path).unwrap();
        let step = path.steps.iter().any(|it| it.method == method.id);
        step || method.ways.contains(&path.id)
    };
    let mut known = advice.paths.iter().filter(|it| of(&it.path)).peekable();
    let of_some = known.peek().is_some();
    let taken = known.any(|it| matches!(it.verdict, Verdict::Open | Verdict::AfterWork));
    if of_some && !taken {
        return Some(format!(
            "{} on {part}: no path of it can be taken",
            method.id
        ));
    }
    let facts = facts(it, part);
    let rules = book.rules.iter().filter(|it| it.role != Role::Material);
    for rule in rules.filter(|it| it.forbids.iter().any(|deed| method.does.contains(deed))) {
        let opened = rule.role == Role::Gate && {
            let by = |it: &crate::advise::refinish::advice::PathAdvice| {
                it.reasons.iter().any(|it| it.rule == rule.id)
            };
            advice
                .paths
                .iter()
                .any(|it| it.verdict == Verdict::AfterWork && by(it))
        };
        if facts.applies(rule) != Truth::No && !opened {
            return Some(format!("{} on {part}: {} forbids it", method.id, rule.id));
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_is_planned_whose_path_is_shut_or_waiting(words in subsequence(POOL.to_vec(), 0..9)) {
        let words = words.join(" ");
        let it = chest(&words).assess();
        let book = trade::book();
        let advice = paths(&it, book);
        let settings = settings();
        let surfaces = Surfaces::of(&it, &advice, book);
        let facts = Facts::of_all(&it, book);
        let need = PlanInput::of(&it, &advice, &surfaces, &settings, book, &facts);
        for way in ways(&need).ways {
            let choice = way.choice();
            let plan = plan(&need, &choice, monday());
            for task in &plan.tasks {
                for on in &task.parts {
                    let face = advice.iter().find(|it| it.part == *on || on.as_str() == format!("{}/front", it.part));
                    let anew = choice.paths.get(on).is_some_and(|it| it == "replace_veneer");
                    let found = face.filter(|_| !anew).and_then(|face| wrong(task, face, &it));
                    prop_assert!(found.is_none(), "{words}, {}: {}", way.id, found.unwrap_or_default());
                }
            }
        }
    }
}

/// More words of cases: coats that must not be touched, covered and missing parts, and faults off the faces.
const MORE: [&str; 31] = [
    "side-left!mould_growth:2",
    "fin_gilt_oil",
    "side-left!fin_gilt_water",
    "side-left!fin_paint",
    "side-left!fin_paint_new",
    "drawer-1!fin_paint",
    "drawer-1!flaking:2",
    "side-left!flaking:3",
    "side-left!overpaint:2",
    "side-left!grime:2",
    "side-left!textile_cover",
    "frame!part_missing:4",
    "side-left!dent:2",
    "side-left!veneer_lift:2",
    "drawer-1/bottom!drawer_bottom_fault:4",
    "drawer-1!scratch_wood:3",
    "drawer-1!fin_soaks",
    "drawer-2!worm_old:2",
    "side-left!missing_chunk:3",
    "side-left!upholstery_fault:3",
    "back!odour_musty:2",
    "back!fire_soot:2",
    "dark_stain:2",
    "scratch_wood:2",
    "wax_build_up:2",
    "drawer-1!drawer_stick:3",
    "drawer-1!runner_worn:3",
    "back!back_loose:4",
    "side-left!frame_bent:3",
    "top!stone_damage:4",
    "drawer-5!bed_bugs:4",
];

/// The steps of the work, first to last, as the trade has them.
const STEPS: [Phase; 16] = [
    Phase::Record,
    Phase::Hazard,
    Phase::Air,
    Phase::Dismantle,
    Phase::Structure,
    Phase::CleanDry,
    Phase::Strip,
    Phase::Veneer,
    Phase::Fill,
    Phase::Level,
    Phase::Colour,
    Phase::Coat,
    Phase::Rub,
    Phase::Refit,
    Phase::RecordAfter,
    Phase::Hold,
];

/// The plan of any path that can be taken on each part.
fn mixed(it: &Assessment, advice: &[PartAdvice], taken: &[Index]) -> Plan {
    let book = trade::book();
    let settings = settings();
    let surfaces = Surfaces::of(it, advice, book);
    let facts = Facts::of_all(it, book);
    let need = PlanInput::of(it, advice, &surfaces, &settings, book, &facts);
    let of = |(n, part): (usize, &PartAdvice)| {
        let open = part.paths.iter().filter(|it| it.can_be_taken());
        let open: Vec<&str> = open.map(|it| it.path.as_str()).collect();
        let path = open.get(taken[n % taken.len()].index(open.len().max(1)))?;
        Some((part.part.clone(), (*path).to_owned()))
    };
    let choice: Choice = advice.iter().enumerate().filter_map(of).collect();
    plan(&need, &choice, monday())
}

/// Whether a part has a face of wood, as far as the record tells: what is covered has no coat, whatever else was written.
fn has_face(it: &Assessment, part: &str) -> bool {
    paths(it, trade::book())
        .iter()
        .any(|it| it.part.as_str() == part)
}

/// What is wrong with a task on a part that must not be touched so.
fn mistreats(task: &Task, part: &str, it: &Assessment, plan: &Plan) -> Option<String> {
    let book = trade::book();
    let method = book.method(&task.method)?;
    let facts = facts(it, part);
    let yes = |text: &str| facts.answer(&text.parse().unwrap()) == Truth::Yes;
    let touches = !method.does.is_empty();
    let has_face = has_face(it, part);
    if touches && has_face && (yes("finish = gilding") || yes("finish = bronze")) {
        return Some(format!("{} on gilding", method.id));
    }
    let waxed = yes("fault.wax_build_up >= 1");
    if method.id == "strip" && (yes("finish = bare") || yes("finish = oilwax")) && !waxed {
        return Some("bare wood is stripped".to_owned());
    }
    if method.id == "wax_strip" && yes("finish = bare") && !waxed {
        return Some("wax is taken off bare wood".to_owned());
    }
    let paint = yes("finish = paint") || yes("fault.overpaint >= 1");
    let untested = yes("old_paint = possible") && yes("fault.lead_paint <= 0");
    if touches && paint && untested {
        let at = plan.tasks.iter().position(|it| it.id == task.id)?;
        let tests = ["lead_test", "lead_safe"];
        let mut before = plan.tasks[..at].iter();
        if !before.any(|it| tests.contains(&it.method.as_str())) {
            return Some(format!("{} on old paint without a test", method.id));
        }
        if !task.dangers.iter().any(|it| it.hazard == "lead") {
            return Some(format!("{} on old paint without its caution", method.id));
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_finding_is_lost_and_the_work_stands_in_order(
        usual in subsequence(POOL.to_vec(), 0..6),
        more in subsequence(MORE.to_vec(), 0..8),
        taken in prop::collection::vec(any::<Index>(), 1..6),
    ) {
        let words = [usual, more].concat().join(" ");
        let it = chest(&words).assess();
        let advice = paths(&it, trade::book());
        let plan = mixed(&it, &advice, &taken);
        for finding in it.findings.iter().filter(|it| it.is_to_do()) {
            let planned = plan.tasks.iter().any(|task| task.findings.contains(&finding.no));
            let left = plan.left.iter().filter(|it| it.finding == finding.no);
            let left: Vec<&str> = left.map(|it| it.why.as_str()).collect();
            prop_assert!(planned != (left.len() == 1), "{words}: {} is planned: {planned}, left: {left:?}", finding.tag);
            prop_assert!(left.iter().all(|it| it.len() > 3), "{words}: {} is left without a reason", finding.tag);
        }
        let rank = |task: &Task| task.phase.and_then(|phase| STEPS.iter().position(|it| *it == phase));
        let ranks: Vec<usize> = plan.tasks.iter().filter_map(rank).collect();
        prop_assert!(ranks.is_sorted(), "{words}: {:?}", plan.tasks.iter().map(|it| &it.id).collect::<Vec<_>>());
        let lines = plan.tasks.iter().filter(|it| it.phase.is_some()).map(|it| OwnLine {
            method: it.method.clone(),
            part: it.parts.first().cloned(),
        });
        let broken = check_order(&plan.tasks, &lines.collect::<Vec<_>>(), &[], trade::book()).broken;
        prop_assert!(broken.is_empty(), "{words}: {broken:?}");
        for task in &plan.tasks {
            for part in &task.parts {
                let wrong = mistreats(task, part.as_str(), &it, &plan);
                prop_assert!(wrong.is_none(), "{words}, {part}: {}", wrong.unwrap_or_default());
                let of_face = task.unit.starts_with("m2");
                prop_assert!(!(of_face && words.contains(&format!("{part}!textile_cover"))), "{words}: {} on cloth", task.id);
                prop_assert!(!(of_face && words.contains(&format!("{part}!part_missing"))), "{words}: {} on nothing", task.id);
            }
        }
    }
}

/// Each rule of order goes with the order of the steps, so that it cannot send a plan backwards.
#[test]
fn the_rules_of_order_go_with_the_order_of_the_steps() {
    let book = trade::book();
    let rank = |phase: Phase| STEPS.iter().position(|it| *it == phase).unwrap();
    assert!(STEPS.is_sorted());
    for rule in &book.orders {
        for first in book
            .methods
            .iter()
            .filter(|it| rule.first.holds(&it.id, it.phase))
        {
            let mut then = book
                .methods
                .iter()
                .filter(|it| rule.then.holds(&it.id, it.phase));
            let early = then.find(|it| rank(it.phase) < rank(first.phase));
            let early = early.map(|it| it.id.as_str());
            assert_eq!(early, None, "{}: before {}", rule.id, first.id);
        }
    }
}
