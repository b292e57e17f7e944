//! Rules on cases.

mod made_up;
mod offer;
mod plan;
