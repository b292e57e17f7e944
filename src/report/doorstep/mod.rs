//! What is tried at the door into a page for the phone.
//!
//! In: the rows, the table and the rates. Out: one page with its script.

pub(in crate::report) mod door_page;
