//! What is said at the door.

use proptest::prelude::*;

use super::estimates::of;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::sold;

const FAULTS: [&str; 8] = [
    "dent",
    "veneer_lift",
    "runner_worn",
    "burn",
    "odour_musty",
    "grime",
    "worm_active",
    "cut_down",
];
const PLACES: [&str; 4] = ["top", "side-left", "drawer-1", "foot-front-left"];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// However dear other faults are, and whatever is decided.
    #[test]
    fn a_danger_that_cannot_wait_is_always_said(
        faults in prop::collection::vec((0..FAULTS.len(), 0..PLACES.len(), 1_u8..=4), 0..6),
        price in prop::option::of(40_i64..900),
    ) {
        let named = faults.iter().map(|it| (FAULTS[it.0], PLACES[it.1], it.2));
        let named: Vec<_> = named.chain([("tip_risk", "frame", 4)]).collect();
        let mut build = chest_with(&named);
        for (n, mark) in build.case.photos[0].sidecar.marks.iter_mut().enumerate() {
            mark.which = Some(format!("no {n}"));
        }
        build.case.piece.market.sold = price.map_or_else(Vec::new, |it| sold("leave", &[it]));
        let words = of(&build).words;
        prop_assert!(words.iter().any(|it| it.starts_with("Tips forward")), "{words:?}");
    }
}

#[test]
fn what_is_not_told_at_length_is_named() {
    let build = chest_with(&[
        ("dent", "top", 2),
        ("veneer_lift", "side-left", 3),
        ("runner_worn", "drawer-1", 3),
        ("burn", "top", 2),
    ]);
    let words = of(&build).words;
    let faults = words.iter().filter(|it| it.contains('('));
    assert_eq!(faults.count(), 2, "{words:?}");
    assert!(words.contains(&"Also: burn, dent.".to_owned()), "{words:?}");
}

#[test]
fn what_decides_is_said_once() {
    let words = of(&chest_with(&[("cut_down", "top", 4)])).words;
    let said = words
        .iter()
        .filter(|it| it.to_lowercase().contains("cut down"));
    assert_eq!(said.count(), 1, "{words:?}");
    assert!(words[0].contains("I cannot name a price yet"), "{words:?}");
}
