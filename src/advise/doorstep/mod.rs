//! The door: what is tried there, and what `estimate` makes of every set of answers, tabulated.
//!
//! In: a form, the user's settings, the trade book. Out: rows to answer, and a table from which the estimate of any set of
//! answers can be put together. The rules are those of `estimate`, asked anew for each set that the table rests on.

pub(in crate::advise) mod counts;

pub mod door;
pub mod rates;
pub mod rows;
pub mod table;
pub mod tabulate;
