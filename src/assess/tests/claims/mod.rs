//! Words of the user that claim something: with their evidence they stand, without it the report is not final.

mod evidence;
mod texts;

use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::model::mark::Mark;
use crate::model::photo::Stage;

/// A chest with a title, photographed in March; one photo with these marks.
fn chest(title: &str, marks: Vec<Mark>) -> Build {
    let mut build =
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("front_whole", &[], marks);
    title.clone_into(&mut build.case.piece.title);
    build
}

fn unproven(told: &Assessment) -> Vec<&str> {
    let gaps = told.gaps.iter();
    let gaps = gaps.filter(|it| it.code == "claim_without_evidence");
    gaps.map(|it| it.message.as_str()).collect()
}

/// Whether the only claim of the title is borne by the record; with what is said of it.
fn borne(title: &str, marks: Vec<Mark>) -> Result<String, String> {
    let told = chest(title, marks).assess();
    let [claim] = told.claims.as_slice() else {
        panic!("{title}: {:?}", told.claims);
    };
    assert_eq!(unproven(&told).len(), usize::from(claim.rests_on.is_none()));
    let rests_on = claim.rests_on.as_ref().map(ToString::to_string);
    rests_on.ok_or_else(|| claim.lacks.clone())
}

fn solid(part: &str) -> Vec<Mark> {
    vec![
        mark("end_grain_runs", part),
        mark("figure_both_sides", part),
    ]
}
