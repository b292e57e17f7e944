//! What was done about a fault, and whether that ends it: treatments, tests, watches.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::outcome::Outcome;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::assess::tests::findings::WORKED;
use crate::assess::tests::findings::bought;
use crate::assess::tests::findings::sold_as;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::tongue::Saying;

/// A method that deals with a danger leaves the fault as it was, until somebody looks.
#[test]
fn what_was_treated_was_not_repaired() {
    let treated = |build: Build| {
        let mut build = build.repair(WORKED, &[1]);
        "insect_local".clone_into(&mut build.case.repairs[0].method);
        build.finding(1)
    };
    for (build, outcome) in [
        (bought(), Outcome::Open),
        (sold_as("present"), Outcome::Open),
        (sold_as("repaired"), Outcome::NotSeenSince),
    ] {
        let found = treated(build);
        assert_eq!((found.state, found.is_to_do()), (FindingState::Open, true));
        assert_eq!(found.outcome, Some(outcome));
        assert_eq!(found.treated[0].repair, 1);
    }
}

/// A live beetle in a leg, looked at on these days with these words, treated and watched on those.
fn beetle(looks: &[(&str, &str)], done: &[(&str, &str)]) -> Build {
    let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-01").photo(
        "",
        &[],
        vec![mark("worm_active", "foot-front-left").level(3)],
    );
    for (day, word) in looks {
        build = build
            .shoot(Stage::Work, day)
            .photo("", &[], vec![of(1).says(word)]);
    }
    for (day, method) in done {
        build = build.repair(day, &[1]);
        (*method).clone_into(&mut build.case.repairs.last_mut().unwrap().method);
    }
    build
}

/// Two clean watches after a treatment end a beetle (common practice, no source); less does not, and its danger stays.
#[test]
fn a_beetle_is_gone_after_two_clean_watches() {
    let freeze = ("2026-04-01", "insect_freeze");
    let watch = ("2026-05-01", "watch_again");
    let clean = |day| (day, "gone");
    for (looks, done, ended, words) in [
        (vec![], vec![freeze], false, "no clean watch on record"),
        (
            vec![("2026-04-05", "repaired")],
            vec![freeze],
            false,
            "no clean watch",
        ),
        // One look, however late; two too early; two of which one is from before the treatment.
        (vec![clean("2026-06-01")], vec![freeze], false, "1 of 2"),
        (
            vec![clean("2026-04-05"), clean("2026-04-09")],
            vec![freeze],
            false,
            "no clean watch",
        ),
        (
            vec![clean("2026-03-20"), clean("2026-04-20")],
            vec![freeze],
            false,
            "1 of 2",
        ),
        // Never treated.
        (
            vec![clean("2026-04-15"), clean("2026-05-01")],
            vec![],
            false,
            "",
        ),
        (
            vec![clean("2026-04-15"), clean("2026-04-29")],
            vec![freeze],
            true,
            "",
        ),
        // That it was watched says nothing of what was seen: only the marks of looks count.
        (
            vec![clean("2026-05-01")],
            vec![freeze, watch],
            false,
            "1 of 2",
        ),
        (vec![], vec![freeze, watch], false, "no clean watch"),
        (
            vec![("2026-05-01", "repaired")],
            vec![("2026-04-20", "part_remake")],
            true,
            "",
        ),
    ] {
        let found = beetle(&looks, &done).finding(1);
        let case = format!("{looks:?} {done:?}: {:?}", found.state);
        assert_eq!(!found.is_to_do(), ended, "{case}");
        assert_eq!(found.outcome.unwrap().is_closed(), ended, "{case}");
        let said = Saying::Parted(found.dealt_with(|day| day.to_string().into())).to_string();
        assert!(said.contains(words), "{case}: {said}");
    }
    // Work from before it was last there is not its end.
    let again = [("2026-04-05", "worse"), ("2026-04-25", "repaired")];
    let found = beetle(&again, &[("2026-03-20", "part_remake")]).finding(1);
    assert_eq!(
        (found.state, found.is_to_do()),
        (FindingState::Reopened, true)
    );
    let told = beetle(&[("2026-04-05", "repaired")], &[freeze]).assess();
    let gap = told.gaps.iter().find(|it| it.code == "ended_without_work");
    let message = &gap.unwrap().message;
    assert!(
        message.contains("treated on 1 April 2026 (repair 1); no clean watch on record"),
        "{message}"
    );
}

/// What only covers a danger that spreads, or makes dust of one that lies in a coat, ends none of it. Common practice, no source.
#[test]
fn work_that_ends_no_danger_leaves_it_as_it_was() {
    for (tag, method, ended, words) in [
        ("worm_active", "wax_fill", false, "covered on"),
        ("bed_bugs", "paint", false, "covered on"),
        ("mould_growth", "paint", false, "covered on"),
        ("mould_growth", "mould", true, ""),
        ("lead_paint", "paint", false, "covered on"),
        ("lead_paint", "sand", false, "not mended by the work of"),
        ("lead_paint", "scuff", false, "not mended by the work of"),
        ("lead_paint", "strip", true, ""),
        ("lead_paint", "lead_safe", true, "treated on"),
        // What harms nobody is covered as it always was.
        ("gouge", "wax_fill", true, ""),
        ("odour_smoke", "odour_seal", true, ""),
    ] {
        let build = Build::chest().shoot(Stage::Purchase, "2026-03-01").photo(
            "",
            &[],
            vec![mark(tag, "top").level(3)],
        );
        let mut build = build.repair("2026-04-01", &[1]);
        method.clone_into(&mut build.case.repairs[0].method);
        let found = build.finding(1);
        let said = Saying::Parted(found.dealt_with(|day| day.to_string().into())).to_string();
        assert_eq!(!found.is_to_do(), ended, "{tag} {method}: {said}");
        assert!(said.contains(words), "{tag} {method}: {said}");
    }
}

/// A test repairs nothing, and is tested and not treated; its result is asked for until a mark tells it.
#[test]
fn a_lead_test_repairs_nothing() {
    let tested = |looks: &[(&str, &str, Option<u8>)]| {
        let paint = mark("lead_paint", "top").level(3);
        let mut build = Build::chest()
            .shoot(Stage::Purchase, "2026-03-01")
            .photo("", &[], vec![paint])
            .repair("2026-04-01", &[1]);
        "lead_test".clone_into(&mut build.case.repairs[0].method);
        for (day, word, level) in looks {
            let said = Mark {
                level: *level,
                ..of(1).says(word)
            };
            build = build.shoot(Stage::Work, day).photo("", &[], vec![said]);
        }
        build.finding(1)
    };
    let words =
        |it: &Finding| Saying::Parted(it.dealt_with(|day| day.to_string().into())).to_string();
    for found in [tested(&[]), tested(&[("2026-04-20", "repaired", None)])] {
        assert!(found.is_to_do() && !found.outcome.unwrap().is_closed());
        assert_eq!(found.level, Some(3));
        assert_eq!(
            words(&found),
            "tested on 2026-04-01 (repair 1), result not told"
        );
    }
    for level in [1, 4] {
        let found = tested(&[("2026-04-20", "present", Some(level))]);
        assert_eq!(words(&found), "tested on 2026-04-01 (repair 1)");
    }
}

/// What a test found is knowledge: the paint got no better and no worse by it, and what it did not find is not there.
#[test]
fn what_a_test_found_is_no_change() {
    let tested = |level: u8| {
        let look = Mark {
            level: Some(level),
            ..of(1).says("present")
        };
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-01")
            .photo("", &[], vec![mark("lead_paint", "top").level(3)])
            .shoot(Stage::Work, "2026-04-20")
            .photo("", &[], vec![look])
            .finding(1)
    };
    for (level, state, outcome) in [
        (1, FindingState::Open, Outcome::Cleared),
        (4, FindingState::Open, Outcome::Open),
        (2, FindingState::Better, Outcome::Open),
    ] {
        let found = tested(level);
        let became = (found.state, found.outcome);
        assert_eq!(became, (state, Some(outcome)), "level {level}");
    }
}

/// A clean result on the top coat says nothing of those below (common practice, no source), wherever the words stand.
#[test]
fn a_clean_test_of_the_top_coat_clears_nothing() {
    let tested = |said: Mark| {
        let first = mark("lead_paint", "top").level(3);
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-01")
            .photo("", &[], vec![first])
            .shoot(Stage::Work, "2026-04-20")
            .photo(
                "",
                &[],
                vec![Mark {
                    level: Some(1),
                    ..said
                }],
            )
    };
    for (words, clean) in [
        ("Swab of the top coat only", None),
        ("no lead in the topmost paint", None),
        ("upper layer: none", None),
        ("top coat, not through all layers", None),
        ("top coat and all layers below it: none", Some(false)),
        (
            "one sample, three coats down to the wood, the top coat white",
            Some(false),
        ),
        ("swab, top, negative", Some(false)),
    ] {
        for said in [of(1).note(words), of(1).size(words)] {
            let found = tested(said).finding(1);
            assert_eq!(found.test_found(), clean, "{words}");
            let is_closed = found.outcome == Some(Outcome::Cleared);
            assert_eq!(is_closed, clean.is_some(), "{words}");
        }
    }
    let mut by_repair = tested(of(1)).repair("2026-04-10", &[1]);
    "lead_test".clone_into(&mut by_repair.case.repairs[0].method);
    assert_eq!(by_repair.finding(1).test_found(), Some(false));
    by_repair.case.repairs[0].note = Some("the top coat was swabbed".to_owned());
    assert_eq!(by_repair.finding(1).test_found(), None);
}

/// The result of one test is not that of another on another part.
#[test]
fn a_test_is_told_on_its_own_part() {
    let clean = Mark {
        level: Some(1),
        ..of(1)
    };
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-01")
        .photo(
            "",
            &[],
            vec![mark("lead_paint", "top"), mark("lead_paint", "side-left")],
        )
        .shoot(Stage::Work, "2026-04-20")
        .photo("", &[], vec![clean])
        .repair("2026-04-01", &[1])
        .repair("2026-04-01", &[2]);
    for it in &mut build.case.repairs {
        "lead_test".clone_into(&mut it.method);
    }
    let words = |no| build.finding(no).dealt_with(|day| day.to_string().into());
    assert_eq!(words(1), ["tested on 2026-04-01 (repair 1)"]);
    assert_eq!(
        words(2),
        ["tested on 2026-04-01 (repair 2), result not told"]
    );
}

/// A clean watch is a look, so that the fault is not called not examined, and keeps no report back; until there are enough of them,
/// whoever takes it is told of what may live in it.
#[test]
fn one_clean_watch_is_a_look_and_no_end() {
    let freeze = ("2026-04-01", "insect_freeze");
    for (looks, warned) in [
        (&["2026-04-05"][..], true),
        (&["2026-04-20"], true),
        (&["2026-04-20", "2026-05-10"], false),
    ] {
        let looks: Vec<_> = looks.iter().map(|day| (*day, "gone")).collect();
        let it = beetle(&looks, &[freeze]).assess();
        let is_blocked = it.gaps.iter().any(|it| it.code == "ended_without_work");
        let mut unexamined = it.not_examined.iter();
        let is_unexamined = unexamined.any(|it| it.what.starts_with("F1"));
        assert_eq!((is_blocked, is_unexamined), (false, false), "{looks:?}");
        // Whoever takes it has to know, until it is shown to be gone.
        let told = { it.told_first() }.any(|of| of.1.short == it.findings[0].term.as_str());
        assert_eq!(told, warned, "{looks:?}");
    }
}

/// What whoever takes a piece has to know is one list: what it may not be used for, lead that was found, what lives in it.
#[test]
fn what_a_buyer_has_to_know_is_one_list() {
    let marks = vec![
        mark("broken_member", "foot-front-left").level(4),
        mark("lead_paint", "top").level(4),
        mark("worm_active", "back").level(3),
        mark("gouge", "top").level(2),
    ];
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-01")
        .photo("", &[], marks);
    let short = |it: &Build| -> Vec<String> {
        let told = it.assess();
        told.told_first().map(|it| it.1.short.to_string()).collect()
    };
    let [unused, lead, alive] = &short(&build)[..] else {
        panic!("{:?}", short(&build));
    };
    assert_eq!(unused, "Not to be used until it is repaired");
    assert_eq!(lead, "Lead was found in the paint");
    assert_eq!(alive, &build.finding(3).term);
    // Repaired, and no mark since: it was repaired, and nobody has tried it.
    build.case.photos[0].sidecar.marks.truncate(1);
    build = build.repair("2026-04-01", &[1]);
    "scarf".clone_into(&mut build.case.repairs[0].method);
    let told = build.assess();
    let unused = told.not_to_be_used().unwrap();
    assert_eq!(unused.title, "Not to be used until it is tried");
    assert!(unused.lines[0].ends_with("level 4, repaired, not yet tried."));
}
