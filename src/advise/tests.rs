//! Rules on cases.
#![expect(clippy::unwrap_used, reason = "a test may fail by panic")]

mod cases;
mod coats;
mod comparables;
mod door;
mod estimate_notes;
mod hours;
mod known;
mod leave;
mod made_up;
mod offer;
mod offer_properties;
mod plan;
mod plan_order;
mod plan_properties;
mod properties;
mod reckon;
mod rule_cases;
mod rules;
mod stops;
mod words;
