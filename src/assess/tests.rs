//! Tests of the room as a whole, and the small builders they use.

mod build;
mod findings;
mod pairs;
mod parts;
mod pictures;
mod properties;
mod whole;
