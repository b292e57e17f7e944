//! The record of a piece into what it means and what to do next.

pub mod doorstep;
pub mod estimate;
pub mod glossary;
pub mod guide;
pub mod said;
pub mod season;
pub mod shot_list;
pub mod survey;
pub mod where_seen;
