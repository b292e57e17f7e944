//! Faults that the newest look did not see, or says nothing of.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::silence::Silence;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::LEFT;
use crate::assess::tests::findings::bought;
use crate::assess::tests::findings::cured;
use crate::assess::tests::findings::sold;
use crate::model::mark::Mark;
use crate::model::photo::Stage;

/// That a fault is still there is said with the day on which it was seen; a look that did not see it is told and counted.
#[test]
fn a_fault_that_the_newest_look_did_not_see_counts_as_not_examined() {
    let told = sold(of(1).says("not_examined")).assess();
    let lines: Vec<_> = told
        .not_examined
        .iter()
        .filter(|it| it.silence == Silence::NotSeenSince)
        .collect();
    assert_eq!(lines.len(), 1);
    assert_eq!(
        lines[0].why,
        "Last seen there on 14 March 2026; not examined on 2 May 2026."
    );
    assert_eq!(told.counts.lacks.findings_since, 1);
    assert_eq!(told.counts.findings.number(Outcome::Open), 0);
    let levels = (told.counts.open_by_level, told.counts.open_without_level);
    assert_eq!(levels, ([0, 1, 0, 0], 0), "nobody says that it is gone");
    let cured = cured(sold(of(1).says("repaired")))
        .shoot(Stage::Handover, LEFT)
        .photo("", &[], vec![of(1).says("not_visible")])
        .assess();
    assert_eq!(
        (cured.findings[0].outcome, cured.counts.lacks.findings_since),
        (Some(Outcome::Repaired), 1)
    );
}

/// A newer look at the part that says nothing of the fault bears no word that it is still there.
#[test]
fn a_newer_look_at_the_part_that_is_silent_does_not_show_that_it_is_still_there() {
    let sale = |view: &str, parts: &[&str], marks: Vec<Mark>| {
        bought()
            .shoot(Stage::Sale, FINISHED)
            .photo(view, parts, marks)
    };
    let silent = [
        (
            sale("top_flat", &["top"], vec![]),
            "no mark of it on 2 May 2026, picture 2 is of the part",
        ),
        (
            sale("", &["top"], vec![mark("gouge", "top")]),
            "no mark of it on 2 May 2026, picture 2 is of the part",
        ),
        (
            sale("", &[], vec![mark("not_examined", "top")]),
            "the part was not examined on 2 May 2026",
        ),
    ];
    for (build, why) in silent {
        let told = build.assess();
        assert_eq!(
            told.findings[0].outcome,
            Some(Outcome::NotSeenSince),
            "{why}"
        );
        assert_eq!(told.counts.lacks.findings_since, 1, "{why}");
        let mut lines = told.not_examined.iter();
        let line = lines.find(|it| it.silence == Silence::NotSeenSince);
        assert_eq!(
            line.unwrap().why,
            format!("Last seen there on 14 March 2026; {why}.")
        );
    }
    // Of another part, of one place from near, wrapped, dark, or with a word on the fault: that is no such look.
    let dark = sale("top_flat", &["top"], vec![]).but(|it| it.facts.brightness = 40.0);
    let other = [
        sale("right_whole", &["side-right"], vec![]),
        sale("defect_close", &["top"], vec![]),
        sale("pack_outer", &["top"], vec![]),
        sale("top_flat", &["top"], vec![of(1)]),
        dark,
    ];
    for (n, build) in other.into_iter().enumerate() {
        assert_eq!(build.finding(1).outcome, Some(Outcome::Open), "case {n}");
    }
}

/// What was repaired or gone when it was last seen is told like any other fault: a later picture of its part that says nothing of it
/// does not show how it is now.
#[test]
fn a_repaired_or_vanished_fault_that_a_later_picture_passes_over_is_counted_as_not_seen_since() {
    for word in ["repaired", "gone"] {
        let build = cured(sold(of(1).says(word)))
            .shoot(Stage::Delivery, "2026-05-20")
            .photo("top_flat", &["top"], vec![]);
        let told = build.assess();
        let it = &told.findings[0];
        assert!(it.outcome.unwrap().is_closed(), "{word}");
        assert!(it.quiet_since.is_some(), "{word}");
        assert_eq!(told.counts.lacks.findings_since, 1, "{word}");
        let mut lines = told.not_examined.iter();
        let line = lines
            .find(|it| it.silence == Silence::NotSeenSince)
            .unwrap();
        assert_eq!(
            line.why,
            "Repaired or gone when last seen; no mark of it on 20 May 2026."
        );
    }
}

/// What was there before the piece left, and whose part nobody pictured on arrival, is not told as there on arrival.
#[test]
fn a_fault_whose_part_is_in_no_picture_of_the_arrival_is_not_still_there() {
    let seen = |stage: Stage, part: &str| {
        let build = sold(of(1).level(2))
            .shoot(stage, "2026-05-20")
            .photo("", &[part], vec![]);
        build.assess()
    };
    let away = seen(Stage::Delivery, "back");
    let it = &away.findings[0];
    assert_eq!(it.outcome, Some(Outcome::NotSeenSince));
    assert_eq!(
        it.not_told_since().unwrap(),
        "no picture of its part (Top) on 20 May 2026"
    );
    assert_eq!(away.counts.lacks.findings_since, 1);
    assert_eq!(away.counts.findings.number(Outcome::Open), 0);
    // A picture of which nobody has said anything may be of the part.
    let build = sold(of(1).level(2)).shoot(Stage::Delivery, "2026-05-20");
    let silent = build.photo("", &[], vec![]).assess();
    let it = &silent.findings[0];
    assert_eq!(it.outcome, Some(Outcome::NotSeenSince));
    let said = it.not_told_since().unwrap();
    assert!(said.starts_with("nobody has said what picture "), "{said}");
    assert!(said.ends_with(" of 20 May 2026 shows"), "{said}");
    let before = seen(Stage::Handover, "back");
    assert_eq!(
        before.findings[0].outcome,
        Some(Outcome::Open),
        "it had not left yet"
    );
}

/// Three silences since a fault was last seen are told apart in the heading over them, and who looked did examine it.
#[test]
fn the_heading_over_what_was_not_seen_since_says_which_silence_it_is() {
    let faults = ["gouge", "white_mark", "worm_active"].map(|it| mark(it, "top").level(3));
    let sale = vec![of(1).says("not_examined"), of(3).says("gone")];
    let told = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("top_flat", &["top"], faults.to_vec())
        .shoot(Stage::Sale, FINISHED)
        .photo("top_flat", &["top"], sale)
        .assess();
    let all: Vec<&Finding> = told.findings.iter().collect();
    assert_eq!(
        heading(Outcome::NotSeenSince, &all),
        "Last seen there, not seen since (F1 not examined; F2 nothing said; F3 looked for and not found, not settled)"
    );
    assert_eq!(told.counts.open_by_level, [0, 0, 3, 0]);
    let since = { told.not_examined.iter() }.filter(|it| it.silence == Silence::NotSeenSince);
    let since: Vec<_> = since.filter_map(|it| it.finding).collect();
    assert_eq!(since, [told.findings[0].no, told.findings[1].no]);
}
