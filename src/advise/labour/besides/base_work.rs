//! The work that every piece costs, and what the work on it calls for, such as taking it apart.

use crate::advise::labour::area;
use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::Task;
use crate::trade::entry::offer::BaseWork;
use crate::trade::entry::offer::Over;
use crate::trade::entry::repair::method::Who;

/// The work that every piece costs, and what the work on it calls for, such as taking it apart.
pub(in crate::advise::labour) fn base_work(need: &PlanInput<'_>, made: &[Task]) -> Vec<Task> {
    let kinds = &need.it.kinds;
    let drawers = kinds
        .iter()
        .filter(|it| it.1 == "drawer" && area::is_there(need.it, it.0))
        .count();
    let lines = need.book.offer.base_work.iter();
    let lines = lines.filter(|it| it.each != "drawer" || drawers > 0);
    let called_for = |it: &&BaseWork| {
        let mut own = made.iter().filter(|it| it.is_own());
        let phase = |task: &Task| task.phase.is_some_and(|phase| it.only_for.contains(&phase));
        it.only_for.is_empty() || own.any(phase)
    };
    let is_over = |it: &&BaseWork| match it.over {
        Some(Over::Worked) => !need.it.repairs.is_empty(),
        None => false,
    };
    let there = lines.filter(called_for).filter(|it| !is_over(it));
    there.map(|it| base_task(it, drawers, need)).collect()
}

fn base_task(it: &BaseWork, drawers: usize, need: &PlanInput<'_>) -> Task {
    let number = if it.each == "drawer" { drawers } else { 1 };
    let mut quantity = Quantity::count(number);
    if it.of_set {
        let share = i64::try_from(need.it.of_set.max(1)).unwrap_or(1);
        quantity.milli /= share;
    }
    let hours = need.settings.hours.get(&it.id).copied();
    Task {
        id: it.id.clone(),
        method: it.id.clone(),
        name: it.label.clone(),
        phase: it.phase,
        parts: Vec::new(),
        reach: Vec::new(),
        findings: Vec::new(),
        quantity,
        unit: it.each.clone(),
        minutes: Spread::minutes(hours.unwrap_or(it.hours), quantity),
        wait_minutes: Spread::default(),
        cost: Some(Spread::default()),
        by: Who::Owner,
        steps: Vec::new(),
        cautions: Vec::new(),
        dangers: Vec::new(),
        assumed: Vec::new(),
    }
}
