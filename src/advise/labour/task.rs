//! One piece of work in a plan.

use serde::Serialize;

use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::trade::entry::repair::method::Phase;
use crate::trade::entry::repair::method::Who;

/// One piece of work: a method, on all parts that need it at once.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Task {
    /// Its id within the plan, such as `strip` or `topcoat-2`.
    pub id: String,
    /// The method of the trade book, or the id of work that every piece costs.
    pub method: String,
    /// Its name.
    pub name: String,
    /// The step of the work; `None` for work outside the workshop, such as fetching.
    pub phase: Option<Phase>,
    /// The parts, sorted; empty for the whole piece.
    pub parts: Vec<PartId>,
    /// The parts on which it is done, also where it is done once for the whole piece.
    #[serde(skip)]
    pub reach: Vec<PartId>,
    /// The findings it answers, by number.
    pub findings: Vec<FindingNo>,
    /// How much of it.
    pub quantity: Quantity,
    /// Of what, such as `drawer` or `m2`.
    pub unit: String,
    /// Hands-on minutes; for a specialist's work the book's guess of theirs, which is not counted in the owner's.
    pub minutes: Spread,
    /// Minutes in which nothing may touch it afterwards.
    pub wait_minutes: Spread,
    /// What is used up, in minor units of the book's currency; `None` when nobody told what it costs.
    pub cost: Option<Spread>,
    /// Who does it.
    pub by: Who,
    /// How it is done.
    pub steps: Vec<String>,
    /// Cautions for who does it.
    pub cautions: Vec<String>,
    /// Dangers to who does it, and what keeps them off.
    pub dangers: Vec<Danger>,
    /// What was assumed, each once.
    pub assumed: Vec<String>,
}

/// A danger of a task.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Danger {
    /// The hazard.
    pub hazard: String,
    /// Its heading.
    pub title: String,
    /// Lines for who does the work.
    pub lines: Vec<String>,
}

impl Task {
    /// Whether the owner's own hands do it.
    #[must_use]
    pub fn is_own(&self) -> bool {
        self.by == Who::Owner
    }

    /// Own minutes: none for a specialist's work.
    #[must_use]
    pub fn own_minutes(&self) -> Spread {
        if self.is_own() {
            self.minutes
        } else {
            Spread::default()
        }
    }

    /// Whether two tasks touch the same part, or one of them the whole piece.
    #[must_use]
    pub fn shares_part_with(&self, other: &Self) -> bool {
        share_part(&self.parts, &other.parts)
    }
}

/// Whether two lists of parts meet: a part of a part counts as its whole; an empty list is the whole piece.
#[must_use]
pub fn share_part(a: &[PartId], b: &[PartId]) -> bool {
    let meets = |it: &PartId| b.iter().any(|other| other.whole() == it.whole());
    a.is_empty() || b.is_empty() || a.iter().any(meets)
}

/// A finding for which nothing is planned, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftAlone {
    /// The finding.
    pub finding: FindingNo,
    /// Its name and part, such as `Dent, Top`.
    pub what: String,
    /// Its level, if told; what is heavy or failing still is so after the work.
    pub level: Option<u8>,
    /// Why nothing is planned for it.
    pub why: String,
}
