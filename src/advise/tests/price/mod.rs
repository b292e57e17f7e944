//! Offers, reasons to stop, and what is said at the door.

mod comparables;
mod door;
mod estimate_notes;
mod estimates;
mod offer;
mod offer_properties;
mod reckon;
mod stops;
mod ways;
