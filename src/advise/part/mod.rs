//! What is known of a part: yes, no, or not known; and what to look at next.
//!
//! In: an assessment and a part. Out: answers to the questions that rules ask of it, and where to look when there is none.

pub(in crate::advise) mod coat;
pub(in crate::advise) mod context;
pub(in crate::advise) mod face;
pub mod facts;
pub(in crate::advise) mod gather;
pub(in crate::advise) mod look;
pub(in crate::advise) mod material_hypotheses;
pub(in crate::advise) mod moving;
pub(in crate::advise) mod off_first;
pub(in crate::advise) mod span;
pub(in crate::advise) mod support;
pub(in crate::advise) mod surface;
pub(in crate::advise) mod there;
pub mod truth;
pub(in crate::advise) mod watch;
