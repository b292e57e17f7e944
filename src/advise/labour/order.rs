//! What must come before what in a plan, and what is wrong with an order of the user's own.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::advise::labour::schedule::network::Edge;
use crate::advise::labour::schedule::network::order;
use crate::advise::labour::task::Task;
use crate::advise::labour::task::share_part;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::path::Path;
use crate::trade::entry::repair::method::Phase;
use crate::trade::entry::repair::order::OrderRule;
use crate::trade::entry::repair::order::Reach;
use crate::trade::entry::repair::order::Work;

/// One line of an order of work that the user wrote.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OwnLine {
    /// The method, or the id of work that every piece costs.
    pub method: String,
    /// The part; `None` for the whole piece.
    pub part: Option<PartId>,
}

/// What is said of an order of work that the user wrote.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct OrderCheck {
    /// Rules that it breaks, in the order of the lines.
    pub broken: Vec<Broken>,
    /// Tasks of the plan that it does not name, by id.
    pub left_out: Vec<String>,
    /// Lines of it that are no task of the plan.
    pub not_in_plan: Vec<String>,
}

/// A rule that an order breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Broken {
    /// The rule's id.
    pub id: String,
    /// What should come first; for a rule that asks for a task that is not there, its method.
    pub first: String,
    /// What stands before it.
    pub then: String,
    /// The rule in one sentence.
    pub rule: String,
    /// Why.
    pub why: String,
    /// When an experienced hand does otherwise.
    pub but: Option<String>,
}

/// The edges of a plan: the rules of the trade book, the steps of each path, and coat after coat. The lag of an edge is
/// 0; waits belong to the task before.
///
/// `tasks` stand by phase; should rules ever run in a ring, those that point backwards are dropped.
#[must_use]
pub fn edges(tasks: &[Task], paths: &BTreeSet<String>, book: &TradeBook) -> Vec<Edge> {
    let mut found = BTreeSet::new();
    for (from, first) in tasks.iter().enumerate() {
        for (to, then) in tasks.iter().enumerate() {
            let ruled = book.orders.iter().any(|it| rules(it, first, then));
            if from != to && (ruled || in_path(first, then, paths, book)) {
                found.insert(Edge { from, to, lag: 0 });
            }
        }
    }
    let edges: Vec<Edge> = found.into_iter().collect();
    if order(tasks.len(), &edges).is_ok() {
        return edges;
    }
    edges.into_iter().filter(|it| it.from < it.to).collect()
}

/// Nothing is done to a part while work on it has to be left alone: what comes later in the order waits until that is over.
#[must_use]
pub fn waits(tasks: &[Task]) -> Vec<Edge> {
    let mut found = Vec::new();
    for (from, first) in tasks.iter().enumerate() {
        for (to, then) in tasks.iter().enumerate().skip(from + 1) {
            let both = first.phase.is_some() && then.phase.is_some();
            if both && first.wait_minutes.high > 0 && first.shares_part_with(then) {
                found.push(Edge { from, to, lag: 0 });
            }
        }
    }
    found
}

/// Whether a rule says that `first` comes before `then`.
fn rules(rule: &OrderRule, first: &Task, then: &Task) -> bool {
    let (Some(a), Some(b)) = (first.phase, then.phase) else {
        return false;
    };
    let reaches = rule.reach == Reach::Piece || first.shares_part_with(then);
    rule.first.holds(&first.method, a) && rule.then.holds(&then.method, b) && reaches
}

/// Whether both are steps of one path on a part that they share, in this order; or one coat and the next.
fn in_path(first: &Task, then: &Task, paths: &BTreeSet<String>, book: &TradeBook) -> bool {
    if !(first.is_own() && then.is_own() && first.shares_part_with(then)) {
        return false;
    }
    if first.method == then.method {
        return first.id < then.id;
    }
    let in_order = |id: &String| {
        let steps = book.path(id).map(Path::method_ids).unwrap_or_default();
        let at = |method: &str| steps.iter().position(|it| *it == method);
        matches!((at(&first.method), at(&then.method)), (Some(a), Some(b)) if a < b)
    };
    paths.iter().any(in_order)
}

/// Holds an order of the user's own against the rules and the plan.
#[must_use]
pub fn check_order(tasks: &[Task], own: &[OwnLine], book: &TradeBook) -> OrderCheck {
    let mut broken = Vec::new();
    for (at, early) in own.iter().enumerate() {
        for late in &own[at + 1..] {
            let wrong = book
                .orders
                .iter()
                .filter(|it| breaks(it, late, early, book));
            broken.extend(wrong.map(|it| tell(it, late.to_string(), early.to_string())));
        }
    }
    for rule in book.orders.iter().filter(|it| it.must_have) {
        let meant = |line: &OwnLine, work: &Work| {
            phase_of(&line.method, book).is_some_and(|it| work.holds(&line.method, it))
        };
        let first = |then: &OwnLine| {
            own.iter()
                .any(|it| meant(it, &rule.first) && it.meets(then))
        };
        let lonely = own.iter().filter(|it| meant(it, &rule.then) && !first(it));
        broken.extend(lonely.map(|it| tell(rule, rule.first.methods.join(" or "), it.to_string())));
    }
    let planned = |line: &OwnLine, task: &Task| {
        let part = line.part.as_slice();
        line.method == task.method && share_part(part, &task.parts)
    };
    let left_out = tasks.iter().filter(|it| it.phase.is_some());
    let left_out = left_out.filter(|task| !own.iter().any(|it| planned(it, task)));
    let extra = own
        .iter()
        .filter(|it| !tasks.iter().any(|task| planned(it, task)));
    OrderCheck {
        broken,
        left_out: left_out.map(|it| it.id.clone()).collect(),
        not_in_plan: extra.map(ToString::to_string).collect(),
    }
}

/// The places of these lines in an order in which they can be done: by phase, as far as the rules allow.
#[must_use]
pub fn in_order(lines: &[OwnLine], book: &TradeBook) -> Vec<usize> {
    let mut sorted: Vec<usize> = (0..lines.len()).collect();
    sorted.sort_by_key(|at| phase_of(&lines[*at].method, book));
    let mut edges = Vec::new();
    for (from, first) in sorted.iter().enumerate() {
        for (to, then) in sorted.iter().enumerate().filter(|it| it.0 != from) {
            let mut rules = book.orders.iter();
            if rules.any(|it| breaks(it, &lines[*first], &lines[*then], book)) {
                edges.push(Edge { from, to, lag: 0 });
            }
        }
    }
    match order(sorted.len(), &edges) {
        Ok(places) => places.into_iter().map(|at| sorted[at]).collect(),
        Err(_) => sorted,
    }
}

/// Whether `early`, which stands before `late`, breaks this rule.
fn breaks(rule: &OrderRule, late: &OwnLine, early: &OwnLine, book: &TradeBook) -> bool {
    let (Some(a), Some(b)) = (phase_of(&late.method, book), phase_of(&early.method, book)) else {
        return false;
    };
    let reaches = rule.reach == Reach::Piece || late.meets(early);
    rule.first.holds(&late.method, a) && rule.then.holds(&early.method, b) && reaches
}

fn tell(rule: &OrderRule, first: String, then: String) -> Broken {
    Broken {
        id: rule.id.clone(),
        first,
        then,
        rule: rule.rule.clone(),
        why: rule.why.clone(),
        but: rule.but.clone(),
    }
}

/// The phase of a method, or of work that every piece costs.
#[must_use]
pub fn phase_of(method: &str, book: &TradeBook) -> Option<Phase> {
    let base = || {
        book.offer
            .base_work
            .iter()
            .find(|it| it.id == method)?
            .phase
    };
    book.method(method).map(|it| it.phase).or_else(base)
}

impl OwnLine {
    fn meets(&self, other: &Self) -> bool {
        match (&self.part, &other.part) {
            (Some(a), Some(b)) => a.whole() == b.whole(),
            _ => true,
        }
    }
}

impl std::fmt::Display for OwnLine {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.part {
            Some(part) => write!(f, "{} {part}", self.method),
            None => f.write_str(&self.method),
        }
    }
}
