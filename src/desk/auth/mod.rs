//! Who may ask: once for all requests.

pub(in crate::desk) mod gate;
pub(in crate::desk) mod guard;
pub(in crate::desk) mod session;
