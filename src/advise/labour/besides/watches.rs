//! Watches that are on record already are not planned again.

use crate::advise::labour::exact::Spread;
use crate::advise::labour::exact::half_even;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::Task;

/// The task with the wait for the looks that are still due; any other work as it was.
pub(in crate::advise::labour) fn still_due(mut task: Task, need: &PlanInput<'_>) -> Task {
    let findings = need.it.findings.iter();
    let watched = findings.filter(|it| {
        let clear = need.book.tag(&it.tag).and_then(|it| it.clear.as_ref());
        let watch = clear.and_then(|it| it.watch.as_deref());
        // What a path asks for before it opens names no finding.
        let of_it = task.findings.is_empty() || task.findings.contains(&it.no);
        of_it && it.state.is_open() && watch == Some(task.method.as_str())
    });
    // Of several the one of which most is due: they are watched together.
    let due = watched.map(|it| {
        let looks = it.clean_looks;
        looks.map_or((1, 1), |it| (it.of.saturating_sub(it.told), it.of.max(1)))
    });
    let most = due.max_by(|a, b| (a.0 * b.1).cmp(&(b.0 * a.1)));
    if let Some((left, of)) = most.filter(|it| it.0 > 0) {
        let share = |it: i64| half_even(i128::from(it) * i128::from(left), i128::from(of));
        let Spread { low, likely, high } = task.wait_minutes;
        let [low, likely, high] = [low, likely, high].map(share);
        task.wait_minutes = Spread { low, likely, high };
    }
    task
}
