//! An assessment into the sections of the page, as finished strings.

pub(in crate::report) mod figure;
pub(in crate::report) mod findings;
pub(in crate::report) mod glance;
pub(in crate::report) mod head;
pub(in crate::report) mod lead;
pub(in crate::report) mod living;
pub(in crate::report) mod made;
pub(in crate::report) mod method;
pub(in crate::report) mod pictures;
pub(in crate::report) mod private;
pub(in crate::report) mod remarks;
pub(in crate::report) mod sale;
pub(in crate::report) mod sealed;
pub(in crate::report) mod section;
pub(in crate::report) mod work;
