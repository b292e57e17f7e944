//! Sightings of faults over all shoots into findings, with their origin and their pairs.

pub mod counts;
pub mod extent;
pub mod hidden;
pub(in crate::assess) mod history;
pub mod hold;
pub(in crate::assess) mod origin;
pub mod outcome;
pub(in crate::assess) mod pairs;
pub(in crate::assess) mod trace;
