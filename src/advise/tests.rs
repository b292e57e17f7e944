//! Rules on cases.
#![expect(clippy::unwrap_used, reason = "a test may fail by panic")]

mod cases;
mod known;
mod made_up;
mod offer;
mod plan;
mod properties;
mod rules;
mod words;
