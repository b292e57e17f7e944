//! Every rule of the book: a case in which it applies, and one close by in which it does not. The cases are the trade's
//! (common practice, no source).

use std::collections::BTreeSet;

use crate::advise::part::truth::Truth;
use crate::advise::refinish::advice::Verdict;
use crate::advise::tests::words::SOLID;
use crate::advise::tests::words::advice;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::trade;
use crate::trade::entry::path::Role;

/// Rule, part, a case in which it applies, one in which it does not, and what is answered there.
const CASES: [(&str, &str, &str, &str, Truth); 62] = [
    (
        "picture_of_wood",
        "top",
        "dots_or_no_pores chip_shows_paper",
        SOLID,
        Truth::No,
    ),
    ("board", "top", "face_of_chips", "chips_seen", Truth::Open),
    (
        "board_below",
        "top",
        "layer_line chips_seen",
        SOLID,
        Truth::No,
    ),
    (
        "loose_old_paint",
        "top",
        "overpaint:2 flaking:2",
        "overpaint:2 flaking:2 lead_paint:1",
        Truth::No,
    ),
    (
        "loose_old_paint_left",
        "top",
        "overpaint:2 flaking:2",
        "overpaint:2 flaking:2 lead_paint:1",
        Truth::No,
    ),
    (
        "face_thin",
        "top",
        "layer_line=0.4_mm",
        "layer_line=0.5_mm",
        Truth::No,
    ),
    (
        "face_middling",
        "top",
        "layer_line=0.5_mm",
        "layer_line",
        Truth::Open,
    ),
    (
        "face_thick",
        "top",
        "layer_line=0.9_mm",
        "layer_line=0.8_mm",
        Truth::No,
    ),
    (
        "plywood_face_thin",
        "top",
        "ply_layers=0.4_mm",
        "ply_layers=18_mm",
        Truth::Open,
    ),
    (
        "moulded",
        "frame",
        "frame!composition_ornament",
        "",
        Truth::No,
    ),
    ("no_coat", "top", "fin_bare", "fin_paint", Truth::No),
    ("gilded", "top", "fin_gilt_water", "", Truth::No),
    (
        "scrubbed_surface",
        "top",
        "fin_bare worth=fine",
        "fin_alcohol worth=fine",
        Truth::No,
    ),
    (
        "refinished_thin_face",
        "top",
        "refin_clean_corners layer_line",
        "refin_clean_corners end_grain_runs figure_both_sides",
        Truth::No,
    ),
    (
        "one_worn_place",
        "top",
        "worn_through:2",
        "worn_through:3",
        Truth::No,
    ),
    (
        "chip_under_paint",
        "top",
        "veneer_chip:2",
        "veneer_chip:3",
        Truth::No,
    ),
    (
        "saw_lines_through",
        "top",
        "marks_veneer_saw",
        "",
        Truth::No,
    ),
    ("solid", "top", SOLID, "ply_layers", Truth::No),
    ("plywood", "top", "ply_layers", SOLID, Truth::No),
    (
        "first_finish_fine",
        "top",
        "patina_kept worth=fine",
        "patina_kept",
        Truth::Open,
    ),
    (
        "first_finish_fair",
        "top",
        "patina_kept worth=good drawer-1!pin_and_cove crazing:2",
        "patina_kept worth=good drawer-1!pin_and_cove crazing:3",
        Truth::No,
    ),
    (
        "own_finish",
        "top",
        "crazing:2 done=strip done=topcoat",
        "crazing:2 done=strip",
        Truth::No,
    ),
    (
        "coat_flows_again",
        "top",
        "crazing:2 fin_alcohol",
        "crazing:2 fin_neither",
        Truth::No,
    ),
    ("coat_does_not_flow", "top", "fin_neither", "", Truth::Open),
    ("coat_not_tested", "top", "", "fin_thinner", Truth::No),
    (
        "sticky_coat",
        "top",
        "sticky_finish:3",
        "sticky_finish:2",
        Truth::No,
    ),
    (
        "loose_coat",
        "top",
        "flaking:3 fin_alcohol",
        "flaking:2",
        Truth::No,
    ),
    (
        "lead_in_paint",
        "top",
        "lead_paint:2",
        "lead_paint:1",
        Truth::No,
    ),
    (
        "lead_found",
        "top",
        "lead_paint:4",
        "lead_paint:3",
        Truth::No,
    ),
    (
        "paint_not_tested",
        "top",
        "overpaint:1",
        "overpaint:1 lead_paint:1",
        Truth::No,
    ),
    (
        "lead_not_found",
        "top",
        "overpaint:1 lead_paint:1",
        "overpaint:1",
        Truth::No,
    ),
    (
        "paint_on_solid",
        "top",
        "end_grain_runs figure_both_sides overpaint:2 lead_paint:1",
        "overpaint:2 lead_paint:1",
        Truth::Open,
    ),
    (
        "paint_on_veneer",
        "top",
        "layer_line overpaint:2",
        "layer_line overpaint:1",
        Truth::No,
    ),
    (
        "dark_stain_in_wood",
        "top",
        "end_grain_runs figure_both_sides dark_stain:2",
        "layer_line=0.6_mm dark_stain:2",
        Truth::No,
    ),
    (
        "dark_stain_thin_face",
        "top",
        "layer_line=0.6_mm dark_stain:2",
        "layer_line=0.9_mm dark_stain:2",
        Truth::No,
    ),
    (
        "mark_in_the_coat",
        "top",
        "white_mark:1",
        "white_mark:1 dark_stain:1",
        Truth::No,
    ),
    (
        "large_veneer_loss",
        "top",
        "veneer_missing:3",
        "veneer_missing:2",
        Truth::No,
    ),
    (
        "small_veneer_loss",
        "top",
        "veneer_missing:2",
        "veneer_missing:3",
        Truth::No,
    ),
    (
        "sheet_let_go",
        "top",
        "veneer_blister:4",
        "veneer_blister:3",
        Truth::No,
    ),
    (
        "sanded_through",
        "top",
        "veneer_sand_through:1",
        "veneer_lift:1",
        Truth::No,
    ),
    (
        "live_beetle",
        "top",
        "drawer-5/bottom!worm_active:1",
        "drawer-5/bottom!worm_old:2",
        Truth::No,
    ),
    (
        "mould_or_rot",
        "top",
        "mould_growth:2",
        "drawer-1!mould_growth:2",
        Truth::No,
    ),
    (
        "loose_structure",
        "frame",
        "frame!loose_joint:3",
        "frame!loose_joint:2",
        Truth::No,
    ),
    (
        "silicone",
        "top",
        "silicone_suspected:2",
        "silicone_suspected:1",
        Truth::No,
    ),
    (
        "smell",
        "drawer-1",
        "drawer-1/bottom!odour_smoke:3",
        "drawer-1/bottom!odour_smoke:2",
        Truth::No,
    ),
    (
        "print_worn",
        "top",
        "painted_grain grain_print_worn:2",
        "grain_print_worn:2",
        Truth::Open,
    ),
    (
        "inlay_lost",
        "top",
        "inlay_loss:2",
        "inlay_loss:1",
        Truth::No,
    ),
    (
        "old_sawn_veneer",
        "top",
        "layer_line drawer-1!screw_hand",
        "layer_line drawer-1!dovetail_machine",
        Truth::No,
    ),
    (
        "ordinary_thin_face",
        "top",
        "worth=ordinary layer_line=0.6_mm veneer_chip:3",
        "worth=ordinary layer_line veneer_chip:3",
        Truth::Open,
    ),
    (
        "ordinary_tired_solid",
        "top",
        "worth=ordinary end_grain_runs figure_both_sides worn_through:3",
        "worth=good end_grain_runs figure_both_sides worn_through:3",
        Truth::No,
    ),
    (
        "oiled",
        "top",
        "fin_soaks",
        "fin_soaks fin_alcohol",
        Truth::Open,
    ),
    ("colour_bleeds", "top", "bleed_through:1", "", Truth::Open),
    ("faded", "top", "sun_fade:3", "sun_fade:2", Truth::No),
    (
        "first_fittings",
        "drawer-1",
        "worth=good drawer-1/front!hw_one_set_of_holes",
        "worth=good drawer-1/front!hw_extra_holes",
        Truth::No,
    ),
    (
        "refinished_before",
        "top",
        "refin_clean_corners",
        "",
        Truth::No,
    ),
    ("wants_lighter", "top", "wish=lighter", "", Truth::No),
    (
        "gentlest_first",
        "top",
        "grime:1 crazing:1",
        "grime:1 crazing:2",
        Truth::No,
    ),
    (
        "under_paint",
        "top",
        "overpaint:1",
        "fin_alcohol",
        Truth::No,
    ),
    (
        "covering_let_go",
        "top",
        "dots_or_no_pores chip_shows_paper laminate_peel:4",
        "dots_or_no_pores chip_shows_paper laminate_peel:3",
        Truth::No,
    ),
    (
        "decoration_below",
        "top",
        "hidden_decoration",
        "",
        Truth::No,
    ),
    (
        "bed_bugs",
        "top",
        "drawer-5!bed_bugs:4",
        "drawer-5!worm_active:2",
        Truth::No,
    ),
    (
        "live_beetle",
        "drawer-1",
        "top!worm_active",
        "top!worm_old",
        Truth::No,
    ),
];

#[test]
fn every_rule_applies_in_its_case_and_does_what_it_says() {
    let book = trade::book();
    let mut met = BTreeSet::new();
    for (id, part, words, other, answer) in CASES {
        let rule = book.rules.iter().find(|it| it.id == id).unwrap();
        met.insert(id);
        let told = chest(words).assess();
        let facts = facts(&told, part);
        assert_eq!(facts.applies(rule), Truth::Yes, "{id}: {words}");
        let near = chest(other).assess();
        let near = crate::advise::tests::words::facts(&near, part);
        assert_eq!(near.applies(rule), answer, "{id}: {other}");
        let advice = advice(&told, part);
        for path in &rule.shuts {
            let path = advice.path(path);
            match rule.role {
                Role::Gate => assert_ne!(path.verdict, Verdict::Open, "{id}: {}", path.path),
                _ => assert!(
                    path.verdict == Verdict::Shut && path.by(id),
                    "{id}: {}",
                    path.path
                ),
            }
        }
        for path in &rule.prefers {
            let path = advice.path(path);
            assert!(
                path.by(id) || path.verdict != Verdict::Open,
                "{id}: {}",
                path.path
            );
        }
        if rule.role == Role::Material {
            let open = advice.with(Verdict::Open);
            let named = |it: &&str| rule.opens.iter().any(|open| open == it);
            let always = |it: &&str| book.path(it).unwrap().always;
            assert!(
                open.iter().all(|it| named(it) || always(it)),
                "{id}: {open:?}"
            );
        }
        assert!(
            rule.never.iter().all(|it| advice.never.contains(it)),
            "{id}"
        );
    }
    let all: BTreeSet<&str> = book.rules.iter().map(|it| it.id.as_str()).collect();
    assert_eq!(met, all, "a rule without a case, or a case without a rule");
}
