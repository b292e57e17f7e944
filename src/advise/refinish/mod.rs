//! Which refinish paths a part can still take, and why.

pub mod advice;
pub(in crate::advise) mod against;
pub(in crate::advise) mod outcome;
pub mod paths;
pub(in crate::advise) mod sanding;
