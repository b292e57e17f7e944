//! Cards drawn in code at known maps.

use plane::Homography;
use plane::Xy;
use proptest::prelude::*;

use crate::Grey;
use crate::Lens;
use crate::outline::Outline;
use crate::outline::Rounded;
use crate::outline::outlines;

const WIDTH: usize = 800;
const HEIGHT: usize = 600;
/// ISO/IEC 7810, ID-1; the radius from memory.
const CARD: Rounded = Rounded {
    sides: [85.60, 53.98],
    radius: 3.18,
};

fn lens() -> Lens {
    Lens::of_whole(WIDTH, HEIGHT, Some(26.0))
}

/// Where a card lies that is turned so, `away` mm before the camera: its corners, px.
fn corners([x, y, z]: [f64; 3], away: f64, [right, down]: Xy) -> [Xy; 4] {
    let lens = lens();
    let [w, h] = CARD.sides.map(|it| it / 2.0);
    [[-w, -h], [w, -h], [w, h], [-w, h]].map(|[a, b]| {
        let (a, b) = (a * z.cos() - b * z.sin(), a * z.sin() + b * z.cos());
        let (b, depth) = (b * x.cos(), b * x.sin());
        let (a, depth) = (a * y.cos() - depth * y.sin(), a * y.sin() + depth * y.cos());
        let far = (away + depth) / lens.focal;
        [
            lens.centre[0] + (a + right) / far,
            lens.centre[1] + (b + down) / far,
        ]
    })
}

/// What is drawn at the corners.
#[derive(Clone, Copy, PartialEq)]
enum Drawn {
    /// A lighter thing on a dull ground.
    Thing,
    /// The same with a bar across it.
    Crossed,
    /// A dark groove round it, on a ground as light as it is: the moulding of a panel.
    Groove,
}

/// Width of a groove, mm.
const GROOVE: f64 = 1.5;

/// A picture of what has corners of this radius, mm, with some noise.
fn picture(corners: &[Xy; 4], radius: f64, drawn: Drawn) -> Vec<u8> {
    let [w, h] = CARD.sides;
    let map = Homography::from_four(&[[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]], corners).unwrap();
    let back = map.inverse();
    let within = |at: Xy, grown: f64| {
        let Some([x, y]) = back.apply(at) else {
            return false;
        };
        let past = |v: f64, side: f64| (v - side / 2.0).abs() - (side / 2.0 - radius);
        let (u, v) = (past(x, w), past(y, h));
        let reach = radius + grown;
        u < reach && v < reach && (u < 0.0 || v < 0.0 || u.hypot(v) < reach)
    };
    let on = |at: Xy| match drawn {
        Drawn::Groove => !within(at, GROOVE) || within(at, 0.0),
        Drawn::Thing | Drawn::Crossed => within(at, 0.0),
    };
    let pixel = |n: usize| {
        let (x, y) = ((n % WIDTH) as f64, (n / WIDTH) as f64);
        let noise = (n as u32).wrapping_mul(0x9E37_79B1) >> 28;
        let taps = (0..16).filter(|k| {
            on([
                x + 0.125 + 0.25 * f64::from(k % 4),
                y + 0.125 + 0.25 * f64::from(k / 4),
            ])
        });
        let bar = drawn == Drawn::Crossed && (390.0..420.0).contains(&x);
        let share = if bar {
            0.0
        } else {
            f64::from(taps.count() as u32) / 16.0
        };
        (90.0 + 70.0 * share + f64::from(noise) / 3.0) as u8
    };
    (0..WIDTH * HEIGHT).map(pixel).collect()
}

fn seen(values: &[u8]) -> Grey<'_> {
    Grey {
        width: WIDTH,
        height: HEIGHT,
        values,
    }
}

fn found(corners: &[Xy; 4], radius: f64, drawn: Drawn) -> Vec<Outline> {
    outlines(seen(&picture(corners, radius, drawn)), &lens(), CARD)
}

/// How far the farthest corner lies from its own; a card turned by half lies as well.
fn off(it: &Outline, corners: &[Xy; 4]) -> f64 {
    let from = |by: usize| {
        let each = (0..4).map(|n| plane::distance(it.corners[(n + by) % 4], corners[n]));
        each.fold(0.0, f64::max)
    };
    from(0).min(from(2))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    /// Whatever the view, it is found, its long side first.
    #[test]
    fn a_card_is_found_where_it_lies(
        x in -0.7_f64..0.7, y in -0.7_f64..0.7, z in -3.0_f64..3.0, away in 180_f64..330.0, right in -20_f64..20.0,
    ) {
        let corners = corners([x, y, z], away, [right, 0.0]);
        let found = found(&corners, CARD.radius, Drawn::Thing);
        prop_assert_eq!(found.len(), 1, "{:?}", found);
        let off = off(&found[0], &corners);
        prop_assert!(off < 0.8, "{} px: {:?} {:?}", off, found, corners);
    }
}

#[test]
fn what_lies_across_it_hides_it_not() {
    let corners = corners([0.3, 0.2, 0.1], 220.0, [0.0, 0.0]);
    let found = found(&corners, CARD.radius, Drawn::Crossed);
    assert!(off(&found[0], &corners) < 0.8, "{found:?} {corners:?}");
}

#[test]
fn a_thing_of_its_sides_with_sharp_corners_is_none() {
    let corners = corners([0.3, 0.2, 0.1], 220.0, [0.0, 0.0]);
    assert_eq!(found(&corners, 0.01, Drawn::Thing), []);
}

#[test]
fn a_thing_of_other_sides_is_none() {
    // A card that is drawn out by an eighth.
    let [a, b, c, d] = corners([0.0, 0.0, 0.1], 220.0, [0.0, 0.0]);
    let drawn = |from: Xy, to: Xy| [0, 1].map(|n| from[n] + 1.125 * (to[n] - from[n]));
    assert_eq!(
        found(&[a, drawn(a, b), drawn(d, c), d], CARD.radius, Drawn::Thing),
        []
    );
}

#[test]
fn a_groove_of_its_shape_is_none() {
    let corners = corners([0.3, 0.2, 0.1], 220.0, [0.0, 0.0]);
    assert_eq!(found(&corners, CARD.radius, Drawn::Groove), []);
}

#[test]
fn an_empty_ground_has_none() {
    let away = [
        [-90.0, -90.0],
        [-80.0, -90.0],
        [-80.0, -80.0],
        [-90.0, -80.0],
    ];
    assert_eq!(found(&away, 1.0, Drawn::Thing), []);
}
