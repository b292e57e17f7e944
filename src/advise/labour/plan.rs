//! The plan of work: tasks in order, hours, cost, days, and the day from which the piece may be wrapped.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::advise::labour::assumed;
use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::order;
use crate::advise::labour::pert::Pert;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::schedule::Because;
use crate::advise::labour::schedule::DAY;
use crate::advise::labour::schedule::Job;
use crate::advise::labour::schedule::Schedule;
use crate::advise::labour::schedule::network::Edge;
use crate::advise::labour::schedule::network::order;
use crate::advise::labour::schedule::schedule;
use crate::advise::labour::task::LeftAlone;
use crate::advise::labour::task::Task;
use crate::advise::labour::task::share_part;
use crate::advise::labour::tasks::Choice;
use crate::advise::labour::tasks::tasks;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Phase;

/// Minutes in an hour.
const HOUR: i64 = 60;

/// A plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// Every task, in an order in which they can be done: by phase, then as in the book.
    pub tasks: Vec<Task>,
    /// What must come before what, by the place of the tasks.
    #[serde(skip)]
    pub edges: Vec<Edge>,
    /// Findings for which nothing is planned.
    pub left: Vec<LeftAlone>,
    /// The owner's own hands.
    pub hours: Hours,
    /// What is used up, and what a specialist costs.
    pub cost: Cost,
    /// When.
    pub days: Days,
    /// What was assumed, each once.
    pub assumed: Vec<String>,
}

/// Minutes of the owner's own hands; specialists' are left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Hours {
    /// All tasks: low, likely, high.
    pub minutes: Spread,
    /// Those at the bench: without fetching, pictures, report and handing over.
    pub bench_minutes: Spread,
    /// The mean of all tasks by three-point estimates.
    pub expected_minutes: i64,
    /// The standard deviation of that, as if the tasks had nothing to do with each other.
    pub sigma_minutes: i64,
}

/// What the work costs in cash, in minor units of the book's currency.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cost {
    /// What is told or known.
    pub minor: Spread,
    /// The currency.
    pub currency: String,
    /// Methods whose materials nobody priced, sorted.
    pub not_priced: Vec<String>,
    /// Work of a specialist whose bill is not known, by name.
    pub bill_not_known: Vec<String>,
}

/// When the work happens.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Days {
    /// The first day.
    pub from: Day,
    /// Minutes of work on a working day; every day is one.
    pub minutes_a_day: i64,
    /// If all takes as long as is likely.
    pub likely: Run,
    /// If all takes long.
    pub high: Run,
    /// Each task's days, in the order of their starts; likely.
    pub tasks: Vec<TaskDays>,
    /// What the last day hangs on, first to last; likely.
    pub chain: Vec<Link>,
}

/// How long all of it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Run {
    /// Days on which hands are at work.
    pub work_days: usize,
    /// The day on which the last task is done.
    pub done: Day,
    /// The day from which nothing that is wrapped round it harms the coats.
    pub wrap: Day,
}

/// The days of one task.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TaskDays {
    /// The task.
    pub task: String,
    /// The day on which it starts.
    pub start: Day,
    /// The day on which it is done.
    pub done: Day,
}

/// A link of the chain on which the last day hangs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Link {
    /// The task.
    pub task: String,
    /// Its name.
    pub name: String,
    /// Why it is in the chain.
    pub held_by: HeldBy,
    /// Minutes of waiting after it before the next link, or before wrapping.
    pub then_waits_minutes: i64,
}

/// What holds a task of the chain up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HeldBy {
    /// Nothing: it comes first.
    Nothing,
    /// The task before it, which must be done and dry.
    TaskBefore,
    /// Hands that were busy with the task before it.
    Hands,
}

/// Makes the plan of a choice of paths.
#[must_use]
pub fn plan(need: &PlanInput<'_>, choice: &Choice, from: Day) -> Plan {
    let work = tasks(need, choice);
    let paths: BTreeSet<String> = choice.paths.values().cloned().collect();
    let (tasks, edges) = in_order(work.tasks, &paths, need.book);
    let minutes: Spread = tasks.iter().map(Task::own_minutes).sum();
    let pert: Pert = tasks.iter().map(|it| Pert::of(it.own_minutes())).sum();
    let days = days(need, choice, &tasks, &edges, from);
    Plan {
        cost: cost(&tasks, need),
        edges,
        left: work.left,
        hours: Hours {
            minutes,
            bench_minutes: tasks
                .iter()
                .filter(|it| is_at_bench(it))
                .map(Task::own_minutes)
                .sum(),
            expected_minutes: whole(pert.mean()),
            sigma_minutes: whole(pert.sigma()),
        },
        days,
        assumed: assumed::of(&tasks, need, choice),
        tasks,
    }
}

/// Whether it is done at the bench.
fn is_at_bench(task: &Task) -> bool {
    !matches!(task.phase, None | Some(Phase::Record | Phase::RecordAfter))
}

#[expect(clippy::cast_possible_truncation, reason = "minutes of a plan are few")]
fn whole(minutes: f64) -> i64 {
    minutes.round_ties_even() as i64
}

/// The tasks in an order in which they can be done, as near to that of the phases as the rules allow, and their edges.
fn in_order(
    tasks: Vec<Task>,
    paths: &BTreeSet<String>,
    book: &TradeBook,
) -> (Vec<Task>, Vec<Edge>) {
    let edges = order::edges(&tasks, paths, book);
    let Ok(places) = order(tasks.len(), &edges) else {
        return (tasks, edges);
    };
    let sorted: Vec<Task> = places.iter().map(|at| tasks[*at].clone()).collect();
    let mut edges = order::edges(&sorted, paths, book);
    edges.extend(order::waits(&sorted));
    edges.sort_unstable();
    edges.dedup();
    (sorted, edges)
}

fn cost(tasks: &[Task], need: &PlanInput<'_>) -> Cost {
    let own = tasks.iter().filter(|it| it.is_own() && it.cost.is_none());
    let not_priced: BTreeSet<String> = own.map(|it| it.method.clone()).collect();
    let bills = tasks.iter().filter(|it| !it.is_own() && it.cost.is_none());
    Cost {
        minor: tasks.iter().filter_map(|it| it.cost).sum(),
        currency: need.settings.currency.to_string(),
        not_priced: not_priced.into_iter().collect(),
        bill_not_known: bills.map(|it| it.name.clone()).collect(),
    }
}

/// Which of the three estimates.
#[derive(Clone, Copy)]
enum Guess {
    Likely,
    High,
}

impl Guess {
    fn of(self, it: Spread) -> i64 {
        match self {
            Self::Likely => it.likely,
            Self::High => it.high,
        }
    }
}

/// Work outside the workshop takes no time of the plan; a specialist's takes none of the owner's hands.
fn jobs(tasks: &[Task], guess: Guess) -> Vec<Job> {
    let job = |it: &Task| match (it.phase, it.is_own()) {
        (None, _) => Job { hands: 0, wait: 0 },
        (_, true) => Job {
            hands: guess.of(it.minutes),
            wait: guess.of(it.wait_minutes),
        },
        (_, false) => Job {
            hands: 0,
            wait: guess.of(it.minutes + it.wait_minutes),
        },
    };
    tasks.iter().map(job).collect()
}

fn days(need: &PlanInput<'_>, choice: &Choice, tasks: &[Task], edges: &[Edge], from: Day) -> Days {
    let minutes_a_day = minutes_a_day(need);
    let run = |guess: Guess| {
        let jobs = jobs(tasks, guess);
        let it = schedule(&jobs, edges, minutes_a_day);
        let done = it.finish.iter().copied().max().unwrap_or(0);
        let (wrap, last) = wrap(need, choice, tasks, &jobs, &it, guess);
        let day = |minutes: i64| from.later(minutes.max(0).div_euclid(DAY));
        let run = Run {
            work_days: it.work_days,
            done: day(last_minute(done)),
            wrap: day(wrap.max(last_minute(done))),
        };
        let hold = last.map_or(0, |at| wrap - it.finish[at]);
        let (last, hold) = if wrap > done {
            (last, hold)
        } else {
            (last_of(&it), 0)
        };
        (run, it, jobs, last, hold)
    };
    let (high, ..) = run(Guess::High);
    let (likely, it, jobs, last, hold) = run(Guess::Likely);
    let links = last.map_or_else(Vec::new, |at| it.chain(at, &jobs, edges, minutes_a_day));
    let inside = it.order.iter().filter(|at| tasks[**at].phase.is_some());
    let task_days = inside.map(|at| TaskDays {
        task: tasks[*at].id.clone(),
        start: from.later(it.start[*at].div_euclid(DAY)),
        done: from.later(last_minute(it.finish[*at]).div_euclid(DAY)),
    });
    Days {
        from,
        minutes_a_day,
        likely,
        high,
        tasks: task_days.collect(),
        chain: chain(&links, tasks, &jobs, hold),
    }
}

/// Work that ends with the last minute of a day ends on that day.
fn last_minute(finish: i64) -> i64 {
    (finish - 1).max(0)
}

/// The minutes of work on a working day: the user's, else the book's.
#[must_use]
pub fn minutes_a_day(need: &PlanInput<'_>) -> i64 {
    let usual =
        crate::advise::labour::exact::milli(need.book.offer.usual.hours_a_day) * HOUR / 1000;
    let own = need.settings.terms.minutes_a_day.map(i64::from);
    own.unwrap_or(usual).clamp(1, DAY)
}

fn last_of(it: &Schedule) -> Option<usize> {
    let places = 0..it.finish.len();
    places.max_by_key(|at| (it.finish[*at], *at))
}

/// The minute from which nothing harms the coats, and the task after which that is counted.
fn wrap(
    need: &PlanInput<'_>,
    choice: &Choice,
    tasks: &[Task],
    jobs: &[Job],
    it: &Schedule,
    guess: Guess,
) -> (i64, Option<usize>) {
    let mut latest = (0, None);
    for (at, task) in tasks.iter().enumerate() {
        if !matches!(task.phase, Some(Phase::Coat | Phase::Rub)) {
            continue;
        }
        let on = choice.paths.iter().filter(|line| {
            let part: &[PartId] = std::slice::from_ref(line.0);
            share_part(part, &task.parts)
        });
        let holds = on.filter_map(|line| need.book.path(line.1));
        let hold = holds.map(|path| guess.of(Spread::minutes(path.hold_hours, Quantity::count(1))));
        let over = it.finish[at] + hold.max().unwrap_or(0).max(jobs[at].wait);
        if over > latest.0 {
            latest = (over, Some(at));
        }
    }
    latest
}

/// The chain with its waits; the last link waits for the coats to harden.
fn chain(links: &[(usize, Because)], tasks: &[Task], jobs: &[Job], hold: i64) -> Vec<Link> {
    let one = |(n, (at, because)): (usize, &(usize, Because))| {
        let next = links.get(n + 1).map(|it| it.1);
        Link {
            task: tasks[*at].id.clone(),
            name: tasks[*at].name.clone(),
            held_by: match because {
                Because::Start => HeldBy::Nothing,
                Because::After(_) => HeldBy::TaskBefore,
                Because::Hands(_) => HeldBy::Hands,
            },
            then_waits_minutes: match next {
                Some(Because::After(_)) => jobs[*at].wait,
                Some(_) => 0,
                None => hold,
            },
        }
    };
    links.iter().enumerate().map(one).collect()
}
