//! Planes drawn in code, laid from picture to picture.

use plane::Homography;
use plane::Xy;
use proptest::prelude::*;

use crate::Corners;
use crate::Face;
use crate::Grade;
use crate::Grey;
use crate::InTurn;
use crate::Known;
use crate::Laid;
use crate::Lens;
use crate::Photo;
use crate::Ways;
use crate::carry;
use crate::lay;

const WIDTH: usize = 480;
const HEIGHT: usize = 360;
const SIZE: [f64; 2] = [800.0, 500.0];

/// Grey at a point of an endless board, by its grain: smooth noise of several sizes. Another seed is another board.
fn board(seed: u32, [x, y]: Xy) -> f64 {
    let at = |column: i64, row: i64, octave: u32| {
        let mut h =
            (column as u32).wrapping_mul(0x9E37_79B1) ^ (row as u32).wrapping_mul(0x85EB_CA77);
        h ^= seed.wrapping_mul(0xC2B2_AE3D) ^ octave.wrapping_mul(0x27D4_EB2F);
        h = (h ^ (h >> 15)).wrapping_mul(0x2C1B_3C6D);
        h = (h ^ (h >> 12)).wrapping_mul(0x297A_2D39);
        f64::from(h ^ (h >> 15)) / f64::from(u32::MAX)
    };
    let smooth = |t: f64| t * t * (3.0 - 2.0 * t);
    let noise = |octave: u32| {
        let cell = 90.0 / f64::from(1_u32 << octave);
        let (u, v) = (x / cell, y / cell);
        let (column, row) = (u.floor(), v.floor());
        let (s, t) = (smooth(u - column), smooth(v - row));
        let (column, row) = (column as i64, row as i64);
        let above = at(column, row, octave) * (1.0 - s) + at(column + 1, row, octave) * s;
        let below = at(column, row + 1, octave) * (1.0 - s) + at(column + 1, row + 1, octave) * s;
        (above * (1.0 - t) + below * t - 0.5) * 120.0 / f64::from(octave + 1)
    };
    128.0 + (0..4).map(noise).sum::<f64>()
}

/// A picture of a board: `map` takes mm of the face to px; beside the face lies another board.
fn picture(seed: u32, map: &Homography) -> Vec<u8> {
    let back = map.inverse();
    let value = |at: Xy| {
        let [x, y] = back.apply(at).unwrap_or([0.0; 2]);
        let on_face = x > 0.0 && y > 0.0 && x < SIZE[0] && y < SIZE[1];
        board(if on_face { seed } else { seed + 1000 }, [x, y])
    };
    let pixel = |n: usize| {
        let (x, y) = ((n % WIDTH) as f64, (n / WIDTH) as f64);
        let taps = [0.25, 0.75].map(|v| value([x + 0.25, y + v]) + value([x + 0.75, y + v]));
        ((taps[0] + taps[1]) / 4.0).round().clamp(0.0, 255.0) as u8
    };
    (0..WIDTH * HEIGHT).map(pixel).collect()
}

fn lens() -> Lens {
    Lens::of_whole(WIDTH, HEIGHT, Some(26.0))
}

fn photo(values: &[u8]) -> Photo {
    let grey = Grey {
        width: WIDTH,
        height: HEIGHT,
        values,
    };
    Photo::new(grey, lens()).unwrap()
}

/// The map of the face before a camera: turned by so many radians about the three axes, so many mm away.
fn seen(turns: [f64; 3], away: f64, shift: Xy) -> Homography {
    let [(sa, ca), (sb, cb), (sc, cc)] = turns.map(f64::sin_cos);
    let across = [cb * cc, sa * sb * cc + ca * sc, -ca * sb * cc + sa * sc];
    let down = [-cb * sc, -sa * sb * sc + ca * cc, ca * sb * sc + sa * cc];
    let lens = lens();
    let at = |x: f64, y: f64| {
        let (x, y) = (x - SIZE[0] / 2.0, y - SIZE[1] / 2.0);
        let [px, py, pz] = [0, 1, 2].map(|n| across[n] * x + down[n] * y);
        let (px, py, pz) = (px + shift[0], py + shift[1], pz + away);
        let by = lens.focal / pz;
        [lens.centre[0] + by * px, lens.centre[1] + by * py]
    };
    let [w, h] = SIZE;
    let mm = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
    Homography::from_four(&mm, &mm.map(|[x, y]| at(x, y))).unwrap()
}

fn corners(map: &Homography) -> [Xy; 4] {
    let [w, h] = SIZE;
    [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(|it| map.apply(it).unwrap())
}

fn known(corners: [Xy; 4]) -> Known {
    Known {
        face: Face::alone(SIZE),
        corners,
        unsure: 0.5,
    }
}

fn laid(from: &Homography, into: &Homography, seeds: [u32; 2]) -> Option<Laid> {
    let (a, b) = (
        photo(&picture(seeds[0], from)),
        photo(&picture(seeds[1], into)),
    );
    lay(&a, &b, &[known(corners(from))], Ways::All)[0]
}

/// The largest distance of the four corners.
fn off(it: &Laid, map: &Homography) -> f64 {
    let both = it.corners().unwrap().into_iter().zip(corners(map));
    both.map(|(p, q)| plane::distance(p, q)).fold(0.0, f64::max)
}

#[test]
fn a_board_is_found_again_from_another_side() {
    let from = seen([0.1, -0.1, 0.02], 1100.0, [0.0, 0.0]);
    let into = seen([-0.3, 0.35, -0.15], 1200.0, [30.0, -20.0]);
    let it = laid(&from, &into, [1, 1]).unwrap();
    assert_eq!(it.grade, Grade::TakenOver, "{it:?}");
    assert!(off(&it, &into) < 0.5, "{} px", off(&it, &into));
    let angle = (0.3_f64.cos() * 0.35_f64.cos()).acos().to_degrees();
    assert!(
        (it.angles[1] - angle).abs() < 5.0,
        "{:?} {angle}",
        it.angles
    );
}

#[test]
fn a_near_picture_is_found_in_a_far_one_and_the_other_way_round() {
    let far = seen([0.1, 0.0, 0.0], 1150.0, [0.0, 0.0]);
    let near = seen([0.0, 0.1, 0.1], 420.0, [90.0, 40.0]);
    for (from, into) in [(&far, &near), (&near, &far)] {
        let it = laid(from, into, [2, 2]).unwrap();
        assert!(off(&it, into) < 4.0, "{} px {it:?}", off(&it, into));
        assert!(!matches!(it.grade, Grade::Refused(_)), "{it:?}");
    }
}

#[test]
fn another_board_is_refused() {
    let from = seen([0.1, -0.1, 0.02], 1100.0, [0.0, 0.0]);
    let into = seen([-0.2, 0.2, 0.0], 1200.0, [0.0, 0.0]);
    for seed in 0..6 {
        if let Some(it) = laid(&from, &into, [10 + seed, 20 + seed]) {
            assert!(matches!(it.grade, Grade::Refused(_)), "{seed}: {it:?}");
        }
    }
}

#[test]
fn corners_of_no_rectangle_lay_nothing() {
    let map = seen([0.1, 0.1, 0.0], 1100.0, [0.0, 0.0]);
    let it = photo(&picture(3, &map));
    let [a, b, c, d] = corners(&map);
    let middle = [(a[0] + c[0]) / 2.0, (a[1] + c[1]) / 2.0];
    for wrong in [
        [d, c, b, a],
        [a, c, b, d],
        [a, a, c, d],
        [a, middle, c, d],
        [a, b, [f64::NAN, 0.0], d],
    ] {
        assert!(
            lay(&it, &it, &[known(wrong)], Ways::All)[0].is_none(),
            "{wrong:?}"
        );
    }
    assert!(lay(&it, &it, &[], Ways::All).is_empty());
}

#[test]
fn one_wrong_face_does_not_move_the_others_in_the_list() {
    let map = seen([0.1, 0.1, 0.0], 1100.0, [0.0, 0.0]);
    let it = photo(&picture(3, &map));
    let [a, b, c, d] = corners(&map);
    let all = lay(
        &it,
        &it,
        &[known([d, c, b, a]), known([a, b, c, d])],
        Ways::All,
    );
    assert!(all[0].is_none());
    assert!(off(&all[1].unwrap(), &map) < 0.2);
}

#[test]
fn the_same_bytes_give_the_same_place() {
    let (from, into) = (
        seen([0.1, -0.1, 0.02], 1100.0, [0.0, 0.0]),
        seen([-0.2, 0.2, 0.0], 1200.0, [0.0, 0.0]),
    );
    let values = [picture(4, &from), picture(4, &into)];
    let photos = [photo(&values[0]), photo(&values[1])];
    let again = [0, 1].map(|n: usize| {
        let grey = Grey {
            width: WIDTH,
            height: HEIGHT,
            values: &values[n],
        };
        Photo::with_kept(grey, lens(), &photos[n].kept()).unwrap()
    });
    let places = [&photos, &again].map(|it| {
        let laid = lay(&it[0], &it[1], &[known(corners(&from))], Ways::All)[0].unwrap();
        laid.corners().unwrap()
    });
    assert_eq!(places[0], places[1]);
    let grey = Grey {
        width: WIDTH,
        height: HEIGHT,
        values: &values[0],
    };
    let kept = photos[0].kept();
    for wrong in [&kept[..kept.len() - 1], &kept[1..], &[]] {
        assert!(Photo::with_kept(grey, lens(), wrong).is_none());
    }
}

#[test]
fn what_is_no_picture_is_refused() {
    let values = vec![0_u8; 100 * 100];
    for (width, height) in [(100, 99), (10, 1000), (0, 0), (usize::MAX, 2)] {
        let grey = Grey {
            width,
            height,
            values: &values,
        };
        assert!(Photo::new(grey, lens()).is_none(), "{width} x {height}");
    }
}

/// A picture without anything in it has no spots, and nothing can be laid into it.
#[test]
fn nothing_is_laid_into_an_empty_picture() {
    let map = seen([0.1, 0.1, 0.0], 1100.0, [0.0, 0.0]);
    let (full, empty) = (photo(&picture(5, &map)), photo(&vec![90; WIDTH * HEIGHT]));
    for (a, b) in [(&full, &empty), (&empty, &full), (&empty, &empty)] {
        if let Some(it) = lay(a, b, &[known(corners(&map))], Ways::All)[0] {
            assert!(matches!(it.grade, Grade::Refused(_)), "{it:?}");
        }
    }
}

/// A top and a front at right angles: the front was painted in one grey, so that only the top can be found.
#[test]
fn a_painted_face_follows_from_its_neighbour() {
    let lens = lens();
    let top = Face {
        size: [800.0, 500.0],
        corner: [0.0, 0.0, 400.0],
        across: [1.0, 0.0, 0.0],
        down: [0.0, 0.6, -0.8],
    };
    let front = Face {
        size: [800.0, 300.0],
        corner: [0.0, 300.0, 0.0],
        across: [1.0, 0.0, 0.0],
        down: [0.0, 0.8, 0.6],
    };
    let camera = |shift: [f64; 3], turn: f64| {
        move |face: &Face| {
            let (sine, cosine) = turn.sin_cos();
            let at = |x: f64, y: f64| {
                let p = [0, 1, 2].map(|n| face.corner[n] + face.across[n] * x + face.down[n] * y);
                let (px, pz) = (p[0] - 400.0, p[2] - 200.0);
                let z = px * sine + pz * cosine + shift[2];
                let x = px * cosine - pz * sine + shift[0];
                let y = p[1] - 270.0 + shift[1];
                [
                    lens.centre[0] + lens.focal * x / z,
                    lens.centre[1] + lens.focal * y / z,
                ]
            };
            let [w, h] = face.size;
            [at(0.0, 0.0), at(w, 0.0), at(w, h), at(0.0, h)]
        }
    };
    let (from, into) = (
        camera([0.0, 0.0, 1150.0], 0.0),
        camera([20.0, 10.0, 1100.0], 0.25),
    );
    let drawn = |corners: [[Xy; 4]; 2], painted: bool| {
        let mm = |[w, h]: [f64; 2]| [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
        let [on_top, on_front] = [(0, top), (1, front)]
            .map(|(n, it)| Homography::from_four(&corners[n], &mm(it.size)).unwrap());
        let value = |at: Xy| {
            let inside = |p: Xy, [w, h]: [f64; 2]| p[0] > 0.0 && p[1] > 0.0 && p[0] < w && p[1] < h;
            let (u, v) = (on_top.apply(at).unwrap(), on_front.apply(at).unwrap());
            if inside(u, top.size) {
                board(7, u)
            } else if inside(v, front.size) {
                if painted { 200.0 } else { board(8, v) }
            } else {
                60.0
            }
        };
        let pixel = |n: usize| value([(n % WIDTH) as f64 + 0.5, (n / WIDTH) as f64 + 0.5]);
        let values: Vec<u8> = (0..WIDTH * HEIGHT)
            .map(|n| pixel(n).clamp(0.0, 255.0) as u8)
            .collect();
        photo(&values)
    };
    let a = drawn([from(&top), from(&front)], false);
    let b = drawn([into(&top), into(&front)], true);
    let known = [top, front].map(|face| Known {
        face,
        corners: from(&face),
        unsure: 0.2,
    });
    let all = lay(&a, &b, &known, Ways::All);
    let distance = |n: usize, face: &Face| {
        let both = all[n]
            .unwrap()
            .corners()
            .unwrap()
            .into_iter()
            .zip(into(face));
        both.map(|(p, q)| plane::distance(p, q)).fold(0.0, f64::max)
    };
    assert_eq!(all[0].unwrap().grade, Grade::TakenOver, "{:?}", all[0]);
    assert!(distance(0, &top) < 1.0, "{}", distance(0, &top));
    assert!(
        !matches!(all[1].unwrap().grade, Grade::Refused(_)),
        "{:?}",
        all[1]
    );
    assert!(distance(1, &front) < 2.0, "{}", distance(1, &front));
}

/// An overview whose corners are known, the same from another side, a near picture, and another board.
#[test]
fn corners_are_carried_into_every_picture_of_the_face() {
    let views = [
        seen([0.1, -0.1, 0.02], 1100.0, [0.0, 0.0]),
        seen([-0.2, 0.2, 0.0], 1000.0, [0.0, 0.0]),
        seen([0.0, 0.1, 0.1], 450.0, [60.0, 30.0]),
        seen([0.1, 0.1, 0.0], 1100.0, [0.0, 0.0]),
    ];
    let seeds = [6, 6, 6, 60];
    let photos: Vec<Photo> = (0..4)
        .map(|n| photo(&picture(seeds[n], &views[n])))
        .collect();
    let photos: Vec<&Photo> = photos.iter().collect();
    let hand = Corners {
        corners: corners(&views[0]),
        unsure: 0.5,
    };
    let known = [vec![Some(hand)], vec![None], vec![None], vec![None]];
    let wished = vec![vec![Some(Ways::AtFirstSight)]; 4];
    let mut all = carry(&[Face::alone(SIZE)], &known, &wished, &mut InTurn(&photos));
    all.retain(|it| !matches!(it.laid.grade, Grade::Refused(_)));
    let reached: Vec<usize> = all.iter().map(|it| it.photo).collect();
    assert_eq!(reached, [1, 2], "{all:?}");
    for it in &all {
        let off = off(&it.laid, &views[it.photo]);
        assert!(off < 4.0 && it.face == 0 && it.steps >= 1, "{off} {it:?}");
    }
    let nothing = carry(
        &[Face::alone(SIZE)],
        &vec![vec![None]; 4],
        &wished,
        &mut InTurn(&photos),
    );
    assert!(nothing.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Whatever the view, what is taken over lies where it is.
    #[test]
    fn what_is_taken_over_is_right(
        a in prop::array::uniform3(-0.6_f64..0.6), b in prop::array::uniform3(-0.6_f64..0.6),
        away in 800_f64..1500.0, x in -80_f64..80.0, seed in 0_u32..100,
    ) {
        let (from, into) = (seen(a, 1100.0, [0.0, 0.0]), seen(b, away, [x, 0.0]));
        if let Some(it) = laid(&from, &into, [seed, seed]) {
            prop_assert!(it.grade != Grade::TakenOver || off(&it, &into) < 2.0, "{} px {it:?}", off(&it, &into));
        }
    }

    /// The bend of a lens is undone by its way back.
    #[test]
    fn bends_go_back(x in 0_f64..480.0, y in 0_f64..360.0, bend in -0.08_f64..0.08) {
        let lens = Lens { bend, ..lens() };
        let [u, v] = lens.straight(lens.bent([x, y]));
        prop_assert!((u - x).hypot(v - y) < 1e-3);
    }
}
