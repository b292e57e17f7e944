//! What was said at one width and what it says of another.

use crate::assess::gaps::silence::Silence;
use crate::assess::part_report::PartState;
use crate::assess::part_report::SaidWord;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::assess::tests::build::of;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::piece::Lack;
use crate::model::piece::LackTold;

/// One shoot for each group of words `part!tag`; `drawer-2/lock` is named by a picture of the first.
fn told(shoots: &[&str]) -> Build {
    let days = ["2026-03-14", "2026-05-02", "2026-05-20"];
    let stages = [Stage::Purchase, Stage::Sale, Stage::Handover];
    let a_mark = |word: &str| -> Mark {
        let (part, tag) = word.split_once('!').unwrap();
        mark(tag, part)
    };
    let mut build = Build::chest();
    for ((words, day), stage) in shoots.iter().zip(days).zip(stages) {
        let marks = words.split_whitespace().map(a_mark).collect();
        build = build.shoot(stage, day).photo(
            "part_close",
            &["drawer-2/lock", "drawer-2/front"],
            marks,
        );
    }
    build
}

/// `sound 2`: the state and the photo that bears it; `(of Drawer 2)` when it was said of the whole.
fn said(build: &Build, part: &str) -> String {
    let wider = |it: Option<&str>| it.map_or_else(String::new, |it| format!(" (of {it})"));
    match build.part(part).state {
        PartState::Absent(it) => format!("absent {}{}", it.photo().unwrap_or(0), wider(it.wider())),
        PartState::NotExamined(it) => format!("not examined{}", wider(it.wider())),
        PartState::Silent => "silent".to_owned(),
        PartState::Sound(it) => format!("sound {}{}", it.photo(), wider(it.wider())),
        PartState::Faults => build.part(part).counts.text(),
    }
}

/// Common practice, no source: which parts a look at the closed whole sees.
#[test]
fn the_narrower_word_counts_and_the_newer_only_at_the_same_part() {
    let (front, lock, whole) = ("drawer-2/front", "drawer-2/lock", "drawer-2");
    let cases: [(&[&str], &str, &str); 22] = [
        // Narrower beats wider, whatever came later.
        (
            &["drawer-2/front!sound", "drawer-2!not_examined"],
            front,
            "sound 1",
        ),
        (
            &["drawer-2/lock!not_examined", "drawer-2!sound"],
            lock,
            "not examined",
        ),
        (
            &["drawer-2/lock!not_examined drawer-2!sound"],
            lock,
            "not examined",
        ),
        (
            &["drawer-2/front!not_examined", "drawer-2!sound"],
            front,
            "not examined",
        ),
        (
            &["drawer-2!sound", "drawer-2/front!not_examined"],
            front,
            "not examined",
        ),
        // A wider "sound" covers what a look at the whole sees.
        (&["drawer-2!sound"], front, "sound 1 (of Drawer 2)"),
        (&["drawer-2!sound"], lock, "silent"),
        (&["drawer-2!sound"], whole, "sound 1"),
        // The other wider words reach every part of it.
        (
            &["drawer-2!not_examined"],
            lock,
            "not examined (of Drawer 2)",
        ),
        (&["drawer-2!absent"], lock, "absent 1 (of Drawer 2)"),
        // The newer beats the older at the same part; that nobody looked once more takes no look away.
        (
            &["drawer-2/lock!not_examined", "drawer-2/lock!sound"],
            lock,
            "sound 2",
        ),
        (
            &["drawer-2/lock!sound", "drawer-2/lock!not_examined"],
            lock,
            "sound 1",
        ),
        (
            &["drawer-2!not_examined", "drawer-2!sound"],
            front,
            "sound 2 (of Drawer 2)",
        ),
        (&["drawer-2!not_examined", "drawer-2!sound"], lock, "silent"),
        // What was said of the narrower part stands, whatever came later of the wider one.
        (
            &["drawer-2/front!sound", "drawer-2!absent"],
            front,
            "sound 1",
        ),
        (
            &["drawer-2/front!gouge", "drawer-2!absent"],
            front,
            "1 finding, still there",
        ),
        (
            &["drawer-2!absent", "drawer-2/front!sound"],
            front,
            "sound 2",
        ),
        (
            &["drawer-2!absent", "drawer-2!sound"],
            front,
            "sound 2 (of Drawer 2)",
        ),
        (&["drawer-2!absent", "drawer-2!sound"], lock, "silent"),
        // Faults are words too.
        (
            &["drawer-2/front!gouge", "drawer-2!sound"],
            front,
            "1 finding, still there",
        ),
        (
            &["drawer-2/front!gouge", "drawer-2!sound"],
            whole,
            "1 finding, still there",
        ),
        (
            &["drawer-2!gouge", "drawer-2/front!sound"],
            front,
            "sound 2",
        ),
    ];
    for (shoots, part, want) in cases {
        assert_eq!(said(&told(shoots), part), want, "{part} of {shoots:?}");
    }
}

#[test]
fn a_fault_that_is_gone_is_told_beside_a_wider_word() {
    let build = told(&["drawer-2/front!gouge"])
        .shoot(Stage::Sale, "2026-05-02")
        .photo("", &[], vec![of(1).says("repaired").level(1)])
        .shoot(Stage::Handover, "2026-05-20")
        .photo("", &[], vec![mark("sound", "drawer-2")]);
    let want = "1 finding, repaired, can still be seen";
    assert_eq!(said(&build, "drawer-2/front"), want);
    assert_eq!(said(&build, "drawer-2"), want);
}

/// That nobody looked is not lost under a fault that was seen all the same.
#[test]
fn not_examined_stands_beside_faults_of_a_part() {
    let locked = |shoots: &[&str]| {
        told(shoots).photo(
            "",
            &[],
            vec![mark("not_examined", "drawer-2").note("locked")],
        )
    };
    let unlooked = |build: &Build| -> Vec<(String, String)> {
        let lines = build.assess().not_examined.into_iter();
        let lines = lines.filter(|it| it.silence == Silence::NotExamined);
        lines.map(|it| (it.what, it.why)).collect()
    };
    let build = locked(&["drawer-2/front!gouge", "top!sound"]);
    let part = build.part("drawer-2");
    assert_eq!(part.state, PartState::Faults);
    assert_eq!(part.otherwise.unwrap().why(), Some("locked"));
    // The lock was named, and nobody spoke of it otherwise. At the newest look nobody examined the gouge either.
    let told = |what: &str| [what, "Drawer 2, lock"].map(|it| (it.to_owned(), "locked".to_owned()));
    assert_eq!(unlooked(&build), told("Drawer 2"));
    let then = locked(&["drawer-2/front!gouge"]);
    assert_eq!(unlooked(&then), told("Drawer 2, beyond its findings"));
    // A newer fault on that very part says that somebody looked.
    let looked =
        build
            .shoot(Stage::Handover, "2026-05-20")
            .photo("", &[], vec![mark("gouge", "drawer-2")]);
    assert_eq!(looked.part("drawer-2").otherwise, None);
}

/// A drawer that is not there has no front to photograph, also where nobody names the front.
#[test]
fn what_is_unnamed_follows_its_whole() {
    let build = Build::chest().shoot(Stage::Purchase, "2026-03-14").photo(
        "",
        &[],
        vec![mark("absent", "drawer-1"), mark("sound", "drawer-3")],
    );
    let told = build.assess();
    for (part, want) in [
        ("drawer-1", true),
        ("drawer-1/lock", true),
        ("drawer-3/lock", false),
    ] {
        assert_eq!(told.is_absent(&part.parse().unwrap()), want, "{part}");
    }
    let unnamed = |part: &str| told.unnamed.get(&part.parse().unwrap()).cloned();
    assert!(matches!(
        unnamed("drawer-3/front"),
        Some(PartState::Sound(_))
    ));
    assert_eq!(unnamed("drawer-3/lock"), None);
}

#[test]
fn a_claim_that_it_works_rests_on_the_newest_word() {
    let borne = |shoots: &[&str]| {
        let mut build = told(shoots);
        "the lock is in working order".clone_into(&mut build.case.piece.title);
        let claims = build.assess().claims;
        assert_eq!(claims.len(), 1, "{claims:?}");
        claims[0].rests_on.is_some()
    };
    assert!(borne(&["drawer-2/lock!tried_works"]));
    assert!(!borne(&["drawer-2/lock!sound"]), "nobody tried it");
    assert!(!borne(&[
        "drawer-2/lock!tried_works",
        "drawer-2/lock!not_examined"
    ]));
    assert!(!borne(&["drawer-2!sound"]), "nobody turned the key");
}

/// A later "sound" leaves open what became of a fault, and takes no part out of those with findings before a picture shows it.
#[test]
fn a_later_sound_is_told_beside_the_fault_and_settles_nothing() {
    let later = told(&["drawer-2!drawer_stick", "drawer-2!sound"]);
    let found = later.finding(1);
    assert_eq!(found.said_sound.len(), 1);
    assert_eq!(found.disputed_by().map(|it| it.photo()), Some(2));
    let repaired = later.repair("2026-04-10", &[1]);
    let found = repaired.finding(1);
    assert!(found.disputed_by().is_some());
    assert_eq!(repaired.part("drawer-2").state, PartState::Faults);
    let earlier = told(&["drawer-2!sound", "drawer-2!drawer_stick"]).finding(1);
    assert!(earlier.said_sound.is_empty() && earlier.disputed_by().is_none());
}

/// A later word takes no earlier one back: each stays said with its day.
#[test]
fn a_statement_once_said_comes_out() {
    let build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], vec![mark("absent", "back")])
        .photo("", &[], vec![mark("absent", "back")])
        .shoot(Stage::Work, "2026-04-10")
        .photo("", &[], vec![mark("sound", "back")])
        .photo("", &[], vec![mark("not_examined", "back")]);
    let part = build.part("back");
    let said: Vec<_> = part.said.iter().map(|it| (it.word, it.photo)).collect();
    assert_eq!(
        said,
        [
            (SaidWord::Absent, Some(1)),
            (SaidWord::Sound, Some(3)),
            (SaidWord::NotExamined, Some(4)),
        ]
    );
    let other: Vec<_> = part.said_otherwise().map(|it| it.word).collect();
    assert_eq!(other, [SaidWord::Absent, SaidWord::NotExamined]);
}

/// A part of which a line tells after the pictures that it is not there is absent, and was found sound before; what was told when the
/// piece was taken in is a word from before its pictures.
#[test]
fn a_part_told_absent_later_is_absent() {
    let mut build =
        Build::chest()
            .shoot(Stage::Sale, "2026-05-05")
            .photo("", &[], vec![mark("sound", "back")]);
    let back: PartId = "back".parse().unwrap();
    build.case.piece.absent.push(back.clone());
    assert!(matches!(build.part("back").state, PartState::Sound(_)));
    build.case.lacks_told.push(LackTold {
        line: 59,
        at: "2026-05-20T09:00:00Z".parse().unwrap(),
        lack: Lack::Absent,
        told: vec![back],
        no_more: Vec::new(),
    });
    let part = build.part("back");
    assert!(
        matches!(&part.state, PartState::Absent(it) if it.told().is_some_and(|it| it.line == 59))
    );
    let other: Vec<_> = part.said_otherwise().map(|it| it.word).collect();
    assert_eq!(other, [SaidWord::Sound]);
    // What a picture of before told stays: since when it is absent.
    let mut seen = Build::chest()
        .shoot(Stage::Sale, "2026-05-05")
        .photo("", &[], vec![mark("sound", "back")])
        .shoot(Stage::Delivery, "2026-05-12")
        .photo("", &[], vec![mark("absent", "back")]);
    seen.case.piece.absent = build.case.piece.absent.clone();
    seen.case.lacks_told = build.case.lacks_told.clone();
    let part = seen.part("back");
    let PartState::Absent(missed) = &part.state else {
        panic!("{part:?}");
    };
    assert_eq!(
        missed.lost().map(|it| (it.photo, it.since_left)),
        Some((2, true))
    );
    assert!(
        part.said
            .iter()
            .any(|it| it.told.is_some_and(|it| it.line == 59))
    );
    // A later picture has the last word.
    let build = build.shoot(Stage::Return, "2026-06-01");
    let build = build.photo("", &[], vec![mark("sound", "back")]);
    assert!(matches!(build.part("back").state, PartState::Sound(_)));
}
