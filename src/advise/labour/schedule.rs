//! One pair of hands, so many minutes a day, and waits that run on while nobody works.
//!
//! Time is counted in minutes of the calendar from the start of the first day's work. Work happens in the first
//! `minutes_a_day` minutes of each day; waits run day and night. Among the tasks that can be done, the one with the
//! longest way to the end comes first (list scheduling by critical path, Graham 1969 for the bound; a rule of thumb, not
//! an optimum). A task that a day's end cuts off goes on the next day.

pub mod network;

use crate::advise::labour::schedule::network::Edge;
use crate::advise::labour::schedule::network::times;

/// Minutes of a day.
pub const DAY: i64 = 1440;

/// What is to be done: minutes of own hands, and minutes in which nothing may touch it afterwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Job {
    /// Minutes of hands.
    pub hands: i64,
    /// Minutes of somebody else's hands, and of waiting.
    pub wait: i64,
}

/// When everything happens; every list by index of the job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Schedule {
    /// When its work starts.
    pub start: Vec<i64>,
    /// When its work is done; its wait follows.
    pub finish: Vec<i64>,
    /// In the order of their starts.
    pub order: Vec<usize>,
    /// On how many days hands are at work.
    pub work_days: usize,
}

/// What made a job start when it did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// Nothing held it up.
    Start,
    /// It waited for this job and its wait.
    After(usize),
    /// The hands were busy with this job.
    Hands(usize),
}

/// Puts jobs into days. `edges` must hold no ring; if they do, the jobs are done in the order given.
#[must_use]
pub fn schedule(jobs: &[Job], edges: &[Edge], minutes_a_day: i64) -> Schedule {
    let day = minutes_a_day.clamp(1, DAY);
    let tail = tails(jobs, edges);
    let mut it = Schedule {
        start: vec![0; jobs.len()],
        finish: vec![0; jobs.len()],
        ..Schedule::default()
    };
    let mut done = vec![false; jobs.len()];
    let mut now = 0;
    for _ in 0..jobs.len() {
        let open = (0..jobs.len()).filter(|at| !done[*at] && can_start(*at, &done, edges));
        let ready: Vec<(usize, i64)> = open
            .map(|at| (at, ready_at(at, jobs, &it, edges)))
            .collect();
        let Some((at, from)) = pick(&ready, jobs, &tail, |it| at_work(now.max(it), day)) else {
            break;
        };
        if jobs[at].hands > 0 {
            let start = at_work(now.max(from), day);
            it.start[at] = start;
            it.finish[at] = worked(start, jobs[at].hands, day);
            now = it.finish[at];
        } else {
            it.start[at] = from;
            it.finish[at] = from;
        }
        done[at] = true;
        it.order.push(at);
    }
    it.work_days = work_days(jobs, &it, day);
    let mut order = std::mem::take(&mut it.order);
    order.sort_by_key(|at| it.start[*at]);
    Schedule { order, ..it }
}

impl Schedule {
    /// When a job's wait is over.
    #[must_use]
    pub fn over(&self, at: usize, jobs: &[Job]) -> i64 {
        self.finish[at] + jobs[at].wait
    }

    /// What made a job start when it did.
    #[must_use]
    pub fn because(&self, at: usize, jobs: &[Job], edges: &[Edge], minutes_a_day: i64) -> Because {
        let day = minutes_a_day.clamp(1, DAY);
        let start = self.start[at];
        let before = edges.iter().filter(|it| it.to == at);
        let last = before.max_by_key(|it| (self.over(it.from, jobs), it.from));
        let waited = last.filter(|it| {
            let over = self.over(it.from, jobs);
            over == start || (jobs[at].hands > 0 && at_work(over, day) == start)
        });
        let busy = (0..jobs.len()).filter(|it| jobs[*it].hands > 0 && self.finish[*it] <= start);
        let busy = busy
            .filter(|it| *it != at)
            .max_by_key(|it| self.finish[*it]);
        let busy = busy.filter(|it| at_work(self.finish[*it], day) == start);
        match (waited, busy) {
            (Some(edge), _) => Because::After(edge.from),
            (None, Some(busy)) if jobs[at].hands > 0 => Because::Hands(busy),
            _ => Because::Start,
        }
    }

    /// The jobs that led to the end of `last`, first to last, each with what made it start.
    #[must_use]
    pub fn chain(
        &self,
        last: usize,
        jobs: &[Job],
        edges: &[Edge],
        minutes_a_day: i64,
    ) -> Vec<(usize, Because)> {
        let mut links = Vec::new();
        let mut next = Some(last);
        while let Some(at) = next.filter(|_| links.len() <= jobs.len()) {
            let because = self.because(at, jobs, edges, minutes_a_day);
            links.push((at, because));
            next = match because {
                Because::After(before) | Because::Hands(before) => Some(before),
                Because::Start => None,
            };
        }
        links.reverse();
        links
    }
}

fn tails(jobs: &[Job], edges: &[Edge]) -> Vec<i64> {
    let hands: Vec<i64> = jobs.iter().map(|it| it.hands).collect();
    let lagged = edges.iter().map(|it| Edge {
        lag: jobs[it.from].wait,
        ..*it
    });
    let found = times(&hands, &lagged.collect::<Vec<_>>());
    found.map_or_else(|_| vec![0; jobs.len()], |it| it.tail)
}

fn can_start(at: usize, done: &[bool], edges: &[Edge]) -> bool {
    edges.iter().all(|it| it.to != at || done[it.from])
}

fn ready_at(at: usize, jobs: &[Job], so_far: &Schedule, edges: &[Edge]) -> i64 {
    let before = edges.iter().filter(|it| it.to == at);
    let over = before.map(|it| so_far.over(it.from, jobs));
    over.max().unwrap_or(0)
}

/// The next job: without hands at once; else of those that are ready the one with the longest tail, else the one that
/// is ready first.
fn pick(
    ready: &[(usize, i64)],
    jobs: &[Job],
    tail: &[i64],
    at_work: impl Fn(i64) -> i64,
) -> Option<(usize, i64)> {
    let free = ready.iter().find(|it| jobs[it.0].hands == 0);
    let first = at_work(ready.iter().map(|it| it.1).min()?);
    let able = ready.iter().filter(|it| it.1 <= first);
    let best = able.max_by_key(|it| (tail[it.0], std::cmp::Reverse(it.0)));
    free.or(best).copied()
}

/// The next minute at which hands are at work, from `time` on.
fn at_work(time: i64, day: i64) -> i64 {
    if time.rem_euclid(DAY) < day {
        time
    } else {
        (time.div_euclid(DAY) + 1) * DAY
    }
}

/// When work of `hands` minutes is done that starts at `start`, within a day's work.
fn worked(start: i64, hands: i64, day: i64) -> i64 {
    let today = day - start.rem_euclid(DAY);
    if hands <= today {
        return start + hands;
    }
    let rest = hands - today;
    let (days, over) = ((rest - 1) / day, (rest - 1) % day + 1);
    (start.div_euclid(DAY) + 1 + days) * DAY + over
}

fn work_days(jobs: &[Job], it: &Schedule, day: i64) -> usize {
    let mut days = std::collections::BTreeSet::new();
    for at in (0..jobs.len()).filter(|at| jobs[*at].hands > 0) {
        let last = (it.finish[at] - 1).div_euclid(DAY);
        days.extend(at_work(it.start[at], day).div_euclid(DAY)..=last);
    }
    days.len()
}
