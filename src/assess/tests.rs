//! Tests of the room as a whole, and the small builders they use.
#![expect(clippy::unwrap_used, reason = "a test may fail by panic")]

pub(crate) mod build;
mod claims;
mod dating;
mod findings;
mod gaps;
mod material;
mod measured;
mod pairs;
mod parts;
mod pictures;
mod places;
mod properties;
mod statements;
mod whole;
