//! Assessment -> what can still be done: refinish paths per part, plan, estimate, offer, shot list, seasonal movement.
//!
//! In: what the record means, the user's settings, the trade book, and the day. Out: advice. Pure: it cannot fail, reads
//! no clock, and may not know disk, SQL or HTML.

pub mod advice;
mod coat;
pub mod exact;
mod face;
pub mod facts;
mod gather;
mod look;
pub mod network;
mod outcome;
pub mod paths;
pub mod pert;
mod sanding;
mod span;
mod surface;
mod worlds;

#[cfg(test)]
mod tests;
