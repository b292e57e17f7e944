//! The entries of the trade book into the faults they have.

pub(in crate::trade) mod claims;
pub mod faults;
pub(in crate::trade) mod offer;
pub mod whole;
pub(in crate::trade) mod words;
pub(in crate::trade) mod work;
