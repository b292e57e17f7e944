//! The book holds together: every id exists, every list is whole, every word means one thing.
//! The counts and the facts of the trade come from the plan of this project: common practice, no source.

#![expect(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::model::photo::Stage;
use crate::trade::book;
use crate::trade::form::FormPart;
use crate::trade::form::PartChoice;
use crate::trade::kind::Face;
use crate::trade::kind::Spread;
use crate::trade::method::Cures;
use crate::trade::tag::Ease;
use crate::trade::trade_book::TradeBook;

fn parsed() -> TradeBook {
    TradeBook::parse().unwrap()
}

fn parts(form: &str, rows: &[u8], with: &[&str]) -> Vec<FormPart> {
    let choice = PartChoice {
        drawer_rows: rows.to_vec(),
        with: with.iter().map(|it| (*it).to_owned()).collect(),
    };
    book().parts(book().form(form).unwrap(), &choice)
}

fn outer_ids(parts: &[FormPart]) -> Vec<&str> {
    let outer = parts.iter().filter(|it| !it.inner);
    outer.map(|it| it.id.as_str()).collect()
}

#[test]
fn it_parses_and_is_as_long_as_planned() {
    let book = parsed();
    let counts = [
        ("forms", book.forms.len(), 12),
        ("kinds", book.kinds.len(), 59),
        ("views", book.views.len(), 41),
        ("tags", book.tags.len(), 95),
        ("cues", book.cues.len(), 74),
        ("methods", book.methods.len(), 84),
        ("hazards", book.hazards.len(), 14),
    ];
    for (what, count, least) in counts {
        assert!(count >= least, "{what}: {count} of {least}");
    }
}

#[test]
fn ids_are_unique_and_found() {
    let book = parsed();
    let lists: [Vec<&String>; 7] = [
        book.forms.iter().map(|it| &it.id).collect(),
        book.views.iter().map(|it| &it.id).collect(),
        book.kinds.iter().map(|it| &it.id).collect(),
        book.tags.iter().map(|it| &it.id).collect(),
        book.cues.iter().map(|it| &it.id).collect(),
        book.methods.iter().map(|it| &it.id).collect(),
        book.hazards.iter().map(|it| &it.id).collect(),
    ];
    for list in &lists {
        let unique: BTreeSet<_> = list.iter().collect();
        assert_eq!(unique.len(), list.len());
        for id in list {
            let plain = |it: u8| it.is_ascii_lowercase() || it.is_ascii_digit() || it == b'_';
            assert!(id.bytes().all(plain), "{id}");
        }
    }
    // A mark names a tag or a cue in the same place.
    let (tags, cues) = (&lists[3], &lists[4]);
    assert!(tags.iter().all(|it| !cues.contains(it)));
    for special in ["sound", "absent", "not_examined"] {
        assert!(book.tag(special).is_none() && book.cue(special).is_none());
    }
    for tag in &book.tags {
        assert_eq!(book.tag(&tag.id).map(|it| &it.term), Some(&tag.term));
    }
    assert!(book.tag("front_whole").is_none());
    assert!(book.view("front_whole").is_some());
}

#[test]
fn every_id_that_is_named_exists() {
    let book = parsed();
    let kind = |id: &str, by: &str| assert!(book.kind(id).is_some(), "kind {id} in {by}");
    let view = |id: &str, by: &str| assert!(book.view(id).is_some(), "view {id} in {by}");
    let hazard = |id: &str, by: &str| assert!(book.hazard(id).is_some(), "hazard {id} in {by}");
    for it in &book.kinds {
        it.inner.iter().for_each(|inner| kind(&inner.kind, &it.id));
    }
    for it in &book.forms {
        it.parts.iter().for_each(|part| kind(&part.kind, &it.id));
        it.more_views.iter().for_each(|id| view(id, &it.id));
    }
    for it in &book.sets {
        it.views.iter().for_each(|id| view(id, it.stage.word()));
    }
    for it in &book.views {
        it.needs.iter().for_each(|id| kind(id, &it.id));
    }
    for it in &book.tags {
        it.parts.iter().for_each(|id| kind(id, &it.id));
        it.views.iter().for_each(|id| view(id, &it.id));
        it.hazards.iter().for_each(|id| hazard(id, &it.id));
        for id in &it.fix {
            assert!(book.method(id).is_some(), "method {id} in {}", it.id);
        }
    }
    for it in &book.cues {
        it.view.iter().for_each(|id| view(id, &it.id));
    }
    for it in &book.methods {
        it.hazards.iter().for_each(|id| hazard(id, &it.id));
    }
    for it in &book.hazards {
        let rule = &it.applies;
        rule.kinds.iter().for_each(|id| kind(id, &it.id));
        for id in &rule.forms {
            assert!(book.form(id).is_some(), "form {id} in {}", it.id);
        }
        for id in &rule.marks {
            let known = book.tag(id).is_some() || book.cue(id).is_some();
            assert!(known, "mark {id} in {}", it.id);
        }
    }
}

#[test]
fn views_name_parts_that_some_form_has() {
    let book = parsed();
    let mut known = BTreeSet::new();
    for form in &book.forms {
        let with = form.parts.iter().map(|it| it.kind.clone()).collect();
        let drawer_rows = vec![2, 1];
        for part in book.parts(form, &PartChoice { drawer_rows, with }) {
            known.insert(part.kind);
            known.insert(part.id.as_str().to_owned());
        }
    }
    for view in &book.views {
        for shown in &view.shows {
            assert!(known.contains(shown), "{shown} in {}", view.id);
        }
    }
    for kind in &book.kinds {
        assert!(known.contains(&kind.id), "no form has a {}", kind.id);
    }
}

#[test]
fn every_kind_gives_names_that_are_part_names() {
    let book = parsed();
    for form in &book.forms {
        for rows in [vec![], vec![2, 1, 1, 1]] {
            let with = form.parts.iter().map(|it| it.kind.clone()).collect();
            let list = book.parts(
                form,
                &PartChoice {
                    drawer_rows: rows,
                    with,
                },
            );
            let ids: BTreeSet<_> = list.iter().map(|it| &it.id).collect();
            assert_eq!(ids.len(), list.len(), "{}", form.id);
            let labels: BTreeSet<_> = list.iter().map(|it| &it.label).collect();
            assert_eq!(labels.len(), list.len(), "{}", form.id);
        }
    }
    // A name that is no part name is left out of the list, so ask each of them here.
    for kind in &book.kinds {
        let stem: crate::model::ids::PartId = kind.name.parse().unwrap();
        assert!(!stem.is_inner(), "{stem}");
        for inner in &kind.inner {
            let id = format!("{}-1/{}", kind.name, inner.name);
            assert!(id.parse::<crate::model::ids::PartId>().is_ok(), "{id}");
        }
        let many = !matches!(kind.spread, Spread::One | Spread::InnerOnly);
        assert_eq!(many, kind.each.is_some(), "{}", kind.id);
    }
}

#[test]
fn a_chest_is_listed_in_walking_order() {
    let list = parts("chest_of_drawers", &[], &[]);
    let outer = outer_ids(&list);
    let expected = [
        "top",
        "side-left",
        "side-right",
        "back",
        "frame",
        "drawer-1",
        "drawer-2",
        "drawer-3",
        "drawer-4",
        "foot-front-left",
        "foot-front-right",
        "foot-back-left",
        "foot-back-right",
    ];
    assert_eq!(outer, expected);
    assert!(list.iter().all(|it| it.required != it.inner));
    let of_two = list
        .iter()
        .filter(|it| it.id.whole().as_str() == "drawer-2");
    let of_two: Vec<_> = of_two.map(|it| it.id.as_str()).collect();
    for inner in [
        "front",
        "side-left",
        "side-right",
        "back",
        "bottom",
        "edge-left",
        "edge-right",
        "runner-left",
        "runner-right",
        "stop",
        "pull-left",
        "pull-right",
        "pull",
        "lock",
        "keyhole",
    ] {
        let id = format!("drawer-2/{inner}");
        assert!(of_two.contains(&id.as_str()), "{id}");
    }
    let label = |id: &str| {
        let found = list.iter().find(|it| it.id.as_str() == id).unwrap();
        (found.label.clone(), found.face)
    };
    assert_eq!(label("side-left"), ("Left side".into(), Face::Left));
    assert_eq!(label("drawer-2"), ("Drawer 2".into(), Face::Front));
    assert_eq!(
        label("drawer-2/bottom"),
        ("Drawer 2, bottom".into(), Face::Inside)
    );
    assert_eq!(label("back").1, Face::Back);
    assert_eq!(label("top").1, Face::Top);
}

#[test]
fn what_the_owner_names_changes_the_list() {
    let list = parts(
        "chest_of_drawers",
        &[2, 1, 1, 1],
        &["leg", "key", "dust_panel", "nonsense"],
    );
    let outer = outer_ids(&list);
    assert_eq!(
        outer.iter().filter(|it| it.starts_with("drawer-")).count(),
        5
    );
    assert_eq!(
        outer
            .iter()
            .filter(|it| it.starts_with("dust-panel-"))
            .count(),
        3
    );
    assert!(outer.contains(&"leg-front-left") && outer.contains(&"key"));
    assert!(!outer.iter().any(|it| it.starts_with("foot")));
    let leg = list
        .iter()
        .find(|it| it.id.as_str() == "leg-front-left")
        .unwrap();
    assert_eq!(leg.label, "Leg, front left");
    // Feet and a base both, when both are named; a kind that the form does not know comes last.
    let both = parts(
        "chest_of_drawers",
        &[1],
        &["foot", "base_plinth", "glass_pane"],
    );
    let both = outer_ids(&both);
    assert!(both.contains(&"foot-back-right") && both.contains(&"base"));
    assert_eq!(both.last(), Some(&"glass-1"));
    // A single door is just `door`; two are left and right.
    assert!(outer_ids(&parts("nightstand", &[], &["door"])).contains(&"door"));
    let cabinet = parts("cabinet_sideboard", &[3], &[]);
    let hinge = cabinet
        .iter()
        .find(|it| it.id.as_str() == "door-left/hinge-upper")
        .unwrap();
    assert_eq!(
        (hinge.label.as_str(), hinge.required),
        ("Left door, upper hinge", false)
    );
    assert!(outer_ids(&cabinet).contains(&"drawer-3"));
    assert!(outer_ids(&parts("side_table", &[], &["drawer"])).contains(&"drawer-1"));
}

#[test]
fn every_required_part_is_shown_at_purchase() {
    let book = parsed();
    for form in &book.forms {
        let usual = PartChoice::default();
        let views = book.views_for(form, Stage::Purchase);
        for part in book.parts(form, &usual).iter().filter(|it| it.required) {
            let shown = views.iter().any(|it| it.shows_part(part));
            assert!(shown, "{} of {}", part.id, form.id);
        }
    }
}

#[test]
fn views_fit_the_form_and_come_in_walking_order() {
    let book = parsed();
    let ids = |form: &str, stage| -> Vec<&str> {
        let views = book.views_for(book.form(form).unwrap(), stage);
        views.iter().map(|it| it.id.as_str()).collect()
    };
    for (stage, _) in Stage::ALL {
        for form in &book.forms {
            let list = ids(&form.id, stage);
            assert!(!list.is_empty(), "{} at {stage}", form.id);
            let order = |id: &str| book.views.iter().position(|it| it.id == id);
            assert!(list.is_sorted_by_key(|it| order(it)));
        }
    }
    let chair = ids("chair", Stage::Purchase);
    for without in [
        "edge_line",
        "top_flat",
        "drawer_inside",
        "hardware_front",
        "carcass_inside",
    ] {
        assert!(!chair.contains(&without), "{without}");
    }
    assert!(chair.contains(&"joint_close") && chair.contains(&"front_whole"));
    let chest = ids("chest_of_drawers", Stage::Purchase);
    assert_eq!(chest.len(), 20, "{chest:?}");
    assert!(!chest.contains(&"glass_mirror_front"));
    assert!(ids("dresser_mirror", Stage::Purchase).contains(&"glass_mirror_back"));
    let fixed: Vec<_> = book
        .views
        .iter()
        .filter(|it| it.fixed)
        .map(|it| it.id.as_str())
        .collect();
    assert_eq!(
        fixed,
        [
            "front_whole",
            "front_open",
            "left_whole",
            "right_whole",
            "back_whole",
            "three_quarter_left",
            "three_quarter_right",
            "top_flat",
            "top_raking",
            "underside_whole",
        ]
    );
}

#[test]
fn tags_are_whole() {
    let book = parsed();
    let mut places = BTreeMap::<&str, usize>::new();
    for tag in &book.tags {
        *places.entry(&tag.group).or_default() += 1;
        let texts = [
            &tag.term,
            &tag.plain,
            &tag.recognise,
            &tag.measure_what,
            &tag.measure_unit,
            &tag.measure_how,
        ];
        assert!(texts.iter().all(|it| !it.trim().is_empty()), "{}", tag.id);
        assert!((1..=4).contains(&tag.disclose_from), "{}", tag.id);
        let levels: Vec<_> = tag.levels.iter().flatten().collect();
        assert!(!levels.is_empty() && tag.levels[3].is_some(), "{}", tag.id);
        assert!(levels.iter().all(|it| !it.trim().is_empty()), "{}", tag.id);
        let unique: BTreeSet<_> = levels.iter().collect();
        assert_eq!(unique.len(), levels.len(), "{}", tag.id);
        assert!(
            !tag.affects.is_empty() && !tag.views.is_empty(),
            "{}",
            tag.id
        );
        assert!(!tag.synonyms.is_empty(), "{} has no other words", tag.id);
    }
    assert!(places.values().all(|it| *it >= 2), "{places:?}");
}

#[test]
fn a_word_means_one_tag() {
    let mut seen = BTreeMap::new();
    for (word, tag) in book().tag_words() {
        assert_eq!(word, word.to_lowercase());
        let before = seen.insert(word.clone(), tag.clone());
        assert!(
            before.is_none_or(|it| it == tag),
            "{word}: {tag} and another"
        );
    }
    for (word, tag) in [
        ("ring", "white_mark"),
        ("heat ring", "white_mark"),
        ("water ring", "white_mark"),
        ("crack", "split_through"),
        ("split", "split_through"),
        ("woodworm", "worm_old"),
        ("missing knob", "pull_missing"),
        ("drying crack", "end_check"),
        ("wax spill", "residue"),
        ("chip", "veneer_chip"),
        ("scratch", "scratch_finish"),
        ("black ring", "dark_stain"),
    ] {
        assert_eq!(seen.get(word).map(String::as_str), Some(tag), "{word}");
    }
}

#[test]
fn cues_and_methods_are_in_bounds() {
    let book = parsed();
    let classes = [
        "solid",
        "veneer",
        "plywood",
        "particleboard",
        "mdf",
        "laminate",
        "print",
        "composition",
    ];
    for cue in &book.cues {
        assert!(cue.weight <= 3 && !cue.plain.is_empty(), "{}", cue.id);
        let named = cue.supports.iter().chain(&cue.against);
        assert!(
            named.clone().all(|it| classes.contains(&it.as_str())),
            "{}",
            cue.id
        );
        assert!(cue.group == "material" || named.count() == 0, "{}", cue.id);
        assert!(!cue.decides || cue.supports.is_some(), "{}", cue.id);
        if let (Some(from), Some(to)) = (cue.not_before, cue.not_after) {
            assert!(from < to, "{}", cue.id);
        }
    }
    for method in &book.methods {
        let [low, likely, high] = method.hours;
        assert!(
            0.0 < low && low <= likely && likely <= high,
            "{}",
            method.id
        );
        let [low, likely, high] = method.wait_hours;
        assert!(
            0.0 <= low && low <= likely && likely <= high,
            "{}",
            method.id
        );
        assert!(!method.id.starts_with("m_"));
    }
    let used: BTreeSet<_> = book.tags.iter().flat_map(|it| &it.fix).collect();
    assert!(used.len() > 60, "{}", used.len());
}

#[test]
fn no_line_promises_more_than_anybody_can_know() {
    let book = parsed();
    let mut lines: Vec<(&str, &str)> = Vec::new();
    lines.extend(
        book.forms
            .iter()
            .map(|it| (it.id.as_str(), it.plain.as_str())),
    );
    lines.extend(
        book.kinds
            .iter()
            .map(|it| (it.id.as_str(), it.plain.as_str())),
    );
    lines.extend(
        book.tags
            .iter()
            .map(|it| (it.id.as_str(), it.plain.as_str())),
    );
    lines.extend(
        book.cues
            .iter()
            .map(|it| (it.id.as_str(), it.plain.as_str())),
    );
    lines.extend(
        book.methods
            .iter()
            .map(|it| (it.id.as_str(), it.plain.as_str())),
    );
    for hazard in &book.hazards {
        lines.extend(
            hazard
                .buyer
                .iter()
                .map(|it| (hazard.id.as_str(), it.as_str())),
        );
    }
    for (id, line) in lines {
        let lower = line.to_lowercase();
        for word in ["genuine", "perfect", "mint", "guarantee", "certified"] {
            let whole = lower.split(|c: char| !c.is_alphabetic());
            assert!(
                !whole.into_iter().any(|it| it.starts_with(word)),
                "{word} in {id}"
            );
        }
        assert!(line.ends_with(['.', '?']), "{id}: {line}");
        assert!(
            line.chars().next().is_some_and(|c| !c.is_lowercase()),
            "{id}: {line}"
        );
    }
}

#[test]
fn facts_of_the_trade_are_right() {
    let book = parsed();
    let ease = |id: &str| book.tag(id).unwrap().ease;
    // Easy: a loose dovetail, missing stops and guide strips, a broken caster. Hard, but no stop: a loose or cracked leg.
    for id in ["drawer_joint", "guide_missing", "caster_fault"] {
        assert_eq!(ease(id), Ease::Easy, "{id}");
    }
    for id in ["leg_loose", "leg_split", "broken_member"] {
        assert_eq!(ease(id), Ease::Hard, "{id}");
    }
    // Rings, a peeling coat and wax spills are faults of the finish.
    for id in ["white_mark", "flaking", "residue"] {
        assert_eq!(book.tag(id).unwrap().group, "finish", "{id}");
    }
    // Not faults: veneer, two hands for a wide drawer, a guide replaced by a fitting strip, patina left on hardware.
    for id in [
        "layer_line",
        "wide_drawer_two_hands",
        "old_repair_sound",
        "patina_hardware",
    ] {
        assert!(book.cue(id).is_some() && book.tag(id).is_none(), "{id}");
    }
    for level in book.tag("drawer_stick").unwrap().levels.iter().flatten() {
        assert!(!level.contains("two hands"), "{level}");
    }
    let line = book.cue("layer_line").unwrap();
    assert!(line.decides && line.supports.as_deref() == Some("veneer"));
    // A broken caster may be the whole cause of rocking.
    assert!(
        book.tag("rocks_short_leg")
            .unwrap()
            .note
            .as_deref()
            .unwrap()
            .contains("caster")
    );
    // 1/4 in is 6.35 mm (international inch of 25.4 mm).
    let bottom = book.method("drawer_bottom_new").unwrap();
    assert!(bottom.adds.as_deref().unwrap().contains("6.35 mm"));
    for (id, cures) in [
        ("veneer_patch", Cures::Cures),
        ("touch_up", Cures::Hides),
        ("wax_fill", Cures::Hides),
        ("paint", Cures::Hides),
        ("quarantine", Cures::Handles),
        ("anchor", Cures::Handles),
        ("reglue_joint", Cures::Cures),
    ] {
        assert_eq!(book.method(id).unwrap().cures, cures, "{id}");
    }
}

#[test]
fn hazards_speak_to_buyer_or_worker() {
    let book = parsed();
    for id in [
        "tip_over",
        "lead",
        "dust",
        "strippers",
        "solvent_fire",
        "glass",
        "mould_dust",
        "insects",
        "electrical",
        "entrapment",
        "upholstery_fire",
        "heavy_lift",
        "child_use",
        "old_chemicals",
    ] {
        let hazard = book.hazard(id).unwrap();
        assert!(!hazard.worker.is_empty(), "{id}");
        let never = hazard.applies == crate::trade::hazard::HazardRule::default();
        assert_eq!(never, hazard.buyer.is_empty(), "{id}");
    }
    // 88 FR 28403: the rule covers units made after 1 September 2023; vintage pieces were not made to it.
    let tip = book.hazard("tip_over").unwrap();
    assert!(tip.applies.tip_over && tip.buyer[1].contains("16 CFR 1261"));
    assert!(tip.buyer[0].contains("wall"));
    assert!(book.form("chest_of_drawers").unwrap().tip_over);
}
