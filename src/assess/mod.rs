//! Record values -> findings over shoots, parts, pairs, gaps, cautions: what the record means.
//!
//! In: a case as the record holds it, and the trade book. Out: an assessment. Pure: it cannot fail, reads no clock,
//! and may not know disk, SQL or HTML.

pub mod assessment;
