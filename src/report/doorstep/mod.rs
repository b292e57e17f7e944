//! The page for the doorstep.
//!
//! In: what is asked of a form and all answers, the terms of the offer. Out: one page that looks up and adds.

pub(in crate::report) mod door_page;
