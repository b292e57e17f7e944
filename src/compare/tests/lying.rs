//! Made-up cameras before a face: round trips, faces behind the camera, corners that are none, shapes cut by the frame.

use super::cameras::Chance;
use super::near;
use crate::compare::picture::Picture;
use crate::compare::ruler::camera::Camera;
use crate::compare::ruler::camera::checked;
use crate::compare::ruler::face_rect::FaceRect;
use crate::compare::ruler::lying::Drawn;
use crate::compare::ruler::lying::Lying;
use crate::compare::ruler::lying::middle;
use crate::compare::seen::Share;
use crate::compare::seen::seen;
use crate::compare::seen::smaller_side;
use crate::model::face::KnownPoint;
use crate::model::face::Lie;
use crate::model::region::Region;
use crate::plane::Xy;

const SIDE: FaceRect = FaceRect {
    at: [22.0, 26.0],
    size: [1006.0, 684.0],
};

const PICTURE: Picture = Picture {
    width: 2016,
    height: 1512,
};

/// A pinhole camera: where it stands (mm before the side), how it is turned (rotation vector), focal length in px.
struct Pinhole {
    turn: [[f64; 3]; 3],
    at: [f64; 3],
    focal: f64,
}

impl Pinhole {
    fn any(chance: &mut Chance) -> Self {
        let mut angle = |most: f64| chance.between(-most, most).to_radians().sin_cos();
        let ((sx, cx), (sy, cy), (sz, cz)) = (angle(55.0), angle(55.0), angle(180.0));
        let x = [[1.0, 0.0, 0.0], [0.0, cx, -sx], [0.0, sx, cx]];
        let y = [[cy, 0.0, sy], [0.0, 1.0, 0.0], [-sy, 0.0, cy]];
        let z = [[cz, -sz, 0.0], [sz, cz, 0.0], [0.0, 0.0, 1.0]];
        let turn = product(&z, &product(&y, &x));
        let far = chance.between(1200.0, 2600.0);
        Self {
            turn,
            at: [
                chance.between(-150.0, 150.0),
                chance.between(-150.0, 150.0),
                far,
            ],
            focal: 1514.0,
        }
    }

    /// Direction of a point of the side from the camera: x right, y down, z ahead.
    fn ray(&self, [u, v]: Xy) -> [f64; 3] {
        let about = [u - 525.0, v - 368.0, 0.0];
        let turned = self
            .turn
            .map(|row| row[0] * about[0] + row[1] * about[1] + row[2] * about[2]);
        [
            turned[0] + self.at[0],
            turned[1] + self.at[1],
            turned[2] + self.at[2],
        ]
    }

    fn px(&self, mm: Xy) -> Option<Xy> {
        let [x, y, z] = self.ray(mm);
        (z > 50.0).then(|| [1008.0 + self.focal * x / z, 756.0 + self.focal * y / z])
    }

    /// Between the line of sight and the normal of the side.
    fn angle(&self, mm: Xy) -> f64 {
        let ray = self.ray(mm);
        let normal = self.turn.map(|row| row[2]);
        let dot: f64 = (0..3).map(|n| ray[n] * normal[n]).sum();
        let long = ray.iter().map(|it| it * it).sum::<f64>().sqrt();
        (dot.abs() / long).min(1.0).acos().to_degrees()
    }
}

fn product(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    a.map(|row| [0, 1, 2].map(|n| (0..3).map(|k| row[k] * b[k][n]).sum()))
}

fn percent([x, y]: Xy) -> Xy {
    [x / 20.16, y / 15.12]
}

/// A camera that has the whole side before it, and the side as it lies in its picture.
fn scene(chance: &mut Chance) -> (Pinhole, Lying) {
    loop {
        let camera = Pinhole::any(chance);
        let corners = SIDE.corners().map(|it| camera.px(it));
        let [Some(a), Some(b), Some(c), Some(d)] = corners else {
            continue;
        };
        let lie = Lie::Corners([a, b, c, d].map(percent));
        if let Ok(lying) = Lying::of(&lie, SIDE, PICTURE) {
            return (camera, lying);
        }
    }
}

#[test]
fn what_is_carried_onto_a_side_and_back_is_where_it_was() {
    let mut chance = Chance(11);
    for _ in 0..300 {
        let (camera, lying) = scene(&mut chance);
        let mm = [chance.between(22.0, 1028.0), chance.between(26.0, 710.0)];
        let px = camera.px(mm).unwrap();
        let there = lying.to_px(mm).unwrap();
        near(there[0], px[0], 1e-6);
        near(there[1], px[1], 1e-6);
        let back = lying.to_mm(px).unwrap();
        near(back[0], mm[0], 1e-6);
        near(back[1], mm[1], 1e-6);
        let seen_by = Camera::of(&lying, Some(26));
        near(seen_by.angle_deg(mm), camera.angle(mm), 0.6);
        assert!(checked(&lying, Some(26)).is_ok());
        assert!(seen_by.movement() < 2.0, "{}", seen_by.movement());
    }
}

#[test]
fn four_and_more_known_points_lay_the_same_face_as_its_corners() {
    let mut chance = Chance(12);
    for _ in 0..100 {
        let (camera, lying) = scene(&mut chance);
        let mut points = Vec::new();
        while points.len() < 7 {
            let mm = [chance.between(0.0, 1006.0), chance.between(0.0, 684.0)];
            let at = percent(camera.px([mm[0] + 22.0, mm[1] + 26.0]).unwrap());
            points.push(KnownPoint { mm, at });
        }
        let by_points = Lying::of(&Lie::Points(points), SIDE, PICTURE).unwrap();
        for corner in SIDE.corners() {
            let (a, b) = (
                lying.to_px(corner).unwrap(),
                by_points.to_px(corner).unwrap(),
            );
            near(a[0], b[0], 1e-3);
            near(a[1], b[1], 1e-3);
        }
    }
}

#[test]
fn corners_that_no_camera_before_the_face_sees_are_refused() {
    let refused = |corners: [Xy; 4]| Lying::of(&Lie::Corners(corners), SIDE, PICTURE).is_err();
    let good = [[10.0, 10.0], [90.0, 12.0], [88.0, 80.0], [12.0, 78.0]];
    assert!(!refused(good));
    let [a, b, c, d] = good;
    assert!(refused([b, a, d, c]), "seen from behind");
    assert!(refused([a, c, b, d]), "crossing");
    assert!(refused([a, b, a, d]), "two corners at one place");
    assert!(refused([a, b, [50.0, 11.0], d]), "three on a line");
    assert!(
        refused([a, b, [20.0, 20.0], d]),
        "dented: a corner behind the camera"
    );
    assert!(refused([a, b, c, [f64::NAN, 1.0]]));
    // A face of another shape: far too wide for what is seen.
    let wide = FaceRect {
        size: [2400.0, 300.0],
        ..SIDE
    };
    let lying = Lying::of(&Lie::Corners(good), wide, PICTURE).unwrap();
    assert!(checked(&lying, Some(26)).is_err());
}

/// A plane that runs past the camera: what lies behind it is nowhere in the picture.
#[test]
fn what_lies_behind_the_camera_is_not_seen() {
    // Looking along the side at a grazing angle; its far end is in the picture, its near end beside and behind the camera.
    let camera = Pinhole {
        turn: [[0.17, 0.0, -0.985], [0.0, 1.0, 0.0], [0.985, 0.0, 0.17]],
        at: [-60.0, 0.0, 300.0],
        focal: 1514.0,
    };
    let seen_part = FaceRect {
        at: [500.0, 200.0],
        size: [500.0, 300.0],
    };
    let corners = seen_part
        .corners()
        .map(|it| percent(camera.px(it).unwrap()));
    let lying = Lying::of(&Lie::Corners(corners), seen_part, PICTURE).unwrap();
    let behind = [150.0, 300.0];
    assert!(camera.ray(behind)[2] < 0.0);
    assert_eq!(lying.to_px(behind), None);
    let by = Camera::of(&lying, Some(26));
    let square = |x: f64| [[x, 290.0], [x + 20.0, 290.0], [x + 20.0, 310.0], [x, 310.0]];
    let share = |place: &[Xy]| seen(&lying, &by, Drawn::Area, place, 0.0).share;
    assert_eq!(share(&square(150.0)), Share::None);
    assert_eq!(share(&square(900.0)), Share::All);
    // From behind the camera to before it: only a part can be in the picture.
    let long = [
        [100.0, 290.0],
        [900.0, 290.0],
        [900.0, 310.0],
        [100.0, 310.0],
    ];
    assert_eq!(share(&long), Share::Part);
    assert_eq!(
        seen(
            &lying,
            &by,
            Drawn::Line,
            &[[100.0, 300.0], [900.0, 300.0]],
            0.0
        )
        .share,
        Share::Part
    );
    assert_eq!(
        seen(&lying, &by, Drawn::Spot, &[behind], 0.0).share,
        Share::None
    );
}

/// The least width of a rectangle is its shorter side, whichever way it is turned, and never the one across its diagonal.
#[test]
fn the_smaller_side_of_a_rectangle_is_its_shorter_one() {
    let mut chance = Chance(15);
    for _ in 0..50 {
        let (w, h) = (chance.between(1.0, 90.0), chance.between(1.0, 90.0));
        let (sin, cos) = chance.between(0.0, 6.3).sin_cos();
        let turned = |[x, y]: Xy| [x * cos - y * sin, x * sin + y * cos];
        let mut points = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]]
            .map(turned)
            .to_vec();
        points.push(turned([w / 3.0, h / 4.0]));
        near(smaller_side(&points), w.min(h), 1e-9);
    }
    near(smaller_side(&[[0.0, 0.0], [5.0, 5.0]]), 0.0, 1e-12);
    near(smaller_side(&[[3.0, 3.0]]), 0.0, 0.0);
}

/// The cut by the frame against a count of points: all, some or none of the shape's points lie in the frame.
#[test]
fn what_the_frame_cuts_agrees_with_a_count_of_points() {
    let mut chance = Chance(13);
    let mut counts = [0; 3];
    for _ in 0..2000 {
        let (camera, lying) = scene(&mut chance);
        let by = Camera::of(&lying, Some(26));
        let at = [
            chance.between(-900.0, 1900.0),
            chance.between(-900.0, 1500.0),
        ];
        let place = FaceRect {
            at,
            size: [chance.between(5.0, 300.0), chance.between(5.0, 300.0)],
        };
        let found = seen(&lying, &by, Drawn::Area, &place.corners(), 0.0).share;
        let mut inside = 0;
        for n in 0..=30 {
            for m in 0..=30 {
                let mm = [f64::from(n), f64::from(m)].map(|it| it / 30.0);
                let mm = [0, 1].map(|k| place.at[k] + mm[k] * place.size[k]);
                let at = camera.px(mm);
                inside += usize::from(at.is_some_and(|[x, y]| {
                    (0.0..=2016.0).contains(&x) && (0.0..=1512.0).contains(&y)
                }));
            }
        }
        match found {
            Share::All => assert_eq!(inside, 961),
            Share::None => assert_eq!(inside, 0),
            // A sliver may lie between two of the points counted.
            Share::Part => assert!(inside < 961),
        }
        counts[found as usize] += 1;
    }
    assert!(counts.iter().all(|it| *it > 100), "{counts:?}");
}

#[test]
fn a_drawn_region_is_carried_with_its_kind_and_a_middle() {
    let mut chance = Chance(14);
    let (camera, lying) = scene(&mut chance);
    let at = |mm: Xy| percent(camera.px(mm).unwrap());
    let line = Region::Line(vec![at([400.0, 300.0]), at([500.0, 300.0])]);
    let carried = lying.carried(&line).unwrap();
    assert_eq!(carried.kind, Drawn::Line);
    near(carried.outline[1][0], 500.0, 1e-6);
    assert!(
        carried.uncertainty > 0.1 && carried.uncertainty < 20.0,
        "{}",
        carried.uncertainty
    );
    let spot = lying.carried(&Region::Spot(at([77.0, 99.0]))).unwrap();
    assert_eq!(spot.kind, Drawn::Spot);
    near(middle(&spot.outline)[1], 99.0, 1e-6);
    // The middle of an area is that of its surface, not of its points.
    let crowded = [
        [0.0, 0.0],
        [1.0, 0.0],
        [2.0, 0.0],
        [10.0, 0.0],
        [10.0, 10.0],
        [0.0, 10.0],
    ];
    near(middle(&crowded)[0], 5.0, 1e-9);
    near(middle(&crowded)[1], 5.0, 1e-9);
}
