//! What can be done about a fault: methods, the faults they mend, what they do to a face, their order.
//!
//! In: a table of a data file. Out: one entry, checked.

pub mod deed;
pub mod fix;
pub mod method;
pub mod order;
