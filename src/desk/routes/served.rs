//! What the requests of the marking page are answered from.

use crate::desk::auth::gate::Gate;
use crate::desk::routes::jobs::Jobs;
use crate::desk::server::limits::Limits;

/// What all answers share.
pub(in crate::desk) struct Served {
    pub(in crate::desk) gate: Gate,
    pub(in crate::desk) jobs: Jobs,
    pub(in crate::desk) limits: Limits,
}
