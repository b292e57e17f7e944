//! `asfound` keeps the photographic condition record of a piece of vintage furniture.
//!
//! The rooms below stand in the order in which data flows; `DEVELOPERS.md` says what each may use.

pub mod kit;

pub mod model;

pub mod trade;

pub mod photo;

pub mod mark;

pub mod vault;

pub mod record;

pub mod assess;

pub mod report;

pub mod work;

pub mod cli;
