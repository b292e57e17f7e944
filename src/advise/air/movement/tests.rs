//! Movement of the parts of built cases.

use crate::advise::air::moisture::Basis;
use crate::advise::air::moisture::Grain;
use crate::advise::air::moved::Moves;
use crate::advise::air::moved::PartMovement;
use crate::advise::air::movement::cut;
use crate::advise::air::movement::movement;
use crate::advise::air::movement::swing;
use crate::advise::air::movement::year;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words as _;
use crate::assess::tests::build::mark;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::model::piece::Size;
use crate::model::settings::Season;
use crate::trade;

fn chest(marks: Vec<Mark>) -> Build {
    let mut case =
        Build::chest()
            .shoot(Stage::Purchase, "2026-03-14")
            .photo("front_whole", &[], marks);
    case.case.piece.size = Some(Size {
        height_mm: 900.0,
        width_mm: 1050.0,
        depth_mm: 480.0,
    });
    case
}

fn walnut(part: &str) -> Mark {
    mark("looks_like_wood", part).which("black walnut")
}

fn all(case: &Build, season: &Season) -> Vec<PartMovement> {
    movement(&case.assess(), trade::book(), season)
}

fn only(marks: Vec<Mark>, season: &Season) -> PartMovement {
    let mut all = all(&chest(marks), season);
    assert_eq!(all.len(), 1, "{all:?}");
    all.remove(0)
}

#[test]
fn nothing_is_said_of_a_part_whose_wood_is_not_recorded() {
    let marks = vec![
        mark("end_grain_runs", "top"),
        mark("looks_like_wood", "side-left"),
    ];
    assert_eq!(all(&chest(marks), &Season::default()), []);
}

/// 480 mm of flat-sawn walnut (0.00274 a percent, table 13-5) from 6.9 to 12.0 % (35 and 65 % at 21 C): 480 x 0.00274 x 5.02 =
/// 6.6 mm.
#[test]
fn a_solid_top_moves_across_its_depth() {
    let it = only(
        vec![
            mark("end_grain_runs", "top"),
            mark("figure_both_sides", "top"),
            walnut("top"),
        ],
        &Season::default(),
    );
    assert_eq!(
        (it.moves, it.grain, it.width_mm),
        (Moves::Yes, Grain::Unknown, Some(480.0))
    );
    let swing = it.swing.unwrap();
    assert_eq!(
        (swing.winter_to_summer_mm, swing.basis),
        (7, Basis::Coefficient)
    );
    assert_eq!(
        (swing.now_to_winter_mm, swing.now_to_summer_mm),
        (None, None)
    );
    assert_eq!(
        it.text,
        "Top, Black walnut by its look, an opinion: 480 mm across the grain by the size of the piece, cut not known, so the \
         larger figure. About 7 mm wider in summer (65 % humidity) than in winter (35 %). It must be free to do so: fixed \
         tight across the grain, it splits."
    );
}

#[test]
fn a_veneered_top_hardly_moves_and_what_is_not_settled_counts_as_solid() {
    let veneered = only(
        vec![mark("layer_line", "top"), walnut("top")],
        &Season::default(),
    );
    assert_eq!((veneered.moves, veneered.swing), (Moves::Hardly, None));
    assert!(veneered.text.contains("hardly moves"));
    let open = only(vec![walnut("top")], &Season::default());
    assert_eq!(open.moves, Moves::IfSolid);
    assert!(
        open.text
            .contains("If it is solid wood, which is not settled: about 7 mm wider")
    );
}

#[test]
fn the_cut_and_the_air_of_now_count() {
    let quarter = walnut("top").which("Black walnut, quarter-sawn");
    let season = Season {
        now: Some(50.0),
        ..Season::default()
    };
    let it = only(vec![mark("end_grain_runs", "top"), quarter], &season);
    assert_eq!(it.grain, Grain::Quarter);
    // 480 x 0.00190 x (9.25 - 6.94) = 2.1; x (11.96 - 9.25) = 2.5.
    let swing = it.swing.unwrap();
    assert_eq!(
        (
            swing.winter_to_summer_mm,
            swing.now_to_winter_mm,
            swing.now_to_summer_mm
        ),
        (5, Some(-2), Some(2))
    );
    assert!(
        it.text
            .contains("from now (50 %): winter 2 mm narrower, summer 2 mm wider.")
    );
    for (text, name, grain) in [
        ("flat-sawn white oak", "white oak", Grain::Flat),
        ("Teak quartersawn", "teak", Grain::Quarter),
        ("quarter sawn", "", Grain::Quarter),
        (" Teak ", "Teak", Grain::Unknown),
    ] {
        assert_eq!(cut(text), (name.to_owned(), grain), "{text}");
    }
}

/// Four rows in 900 mm: at most 225 mm high; walnut 225 x 0.00274 x 5.02 = 3.1 mm.
#[test]
fn a_drawer_may_bind_by_its_height_and_its_play() {
    let solid = || vec![mark("end_grain_runs", "drawer-3"), walnut("drawer-3")];
    let says = |more: Vec<Mark>, season: &Season| {
        let marks = solid().into_iter().chain(more).collect();
        only(marks, season).text
    };
    let winter = Season::default();
    let text = says(vec![], &winter);
    assert!(text.contains("at most 225 mm high"), "{text}");
    assert!(
        text.contains("may bind in damp weather with less than 4 mm of play above it"),
        "{text}"
    );
    let play = |size: &str| vec![mark("drawer_play", "drawer-3").size(size)];
    assert!(says(play("3 mm"), &winter).contains("it may bind in damp weather although"));
    assert!(says(play("3.5 mm"), &winter).contains("should stay free by these figures"));
    // In the damp of summer it has swollen already.
    let summer = Season {
        now: Some(65.0),
        ..Season::default()
    };
    assert!(says(vec![], &summer).contains("It will hardly swell from now."));
    // A height that was measured counts before the one by rows.
    let told = vec![
        mark("end_grain_runs", "drawer-3"),
        walnut("drawer-3").size("160 mm"),
    ];
    let it = only(told, &winter);
    assert_eq!((it.width_mm, it.swing.unwrap().needs_mm), (Some(160.0), 3));
}

#[test]
fn a_front_goes_with_its_drawer_and_a_side_by_itself() {
    let veneered = || mark("layer_line", "drawer-2");
    let moves = |marks: Vec<Mark>| only(marks, &Season::default()).moves;
    assert_eq!(
        moves(vec![veneered(), walnut("drawer-2/front")]),
        Moves::Hardly
    );
    let side = || walnut("drawer-2/side-left");
    assert_eq!(moves(vec![veneered(), side()]), Moves::IfSolid);
    let seen = ["end_grain_runs", "figure_both_sides"].map(|it| mark(it, "drawer-2/side-left"));
    let marks = [veneered(), side()].into_iter().chain(seen);
    assert_eq!(moves(marks.collect()), Moves::Yes);
}

#[test]
fn what_is_lacking_is_said() {
    let plain = only(
        vec![mark("looks_like_wood", "top").which("moonwood")],
        &Season::default(),
    );
    assert_eq!(plain.moves, Moves::Unknown);
    assert!(plain.text.contains("no figure for a wood of that name"));
    let frame = only(vec![walnut("frame")], &Season::default());
    assert!(
        frame
            .text
            .contains("write that width as the size of the mark")
    );
    // Taken for two woods: the one that moves more counts.
    let both = vec![
        mark("looks_like_wood", "top").which("teak"),
        mark("looks_like_wood", "top").which("beech"),
    ];
    assert_eq!(
        only(both, &Season::default()).wood,
        "beech (figures of American beech)"
    );
}

/// At 21.1 C, 35 and 65 %: 6.9 and 12.0 % by table 4-2 (70 F).
#[test]
fn the_year_says_the_moisture_and_when_it_leaves_the_straight_range() {
    let season = Season {
        celsius: 21.1,
        ..Season::default()
    };
    let it = year(&season);
    assert_eq!((it.winter.moisture, it.summer.moisture), (6.9, 12.0));
    assert!(it.outside.is_empty());
    let harsh = Season {
        winter: 20.0,
        summer: 80.0,
        ..Season::default()
    };
    let outside = year(&harsh).outside;
    assert_eq!(outside.len(), 2, "{outside:?}");
    assert!(outside[0].contains("4.5 %") && outside[0].contains("(winter)"));
}

/// Swing grows with the width and turns round with the seasons.
#[test]
fn a_swing_follows_width_and_air() {
    let wood = trade::book().wood("white oak").unwrap();
    let of = |width: f64, winter: f64, summer: f64| {
        let season = Season {
            winter,
            summer,
            ..Season::default()
        };
        swing(wood, Grain::Flat, width, &season).unwrap()
    };
    let there = of(600.0, 35.0, 65.0);
    let back = of(600.0, 65.0, 35.0);
    assert_eq!(there.winter_to_summer_mm, -back.winter_to_summer_mm);
    // Where winter is the damp one, a drawer is in want of as much.
    assert_eq!(there.needs_mm, back.needs_mm);
    assert!(of(300.0, 35.0, 65.0).needs_mm < there.needs_mm);
    assert_eq!(of(600.0, 50.0, 50.0).winter_to_summer_mm, 0);
}
