//! Nothing is planned on a face whose path is shut or waiting there, nor what a rule forbids, whatever is on record.
//!
//! Told anew from the data here, by a plain walk over paths and rules: it does not ask the decision that gives leave.

use proptest::prelude::*;
use proptest::sample::subsequence;

use super::made_up::monday;
use super::made_up::settings;
use super::properties::POOL;
use super::words::chest;
use super::words::facts;
use crate::advise::labour::area::Surfaces;
use crate::advise::labour::plan::plan;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::PlanInput;
use crate::advise::part::truth::Truth;
use crate::advise::price::options::ways;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::paths;
use crate::advise::refinish::permit::Trust;
use crate::assess::assessment::Assessment;
use crate::trade;
use crate::trade::entry::path::Role;

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
        let need = PlanInput { it: &it, advice: &advice, surfaces: &surfaces, settings: &settings, book, trust: Trust::Open };
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
