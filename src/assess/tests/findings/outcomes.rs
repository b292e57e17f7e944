//! What became of findings, counted once.

use crate::assess::findings::finding::FindingState;
use crate::assess::findings::last_seen::MoreSinceLeft;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_report::PartState;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::findings::ARRIVED;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::LEFT;
use crate::assess::tests::findings::WORKED;
use crate::assess::tests::findings::bought;
use crate::assess::tests::findings::cured;
use crate::assess::tests::findings::sold;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::tongue::Saying;

#[test]
fn a_finding_is_in_the_group_that_its_evidence_bears() {
    let cases: [(&str, Build, Outcome); 13] = [
        ("as bought", bought(), Outcome::Open),
        (
            "not examined since",
            sold(of(1).says("not_examined")),
            Outcome::NotSeenSince,
        ),
        (
            "not to be told since",
            sold(of(1).says("not_visible")),
            Outcome::NotSeenSince,
        ),
        (
            "a level remains",
            sold(of(1).says("repaired").level(1)),
            Outcome::Traces,
        ),
        (
            "a size remains",
            sold(of(1).says("repaired").size("3 mm")),
            Outcome::Traces,
        ),
        (
            "nobody says what remains",
            sold(of(1).says("repaired")),
            Outcome::Repaired,
        ),
        ("no picture since", cured(bought()), Outcome::RepairUnseen),
        ("by itself", sold(of(1).says("gone")), Outcome::Gone),
        (
            "by a repair",
            cured(sold(of(1).says("gone"))),
            Outcome::Gone,
        ),
        (
            "gone under work that hides",
            sold(of(1).says("gone")).repair(WORKED, &[1]),
            Outcome::Hidden,
        ),
        (
            "a trace, then gone",
            sold(of(1).says("repaired").level(1))
                .shoot(Stage::Handover, LEFT)
                .photo("", &[], vec![of(1).says("gone")]),
            Outcome::Gone,
        ),
        (
            "only ever out of sight",
            Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
                "",
                &[],
                vec![mark("gouge", "top").says("not_visible")],
            ),
            Outcome::Untold,
        ),
        (
            "only ever looked for in vain",
            Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
                "",
                &[],
                vec![mark("worm_active", "foot-front-left").says("gone")],
            ),
            Outcome::NotFound,
        ),
    ];
    for (what, build, want) in cases {
        let found = build.finding(1);
        assert_eq!(found.outcome, Some(want), "{what}");
        let told = build.assess().counts.findings;
        assert_eq!((told.all(), told.number(want)), (1, 1), "{what}");
        // What says that it is closed is named.
        if want.is_closed() {
            assert!(found.closed_by.is_some(), "{what}");
        }
    }
}

#[test]
fn what_remains_is_told_apart_from_what_was() {
    let found = sold(of(1).says("repaired").level(1)).finding(1);
    assert_eq!(
        (found.before.level, found.before.size.as_deref()),
        (Some(2), Some("70 mm"))
    );
    let remains = found.remains.unwrap();
    assert_eq!((remains.level, remains.size), (Some(1), None));
    let again = sold(of(1).says("repaired").level(1))
        .shoot(Stage::Handover, LEFT)
        .photo("", &[], vec![of(1).level(3)])
        .finding(1);
    assert_eq!((again.before.level, again.remains), (Some(3), None));
}

/// One number for one thing: what is counted is what is listed.
#[test]
fn every_count_is_the_length_of_what_it_counts() {
    let told = sold(of(1).says("repaired").level(1))
        .photo(
            "",
            &[],
            vec![mark("not_examined", "drawer-1"), mark("sound", "drawer-2")],
        )
        .photo("", &[], vec![mark("gouge", "drawer-2/front").level(3)])
        .assess();
    let counts = &told.counts;
    assert_eq!(
        counts.findings.text(),
        "2 findings: 1 still there; 1 repaired, can still be seen"
    );
    assert_eq!(
        (counts.open_by_level, counts.open_without_level),
        ([0, 0, 1, 0], 0)
    );
    assert_eq!(counts.parts.all(), told.parts.len());
    let parts: usize = told
        .parts
        .iter()
        .filter(|it| !it.part.is_inner())
        .map(|it| it.counts.all())
        .sum();
    assert_eq!(parts, counts.findings.all());
    assert_eq!(counts.lacks.views, told.missing_views.len());
    assert_eq!(counts.lacks.parts, 1);
    let silent = counts.parts.silent;
    assert_eq!(
        counts.lacks.silent_parts, silent,
        "one count for the parts without a word"
    );
    assert!(
        counts
            .lacks
            .text()
            .starts_with(&format!("1 part, {silent} parts without a statement"))
    );
}

/// That a fault is more since the piece had left rests on a look from before it left and one from after.
#[test]
fn more_since_it_left_is_more_than_when_it_left() {
    let delivered = |sale: Build, later: Mark| {
        let build = sale.shoot(Stage::Delivery, ARRIVED);
        let it = build.photo("top_flat", &["top"], vec![later]).finding(1);
        it.more_since_left().is_some()
    };
    let at = |level: u8| of(1).level(level);
    // Worse at the sale than when it came in, and as at the sale when it arrived.
    assert!(!delivered(sold(at(4)), at(4)));
    assert!(!delivered(sold(at(4)), of(1)));
    assert!(!delivered(sold(at(4)), of(1).says("gone")));
    assert!(delivered(sold(at(3)), at(4)));
    assert!(delivered(sold(of(1)), of(1).says("worse")));
    assert!(delivered(cured(sold(of(1).says("repaired"))), of(1)));
    // Repaired, as somebody told, and seen at no look before it left.
    assert!(!delivered(cured(bought()), of(1)));
    assert!(sold(at(4)).finding(1).more_since_left().is_none());
}

/// A fault that was gone and is back is dated to the first look that saw it back; what was back before the piece left is not there
/// again since, but may be worse since.
#[test]
fn what_is_back_is_dated_to_the_first_look_that_saw_it() {
    let back = |arrived: Mark| {
        let van = sold(of(1).says("gone")).shoot(Stage::Handover, LEFT);
        let van = van.photo("top_flat", &["top"], vec![of(1).level(2)]);
        let build = van.shoot(Stage::Delivery, ARRIVED);
        build.photo("top_flat", &["top"], vec![arrived]).finding(1)
    };
    for (arrived, how, word) in [
        (of(1).level(3), Some(MoreSinceLeft::Worse), ", worse on "),
        (of(1).level(1), None, ", less on "),
        (of(1).level(2), None, " and on "),
    ] {
        let it = back(arrived);
        assert_eq!(it.more_since_left(), how, "{word}");
        let on = it.again_on().unwrap();
        assert!(on.starts_with("20 May 2026") && on.contains(word), "{on}");
        let turns: Vec<Stage> = it.turns().iter().map(|it| it.stage).collect();
        let all = [
            Stage::Purchase,
            Stage::Sale,
            Stage::Handover,
            Stage::Delivery,
        ];
        assert_eq!(turns, all);
    }
    let build = sold(of(1).says("gone")).shoot(Stage::Delivery, ARRIVED);
    let it = build.photo("top_flat", &["top"], vec![of(1)]).finding(1);
    assert_eq!(it.more_since_left(), Some(MoreSinceLeft::Again));
}

/// What was looked for and never found is no fault: it brings no danger, is counted beside the findings, and came back by nothing.
#[test]
fn what_was_looked_for_and_not_found_is_no_finding_that_went() {
    let worm = || mark("worm_active", "foot-front-left");
    let marks = vec![worm().says("gone"), mark("sound", "foot-front-left")];
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], marks);
    let told = build.assess();
    let it = &told.findings[0];
    assert_eq!(it.state, FindingState::NotFound);
    assert_eq!(
        it.origin_why,
        "It was looked for in picture 1 of 14 March 2026 (purchase), and not found."
    );
    assert_eq!(
        told.counts.findings.text(),
        "no finding. Besides: 1 looked for, not found"
    );
    assert!(!told.cautions.iter().any(|it| it.hazard == "insects"));
    assert!(!it.disclose && !it.is_to_do());
    let part = build.part("foot-front-left");
    assert!(matches!(part.state, PartState::Sound(_)));
    // Found at a later look, it is there, and not there again; treated, it asks for its watches.
    let found = build.shoot(Stage::Sale, FINISHED);
    let found = found.photo("", &[], vec![of(1).level(3)]);
    let it = found.finding(1);
    assert_eq!((it.state, it.cured_once()), (FindingState::Open, None));
    assert_eq!(it.more_since_left(), None);
    let mut treated = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], vec![worm().says("gone")])
        .repair("2026-03-14", &[1]);
    "insect_freeze".clone_into(&mut treated.case.repairs[0].method);
    let it = treated.finding(1);
    assert_eq!(it.outcome, Some(Outcome::Untold));
    let words = Saying::Parted(it.dealt_with(|day| day.to_string().into())).to_string();
    assert!(words.ends_with("no clean watch on record"), "{words}");
}

/// What is no finding is beside the number of findings, so that the numbers add up.
#[test]
fn the_groups_of_a_count_add_up_to_its_number() {
    let marks = vec![
        mark("gouge", "top"),
        mark("lead_paint", "top").level(1),
        mark("dent", "side-left").says("gone"),
    ];
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], marks);
    assert_eq!(
        build.assess().counts.findings.text(),
        "1 finding, still there. Besides: 1 tested, nothing found; 1 looked for, not found"
    );
}
