//! Values that others have worked out.

use super::near;
use crate::compare::budget;
use crate::compare::budget::Input;
use crate::compare::budget::Source;
use crate::plane::Degenerate;
use crate::plane::Homography;
use crate::plane::Xy;
use crate::plane::distance;

/// Corners of a card in a picture, px.
const CARD_PX: [Xy; 4] = [[120.0, 80.0], [910.0, 130.0], [870.0, 690.0], [90.0, 610.0]];

/// Its corners, mm (ISO/IEC 7810 ID-1).
const CARD_MM: [Xy; 4] = [[0.0, 0.0], [85.60, 0.0], [85.60, 53.98], [0.0, 53.98]];

/// What OpenCV's getPerspectiveTransform, scikit-image's ProjectiveTransform and a plain 8 x 8 solve agree on to 1e-7.
#[test]
fn a_card_agrees_with_reference_programs() {
    let map = Homography::from_four(&CARD_PX, &CARD_MM).unwrap();
    let wanted = [
        [0.1151489067, 0.0065178626, -14.3392978129],
        [-0.0064094904, 0.1012699489, -7.3324570577],
        [0.0000751732, -0.0000145728, 1.0],
    ];
    for (got, wanted) in map.rows().iter().flatten().zip(wanted.iter().flatten()) {
        near(*got, *wanted, 1e-9);
    }
    let points = [
        ([500.0, 380.0], [44.2924168792, 27.0775699996]),
        ([300.0, 300.0], [21.7650413854, 20.7484702851]),
        ([700.0, 500.0], [66.5087034316, 37.1324773015]),
    ];
    for (from, to) in points {
        let got = map.apply(from).unwrap();
        near(got[0], to[0], 1e-7);
        near(got[1], to[1], 1e-7);
    }
    let ends = [[300.0, 300.0], [700.0, 500.0]].map(|it| map.apply(it).unwrap());
    near(distance(ends[0], ends[1]), 47.649039646, 1e-7);
}

/// Worked by hand: x = 2x + y, y = y, w = y + 1.
#[test]
fn the_unit_square_onto_a_trapezium_is_exact() {
    let from = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let to = [[0.0, 0.0], [2.0, 0.0], [1.5, 1.0], [0.5, 1.0]];
    let map = Homography::from_four(&from, &to).unwrap();
    let wanted = [[2.0, 1.0, 0.0], [0.0, 2.0, 0.0], [0.0, 1.0, 1.0]];
    for (got, wanted) in map.rows().iter().flatten().zip(wanted.iter().flatten()) {
        near(*got, *wanted, 1e-12);
    }
    let back = map.inverse();
    for (from, to) in from.iter().zip(to) {
        near(distance(back.apply(to).unwrap(), *from), 0.0, 1e-12);
    }
    assert_eq!(map.apply([0.0, -1.0]), None, "on the horizon");
    assert!(map.weight([0.0, -2.0]) < 0.0, "beyond it");
}

/// The pair graf1, graf3 of the OpenCV documentation (H1to3p.xml) and three points through it.
#[test]
fn the_map_of_a_real_pair_is_found_again_from_four_of_its_points() {
    let rows = [
        [0.76285898, -0.29922929, 225.67123],
        [0.33443473, 1.0143901, -76.999973],
        [3.4663091e-4, -1.4364524e-5, 1.0],
    ];
    let given = Homography::from_rows(rows).unwrap();
    let corners = [[0.0, 0.0], [799.0, 0.0], [799.0, 639.0], [0.0, 639.0]];
    let found =
        Homography::from_four(&corners, &corners.map(|it| given.apply(it).unwrap())).unwrap();
    for (from, to) in [
        ([0.0, 0.0], [225.671, -77.000]),
        ([400.0, 320.0], [383.633, 336.296]),
        ([799.0, 639.0], [507.965, 661.321]),
    ] {
        for map in [given, found] {
            near(distance(map.apply(from).unwrap(), to), 0.0, 1e-3);
        }
    }
}

#[test]
fn the_slope_is_what_small_steps_give() {
    let map = Homography::from_four(&CARD_PX, &CARD_MM).unwrap();
    for point in [[500.0, 380.0], [10.0, 700.0], [1500.0, -20.0]] {
        let slope = map.jacobian(point).unwrap();
        for by in 0..2 {
            let step = |much: f64| {
                let mut there = point;
                there[by] += much;
                map.apply(there).unwrap()
            };
            let (up, down) = (step(1e-3), step(-1e-3));
            for n in 0..2 {
                near(slope[n][by], (up[n] - down[n]) / 2e-3, 1e-8);
            }
        }
    }
}

#[test]
fn corners_that_determine_nothing_are_an_error() {
    let lined = [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [0.0, 5.0]];
    let twice = [[0.0, 0.0], [0.0, 0.0], [2.0, 2.0], [0.0, 5.0]];
    let one = [[3.0, 3.0]; 4];
    let number = [[f64::NAN, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let far = [[f64::INFINITY, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    for bad in [lined, twice, one, number, far] {
        assert_eq!(Homography::from_four(&bad, &CARD_MM), Err(Degenerate));
        assert_eq!(Homography::from_four(&CARD_PX, &bad), Err(Degenerate));
    }
    assert_eq!(Homography::from_rows([[1.0; 3]; 3]), Err(Degenerate));
    assert_eq!(Homography::from_rows([[0.0; 3]; 3]), Err(Degenerate));
}

fn input(value: f64, u: f64, source: Source) -> Input {
    Input { value, u, source }
}

/// L = p / P * R; the figures were checked with the Python package `uncertainties`: 145.437 mm, u = 0.482 mm.
#[test]
fn a_proportional_scale_has_the_uncertainty_of_the_guide() {
    let inputs = [
        input(700.0, 1.5, Source::Click),
        input(412.0, 1.0, Source::Click),
        input(85.60, 0.06, Source::Thing),
    ];
    let length = |it: &[f64]| Some(it[0] / it[1] * it[2]);
    near(length(&[700.0, 412.0, 85.60]).unwrap(), 145.437, 5e-4);
    let parts = budget::parts(&inputs, &length).unwrap();
    near(parts.clicks.hypot(parts.thing), 0.482, 5e-4);
    near(parts.expanded(), 0.96, 5e-3);
}

/// GUM (JCGM 100:2008) H.1.4: 25, 9.7, 2.9 and 16.6 nm make 32 nm (31.67).
#[test]
fn the_end_gauge_of_the_guide() {
    let inputs = [25.0, 9.7, 2.9, 16.6].map(|u| input(0.0, u, Source::Click));
    let sum = |it: &[f64]| Some(it.iter().sum());
    let parts = budget::parts(&inputs, &sum).unwrap();
    near(parts.clicks, 31.67, 5e-3);
}

/// GUM 5.2.2, note 1: what errs together adds up plainly; ten resistors of one habit have ten times the uncertainty of one.
#[test]
fn one_habit_adds_up_plainly() {
    let of = |source: Source| {
        let pairs = [(1000.0, 0.1), (0.0, 0.0)].map(|(value, u)| input(value, u, source));
        let ten: Vec<Input> = pairs.into_iter().cycle().take(20).collect();
        budget::parts(&ten, &|it| Some(it.iter().sum())).unwrap()
    };
    near(of(Source::Habit).clicks, 1.0, 1e-9);
    near(of(Source::Click).clicks, 0.1 * 10.0_f64.sqrt(), 1e-9);
}
