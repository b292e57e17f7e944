//! Assessment -> HTML.
//!
//! In: an assessment and small pictures. Out: one page. May not know: SQL, where photos lie.
