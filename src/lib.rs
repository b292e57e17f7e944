//! `asfound` keeps the photographic condition record of a piece of vintage furniture.
//!
//! The rooms below stand in the order in which data flows; `DEVELOPERS.md` says what each may use.

#![cfg_attr(
    test,
    allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")
)]

// Crates of their own, which are optimised in tests too; here they are rooms like the others.
pub use pixels;

pub use plane;

pub use lay;

pub mod kit;

pub mod tongue;

pub mod model;

pub mod trade;

pub mod photo;

pub mod mark;

pub mod vault;

pub mod bucket;

pub mod evidence;

pub mod record;

pub mod compare;

pub mod assess;

pub mod advise;

pub mod report;

pub mod work;

pub mod desk;

pub mod cli;
