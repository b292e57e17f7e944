//! What holds for every case.

use proptest::prelude::*;

use crate::assess::assess;
use crate::assess::assessment::Likeness;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Origin;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::trade;

const TAGS: [&str; 5] = ["white_mark", "gouge", "sound", "layer_line", "absent"];
const PARTS: [&str; 4] = ["top", "side-left", "drawer-1", "drawer-1/front"];
const VIEWS: [&str; 5] = ["top_flat", "left_whole", "defect_close", "handover", ""];

fn a_mark() -> impl Strategy<Value = Mark> {
    let level = prop::option::of(1u8..=4);
    (
        0..TAGS.len(),
        0..PARTS.len(),
        0..MarkState::ALL.len(),
        level,
    )
        .prop_map(|(tag, part, state, level)| Mark {
            state: MarkState::ALL[state].0,
            level,
            ..mark(TAGS[tag], PARTS[part])
        })
}

prop_compose! {
    fn a_photo()(
        view in 0..VIEWS.len(),
        parts in prop::collection::vec(0..PARTS.len(), 0..3),
        marks in prop::collection::vec(a_mark(), 0..4),
        dark in prop::bool::weighted(0.2),
    ) -> (usize, Vec<usize>, Vec<Mark>, bool) {
        (view, parts, marks, dark)
    }
}

/// Shoots of any stage, on days that need not be in order, with some repairs.
fn a_case() -> impl Strategy<Value = Build> {
    let shoot = (
        0..Stage::ALL.len(),
        1u8..=28,
        prop::collection::vec(a_photo(), 0..4),
    );
    let shoots = prop::collection::vec(shoot, 1..6);
    let repairs = prop::collection::vec((1u32..=4, 1u8..=28), 0..3);
    (shoots, repairs).prop_map(|(shoots, repairs)| {
        let mut build = Build::chest();
        for (stage, day, photos) in shoots {
            build = build.shoot(Stage::ALL[stage].0, &format!("2026-05-{day:02}"));
            for (view, parts, marks, dark) in photos {
                let parts: Vec<&str> = parts.iter().map(|it| PARTS[*it]).collect();
                build = build.photo(VIEWS[view], &parts, marks);
                build = build.but(|it| it.facts.brightness = if dark { 20.0 } else { 140.0 });
            }
        }
        for (finding, day) in repairs {
            build = build.repair(&format!("2026-05-{day:02}"), &[finding]);
        }
        build.number();
        build
    })
}

/// How bad a state is. `Reopened` says only that the fault is there again, not how it compares with the first look.
fn badness(state: FindingState) -> u8 {
    match state {
        FindingState::Worse => 3,
        FindingState::Open => 2,
        FindingState::Better | FindingState::Reopened => 1,
        FindingState::NotVisible
        | FindingState::RepairUnseen
        | FindingState::Gone
        | FindingState::NotFound
        | FindingState::Repaired
        | FindingState::Withdrawn => 0,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_present_mark_never_makes_a_state_better(build in a_case(), at in any::<prop::sample::Index>()) {
        let with_photos = !build.case.photos.is_empty() && !build.case.findings.is_empty();
        prop_assume!(with_photos);
        let before = build.assess();
        // Where the days contradict the stages, repairs and shoots have no common order; a gap says so.
        prop_assume!(before.gaps.iter().all(|it| it.code != "days_out_of_order"));
        for finding in &before.findings {
            let mut more = build.clone();
            let photo = at.get(&build.case.photos).no;
            let key = build.case.findings.iter().find(|it| it.no == finding.no).unwrap().key.clone();
            more.case.photos.iter_mut().find(|it| it.no == photo).unwrap().sidecar.marks.push(Mark {
                ..mark(&key.tag, key.part.as_str())
            });
            let after = more.finding(finding.no.0);
            prop_assert!(
                after.state == FindingState::Reopened || badness(after.state) >= badness(finding.state),
                "{:?} became {:?}", finding.state, after.state
            );
        }
    }

    #[test]
    fn the_order_of_the_input_changes_nothing(build in a_case(), seed in any::<u64>()) {
        let mut mixed = build.clone();
        let key = |no: u32| u64::from(no).wrapping_mul(seed | 1).rotate_left(17);
        mixed.case.photos.sort_by_key(|it| key(it.no));
        mixed.case.shoots.sort_by_key(|it| key(it.no));
        mixed.case.repairs.reverse();
        mixed.case.findings.reverse();
        let (a, b) = (assess(&build.case, trade::book()), assess(&mixed.case, trade::book()));
        prop_assert_eq!(format!("{a:?}"), format!("{b:?}"));
        prop_assert_eq!(
            crate::assess::new_keys(&build.case, trade::book()),
            crate::assess::new_keys(&mixed.case, trade::book())
        );
    }

    #[test]
    fn every_number_appears_exactly_once(build in a_case(), extra in 1u32..9) {
        let mut build = build;
        let twice = build.case.findings.first().cloned();
        build.case.findings.extend(twice);
        let told = build.assess();
        let mut numbers: Vec<FindingNo> = build.case.findings.iter().map(|it| it.no).collect();
        numbers.sort();
        numbers.dedup();
        let got: Vec<FindingNo> = told.findings.iter().map(|it| it.no).collect();
        prop_assert_eq!(got, numbers);
        // Withdrawn ones as well.
        for photo in &mut build.case.photos {
            photo.sidecar.marks.retain(|_| photo.no != extra);
        }
        prop_assert_eq!(build.assess().findings.len(), told.findings.len());
    }

    #[test]
    fn origins_and_pairs_claim_no_more_than_the_pictures(build in a_case()) {
        let told = build.assess();
        let stage_of = |photo: u32| {
            let photo = told.photos.iter().find(|it| it.no == photo).unwrap();
            told.shoots.iter().find(|it| it.no == photo.shoot).unwrap().stage
        };
        for finding in &told.findings {
            let seen = finding.history.iter().filter(|it| it.state.is_there());
            let first = seen.map(|it| it.stage).next();
            match finding.origin {
                Origin::AfterSale => prop_assert!(first.unwrap().after_sale()),
                Origin::Found => prop_assert!(first.unwrap().before_work()),
                Origin::ByWork | Origin::BetweenLooks => prop_assert!(first.is_some_and(|it| !it.before_work() && !it.after_sale())),
                Origin::Unknown => {}
            }
            prop_assert!(finding.origin_why.ends_with("."));
        }
        for pair in &told.pairs {
            prop_assert_ne!(pair.before.photo, pair.after.photo);
            let view = |no: u32| {
                told.photos.iter().find(|it| it.no == no).unwrap().sidecar.view.clone()
            };
            let (before, after) = (view(pair.before.photo), view(pair.after.photo));
            if pair.likeness == Likeness::SameView {
                prop_assert!(before.is_some() && before == after);
                prop_assert!(trade::book().view(&before.unwrap()).unwrap().fixed);
            }
            prop_assert!(stage_of(pair.before.photo) != stage_of(pair.after.photo));
        }
        prop_assert!(!told.not_examined.is_empty());
    }
}
