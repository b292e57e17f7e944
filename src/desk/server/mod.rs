//! Connections of this machine into requests with bounds on size, number and time.

pub(in crate::desk) mod body;
pub(in crate::desk) mod browser;
pub(in crate::desk) mod connection;
pub(in crate::desk) mod limits;
pub(in crate::desk) mod lock;
pub(in crate::desk) mod marking_page;
pub(in crate::desk) mod patience;
