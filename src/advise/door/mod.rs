//! A walk on a doorstep -> the record it makes, what the program says of that record, and all its answers in tables.
//!
//! In: taps and the trade book. Out: marks, answers, tables that a page only looks up and adds. Pure.

pub mod answer;
pub mod record;
pub mod sheet;
pub mod table;
