//! Findings into their blocks on the page. In: the findings and parts of an assessment. Out: each finding with its looks through time, the
//! schedule of parts, and what the record has no more, as finished strings.

pub(in crate::report) mod schedule;
pub(in crate::report) mod stages;
pub(in crate::report) mod state;
pub(in crate::report) mod withdrawn;
