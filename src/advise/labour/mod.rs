//! The work: tasks, their order, hours, days and waits.
//!
//! In: an assessment and what is to be done. Out: tasks in their order, with minutes, days and waits.

pub mod area;
pub(in crate::advise) mod assumed;
mod besides;
pub(in crate::advise) mod draft;
pub mod exact;
pub mod fixes;
mod left;
pub mod may_come;
pub mod order;
pub mod pert;
pub mod plan;
pub mod plan_input;
pub mod schedule;
pub mod sizes;
pub mod task;
pub mod tasks;
