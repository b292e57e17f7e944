//! What levels and measures of several days say together.

use crate::assess::findings::finding::FindingState;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::of;
use crate::assess::tests::findings::BOUGHT;
use crate::assess::tests::findings::FINISHED;
use crate::assess::tests::findings::LEFT;
use crate::assess::tests::findings::bought;
use crate::model::photo::Stage;
use crate::trade;

#[test]
fn a_level_tells_worse_from_better() {
    for (level, word, want) in [
        (3, "present", FindingState::Worse),
        (1, "present", FindingState::Better),
        (2, "present", FindingState::Open),
        (3, "better", FindingState::Worse),
        (1, "worse", FindingState::Worse),
    ] {
        let later = of(1).says(word).level(level);
        let build = bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("", &[], vec![later]);
        assert_eq!(build.finding(1).state, want, "{word} at level {level}");
    }
}

/// Once worse, it stays so until a level or a word says otherwise.
#[test]
fn a_later_picture_without_a_level_takes_nothing_back() {
    let grown = |mark| {
        let sale = bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("", &[], vec![mark]);
        sale.shoot(Stage::Handover, LEFT)
            .photo("", &[], vec![of(1)])
            .finding(1)
            .state
    };
    assert_eq!(grown(of(1).level(3)), FindingState::Worse);
    assert_eq!(grown(of(1).says("worse")), FindingState::Worse);
    assert_eq!(grown(of(1).says("better")), FindingState::Open);
}

/// The first level stays in the history (a crack that grows in storage).
#[test]
fn a_changed_level_overwrites_nothing() {
    let later = of(1).level(3).size("90 mm");
    let found = bought()
        .shoot(Stage::Sale, FINISHED)
        .photo("", &[], vec![later])
        .finding(1);
    let levels: Vec<_> = found
        .history
        .iter()
        .map(|it| (it.shoot, it.level))
        .collect();
    assert_eq!(levels, [(1, Some(2)), (2, Some(3))]);
    assert_eq!(
        (found.level, found.size.as_deref()),
        (Some(3), Some("90 mm"))
    );
    let words = trade::book().tag("white_mark").unwrap().levels[2].clone();
    assert_eq!(found.level_words, words);
}

#[test]
fn a_measure_of_another_day_than_the_level_has_its_day() {
    let sold = |later: crate::model::mark::Mark| {
        bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("", &[], vec![later])
            .finding(1)
    };
    let older = sold(of(1).says("better").level(1));
    assert_eq!(
        (older.level, older.size.as_deref(), older.size_of),
        (Some(1), Some("70 mm"), Some(BOUGHT.parse().unwrap()))
    );
    assert_eq!(bought().finding(1).size_of, None);
    assert_eq!(sold(of(1).level(1).size("20 mm")).size_of, None);
}

#[test]
fn worse_with_a_lower_level_is_noticed() {
    let sold = |state: &str, level: u8| {
        bought()
            .shoot(Stage::Sale, FINISHED)
            .photo("", &[], vec![of(1).says(state).level(level)])
            .finding(1)
    };
    assert!(sold("worse", 1).worse_with_less().is_some());
    assert!(sold("worse", 3).worse_with_less().is_none());
    assert!(sold("better", 1).worse_with_less().is_none());
}
