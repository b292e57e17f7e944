//! Which refinish paths a part can still take, and why.
//!
//! In: an assessment and a part. Out: a verdict on each path, with its reasons.

pub mod advice;
pub(in crate::advise) mod against;
pub(in crate::advise) mod outcome;
pub mod paths;
pub mod permit;
pub(in crate::advise) mod sanding;
