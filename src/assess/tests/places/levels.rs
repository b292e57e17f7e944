//! A level against the size that is written beside it.

use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::photo::Stage;

#[test]
fn a_level_is_held_against_the_size_that_is_written() {
    let cases = [
        ("gouge", 2, "40 mm", true),
        ("gouge", 2, "40 mm long", true),
        ("gouge", 2, "4 mm", true),
        ("gouge", 2, "25 mm", false),
        ("gouge", 2, "3 mm deep", false),
        ("dent", 2, "30 mm x 20 mm", true),
        ("dent", 2, "30 x 12 mm", false),
        ("dent", 2, "30 mm", false),
        ("dent", 2, "3 mm", true),
        ("dent", 2, "16 mm wide", true),
    ];
    for (tag, level, size, is_gap) in cases {
        let build = Build::chest().shoot(Stage::Purchase, "2026-03-14");
        let seen = mark(tag, "top").level(level).size(size);
        let told = build.photo("top_flat", &["top"], vec![seen]).assess();
        let mut gaps = told.gaps.iter();
        let found = gaps.any(|it| it.code == "level_unlike_its_size");
        assert_eq!(found, is_gap, "{tag}, level {level}, {size}");
    }
}
