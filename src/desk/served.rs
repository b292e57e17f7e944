//! What the requests of the marking page are answered from.

use crate::desk::gate::Gate;
use crate::desk::jobs::Jobs;
use crate::desk::limits::Limits;

/// What all answers share.
pub(super) struct Served {
    pub(super) gate: Gate,
    pub(super) jobs: Jobs,
    pub(super) limits: Limits,
}
