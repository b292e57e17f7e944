//! What every section of the page shares: its context, its words, its templates.
//!
//! In: an assessment and what was asked for. Out: the context, the words and the templates that the sections fill.

pub(in crate::report) mod became;
pub(in crate::report) mod claimed;
pub(in crate::report) mod code;
pub(in crate::report) mod context;
pub(in crate::report) mod escape;
pub(in crate::report) mod fact_view;
pub(in crate::report) mod links;
pub(in crate::report) mod names;
pub(in crate::report) mod paper;
pub(in crate::report) mod policy;
pub(in crate::report) mod request;
pub(in crate::report) mod shop;
pub(in crate::report) mod templates;
pub(in crate::report) mod view;
pub(in crate::report) mod words;
