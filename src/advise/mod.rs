//! Assessment -> what can still be done: refinish paths per part, plan, estimate, offer, shot list, seasonal movement.
//!
//! In: what the record means, the user's settings, the trade book, and the day. Out: advice. Pure: it cannot fail, reads
//! no clock, and may not know disk, SQL or HTML.

pub mod air;
pub mod doorstep;
mod first_aid;
pub mod labour;
pub mod next;
pub mod next_step;
pub mod part;
pub mod price;
pub mod refinish;
pub mod shots;
pub(in crate::advise) mod to_be_told;

#[cfg(test)]
mod tests;
