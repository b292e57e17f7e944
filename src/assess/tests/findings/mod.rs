//! Findings: what belongs together, what became of it.

mod after_sale;
mod dealt;
mod hidden;
mod levels;
mod not_seen;
mod origins;
mod outcomes;
mod states;

use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::mark::Mark;
use crate::model::photo::Stage;

pub(super) const BOUGHT: &str = "2026-03-14";
pub(super) const WORKED: &str = "2026-04-10";
pub(super) const FINISHED: &str = "2026-05-02";
pub(super) const LEFT: &str = "2026-05-20";
pub(super) const ARRIVED: &str = "2026-05-25";

/// A white mark on the top when bought, at level 2.
pub(super) fn bought() -> Build {
    Build::chest().shoot(Stage::Purchase, BOUGHT).photo(
        "top_flat",
        &["top"],
        vec![mark("white_mark", "top").level(2).size("70 mm")],
    )
}

/// The same, and what the sale says of it.
pub(super) fn sold_as(state: &str) -> Build {
    let later = of(1).says(state);
    bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![later])
}

/// The same, and the mark of it at the sale.
pub(super) fn sold(later: Mark) -> Build {
    bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], vec![later])
}

/// With a repair that takes the fault away.
pub(super) fn cured(build: Build) -> Build {
    let mut build = build.repair(WORKED, &[1]);
    "rub_out".clone_into(&mut build.case.repairs[0].method);
    build
}
