//! Assessment -> what can still be done: refinish paths per part, plan, estimate, offer, shot list, seasonal movement.
//!
//! In: what the record means, the user's settings, the trade book, and the day. Out: advice. Pure: it cannot fail, reads
//! no clock, and may not know disk, SQL or HTML.

pub mod advice;
mod against;
pub mod area;
mod coat;
mod draft;
pub mod estimate;
pub mod exact;
mod face;
pub mod facts;
pub mod fixes;
mod gather;
mod look;
pub mod moisture;
pub mod movement;
mod movement_words;
pub mod network;
pub mod next;
pub mod offer;
pub mod options;
pub mod order;
mod outcome;
pub mod paths;
pub mod pert;
pub mod plan;
pub mod questions;
mod sanding;
pub mod schedule;
pub mod shot_list;
mod shot_words;
pub mod sizes;
mod span;
pub mod stops;
mod surface;
pub mod task;
pub mod tasks;
pub mod terms;
pub mod words;
mod worlds;

#[cfg(test)]
mod tests;
