//! Sightings of faults over all shoots into findings, with their origin and their pairs.

pub mod counts;
pub mod extent;
pub mod finding;
pub mod finding_counts;
pub(crate) mod grouping;
pub mod hidden;
pub(in crate::assess) mod history;
pub mod hold;
pub mod last_seen;
pub(in crate::assess) mod numbers;
pub(in crate::assess) mod origin;
pub mod outcome;
pub(in crate::assess) mod pairs;
pub mod sighting;
pub mod silent_look;
pub mod taken_out;
pub(in crate::assess) mod trace;
mod works;
