//! What may come to a plan when a path that waits for a look turns out to be open.

use serde::Serialize;

use crate::advise::labour::area;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::Choice;
use crate::advise::labour::tasks::tasks;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::permit::Trust;
use crate::trade::entry::repair::deed::Deed;

/// What may come to a plan when a path that waits for a look turns out to be open: counted, never planned.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct MayCome {
    /// The parts on which the main path of the way waits, by label.
    pub parts: Vec<String>,
    /// Those of them, by label, to whose face the plan does something until then, such as waxing: it is looked at first.
    pub look_first: Vec<String>,
    /// Minutes of own hands.
    pub minutes: Spread,
    /// What is used up, in minor units.
    pub minor: Spread,
}

/// The parts on which `main` waits, and the tasks if it is taken there too.
pub(in crate::advise) fn with_waiting<'a>(
    need: &PlanInput<'a>,
    choice: &Choice,
    main: &str,
) -> (Vec<&'a PartAdvice>, Vec<Task>) {
    let waits = need.advice.iter().filter(|it| {
        let mut paths = it.paths.iter();
        paths.any(|it| it.path == main && it.verdict == Verdict::Waiting)
            && area::is_there(need.it, &it.part)
    });
    let waits: Vec<&PartAdvice> = waits.collect();
    let mut choice = choice.clone();
    choice
        .paths
        .extend(waits.iter().map(|it| (it.part.clone(), main.to_owned())));
    let need = PlanInput {
        trust: Trust::WaitingToo,
        ..*need
    };
    let all = tasks(&need, &choice).tasks;
    (waits, all)
}

/// What may come to a plan if `main` is taken on every part where it waits; never less than nothing.
#[must_use]
pub fn may_come(need: &PlanInput<'_>, plan: &Plan, choice: &Choice, main: &str) -> MayCome {
    let (waits, all) = with_waiting(need, choice, main);
    let more = |all: Spread, now: Spread| Spread {
        low: (all.low - now.low).max(0),
        likely: (all.likely - now.likely).max(0),
        high: (all.high - now.high).max(0),
    };
    let minutes = all.iter().map(Task::own_minutes).sum();
    let coats = |it: &&Task| {
        let does = need.book.method(&it.method).map(|it| &it.does);
        does.is_some_and(|it| {
            it.iter()
                .any(|it| matches!(it, Deed::Wax | Deed::Film | Deed::Cover))
        })
    };
    let coated = |it: &&&PartAdvice| {
        let mut tasks = plan.tasks.iter().filter(coats);
        tasks.any(|task| task.parts.contains(&it.part))
    };
    MayCome {
        look_first: { waits.iter() }
            .filter(coated)
            .map(|it| it.label.clone())
            .collect(),
        parts: waits.iter().map(|it| it.label.clone()).collect(),
        minutes: more(minutes, plan.hours.minutes),
        minor: more(all.iter().filter_map(|it| it.cost).sum(), plan.cost.minor),
    }
}
