//! An assessment into the sections of the page, as finished strings.

pub(in crate::report) mod changed;
mod covered;
pub(in crate::report) mod figure;
pub(in crate::report) mod glance;
pub(in crate::report) mod head;
pub(in crate::report) mod living;
pub(in crate::report) mod made;
pub(in crate::report) mod method;
mod new_material;
pub(in crate::report) mod pictures;
pub(in crate::report) mod private;
pub(in crate::report) mod remarks;
pub(in crate::report) mod sale;
mod schedule;
pub(in crate::report) mod sealed;
mod stages;
pub(in crate::report) mod state;
pub(in crate::report) mod withdrawn;
