//! Rules on what may be done to a face.

mod cases;
mod coats;
mod gates;
mod known;
mod leave;
mod properties;
mod rule_cases;
mod rule_cases_of_work;
mod rules;
