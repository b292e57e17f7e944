//! Sightings of faults over all shoots into findings, with their origin and their pairs.

pub mod counts;
pub mod extent;
pub mod finding;
pub mod finding_counts;
pub(in crate::assess) mod from_marks;
pub(crate) mod grouping;
pub mod hidden;
pub mod hold;
pub mod last_seen;
pub mod outcome;
mod pair_side;
pub(in crate::assess) mod pairs;
pub mod sighting;
pub mod silent_look;
pub mod taken_out;
pub mod tests_told;
