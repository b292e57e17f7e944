//! Who may ask: once for all requests.
//!
//! In: a request. Out: the same request, or the answer that refuses it.

pub(in crate::desk) mod gate;
pub(in crate::desk) mod guard;
pub(in crate::desk) mod session;
