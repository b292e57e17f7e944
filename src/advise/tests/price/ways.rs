//! The ways to finish a piece, and the one that is chosen.

use super::estimates::SHOW;
use super::estimates::estimated;
use super::estimates::of;
use super::estimates::option;
use crate::advise::price::options::CHOSEN;
use crate::advise::refinish::advice::Verdict as Can;
use crate::advise::tests::made_up::advice;
use crate::advise::tests::made_up::chest_with;
use crate::advise::tests::made_up::eur;
use crate::advise::tests::made_up::settings;
use crate::advise::tests::made_up::sold;
use crate::model::market::Chosen;
use crate::trade;

#[test]
fn the_stripped_top_and_the_waxed_rest_is_named_for_what_it_is() {
    let it = chest_with(&[]).assess();
    let but: Vec<(&str, &str, Can)> = SHOW[1..]
        .iter()
        .map(|it| (*it, "strip_stain", Can::Shut))
        .collect();
    let found = estimated(&it, &advice(&it, &but), &settings());
    let way = &option(&found, "strip_stain").way;
    assert_eq!(
        way.label,
        "Strip, stain, new clear coat: top; Clean and wax: 11 parts"
    );
    assert_eq!(
        way.two_tone.as_deref(),
        Some(
            "Two finishes side by side: new clear coat on top, old finish on 11 parts. The colours will differ."
        )
    );
    assert_eq!(option(&found, "clean_wax").way.two_tone, None);
}

#[test]
fn what_was_chosen_comes_first_and_what_is_shut_is_refused_with_its_reason() {
    let mut build = chest_with(&[]);
    let chosen = |part: Option<&str>, path: &str| Chosen {
        part: part.map(|it| it.parse().unwrap()),
        path: path.to_owned(),
    };
    build.case.piece.market.chosen = vec![
        chosen(None, "fill_paint"),
        chosen(Some("top"), "strip_clear"),
    ];
    let it = build.assess();
    let found = estimated(
        &it,
        &advice(&it, &[("side-left", "fill_paint", Can::Waiting)]),
        &settings(),
    );
    let own = &found.options[0];
    assert_eq!((own.way.id.as_str(), found.shown), (CHOSEN, 0));
    let of = |part: &str| {
        own.way
            .parts
            .iter()
            .find(|it| it.part.as_str() == part)
            .unwrap()
            .path
            .clone()
            .unwrap()
    };
    assert_eq!(
        (
            of("top").as_str(),
            of("side-right").as_str(),
            of("side-left").as_str()
        ),
        ("strip_clear", "fill_paint", "clean_wax")
    );
    let refused: Vec<String> = found
        .refused
        .iter()
        .map(|it| {
            format!(
                "{} {}: {} {}",
                it.label, it.path, it.reasons[0].why, it.look[0]
            )
        })
        .collect();
    assert_eq!(
        refused,
        ["Left side fill_paint: Shut by this test. Look again."]
    );
    assert!(own.way.two_tone.is_some() && found.needs_a_hand);
    assert_eq!(own.way.main, "fill_paint");
}

/// What is told of one foot alone does not make the price of a stripped piece that of this one.
#[test]
fn a_way_chosen_for_one_part_leaves_the_price_that_of_the_rest() {
    let mut build = chest_with(&[]);
    build.case.piece.market.chosen = vec![Chosen {
        part: Some("foot-front-left".parse().unwrap()),
        path: "strip_clear".to_owned(),
    }];
    build.case.piece.market.sold = sold("strip_clear", &[900]);
    build
        .case
        .piece
        .market
        .sold
        .extend(sold("clean_wax", &[210]));
    let found = of(&build);
    let own = &found.options[0];
    assert_eq!(
        (own.way.id.as_str(), own.way.main.as_str()),
        (CHOSEN, "clean_wax")
    );
    let sums = own.offer.sums.as_ref().unwrap();
    assert_eq!(sums.lowest_sold, eur(210));
}

/// Where no way of refinishing can be taken yet, what is broken is mended all the same, in a way that says so.
#[test]
fn with_no_coat_looked_at_what_is_broken_is_mended_by_name() {
    let it = chest_with(&[("runner_worn", "drawer-1/runner-left", 3)]).assess();
    let paths = trade::book().paths.iter().map(|it| it.id.as_str());
    let waits = paths.filter(|it| *it != "leave");
    let waits: Vec<(&str, &str, Can)> = waits.map(|it| ("*", it, Can::Waiting)).collect();
    let found = estimated(&it, &advice(&it, &waits), &settings());
    let ids: Vec<&str> = found.options.iter().map(|it| it.way.id.as_str()).collect();
    assert_eq!(ids, ["leave", "mend"]);
    let mends = |id: &str| {
        let tasks = &option(&found, id).plan.tasks;
        tasks.iter().any(|it| it.id == "runner")
    };
    assert!(mends("mend") && !mends("leave"));
    assert_eq!(found.options[found.shown].way.id, "mend");
    let left = &option(&found, "leave").plan.left;
    assert_eq!((left.len(), left[0].level), (1, Some(3)));
}
