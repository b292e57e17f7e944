//! What a plan assumes, so that nobody takes an assumption for a measure.

use std::collections::BTreeSet;

use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::Choice;
use crate::advise::refinish::advice::PartAdvice;

/// What is assumed of the hours.
const SET_UP: &str = "hours are common practice, no source; each small task counts 9 to 15 minutes for laying out tools";

/// What the tasks of a choice of paths assume, each once: sizes, opinions that were taken from other parts, set-up.
pub(crate) fn of(tasks: &[Task], need: &PlanInput<'_>, choice: &Choice) -> Vec<String> {
    let mut assumed: BTreeSet<String> = tasks.iter().flat_map(|it| it.assumed.clone()).collect();
    let on_surface = tasks.iter().any(|it| it.unit.starts_with("m2"));
    assumed.extend(need.surfaces.assumed.clone().filter(|_| on_surface));
    let touched = |it: &&PartAdvice| {
        let path = choice.paths.get(&it.part).and_then(|it| need.book.path(it));
        path.is_some_and(|it| !it.steps.is_empty())
    };
    let advice = need.advice.iter().filter(touched);
    assumed.extend(advice.flat_map(|it| it.opinions.iter().cloned()));
    let set_up = |it: &Task| {
        let method = need.book.method(&it.method);
        method.is_some_and(|it| it.set_up[1] > 0.0)
    };
    assumed.extend(tasks.iter().any(set_up).then(|| SET_UP.to_owned()));
    assumed.into_iter().collect()
}
