//! Marks of all shoots into findings. In: the marks in the order of time, the numbers that were given, the repairs. Out: each finding with its
//! number, its history, its state and where it came from; what became of it is counted elsewhere.

mod dealt;
pub(in crate::assess) mod history;
pub(in crate::assess) mod numbers;
pub(in crate::assess) mod origin;
mod pictured;
pub(in crate::assess) mod trace;
mod works;
