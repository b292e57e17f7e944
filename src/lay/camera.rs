//! A camera of about known focal length before the piece: where it stands, and how points move with it.
//!
//! Hartley and Zisserman, Multiple View Geometry (2nd edition), 6.1 (the pinhole camera) and example 8.1 (the camera of a
//! plane whose map is known). Turns are moved by Rodrigues' formula.

use plane::Xy;

use crate::algebra::Map;
use crate::algebra::Normal;
use crate::algebra::Rows;
use crate::algebra::Xyz;
use crate::algebra::columns;
use crate::algebra::cross;
use crate::algebra::dot;
use crate::algebra::length;
use crate::algebra::product;
use crate::algebra::sum;
use crate::algebra::times;
use crate::algebra::transposed;
use crate::algebra::turned;
use crate::algebra::unit;
use crate::face::Frame;
use crate::lens::Lens;
use crate::lens::index;

/// The unknowns of a camera: turn (3), shift in parts of the distance (3), logarithm of the focal length.
pub(crate) const UNKNOWNS: usize = 7;

/// A point of the piece and where it was found in the picture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tie {
    /// On which of the faces, by its place in their list.
    pub(crate) face: usize,
    /// mm from the middle of that face.
    pub(crate) on_face: Xy,
    /// The same as a point of the piece, mm.
    pub(crate) point: Xyz,
    /// px.
    pub(crate) at: Xy,
    pub(crate) weight: f64,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Camera {
    turn: Rows,
    /// Where the origin of the piece lies before the camera, mm.
    shift: Xyz,
    pub(crate) focal: f64,
    centre: Xy,
}

/// Nearest point that a camera can see, mm.
const NEAREST: f64 = 20.0;
/// Farthest, mm.
const FARTHEST: f64 = 20_000.0;

impl Camera {
    /// From the map of a face (mm from its middle) into the picture, and the focal length. `near` is a point of the face that
    /// lies before the camera.
    pub(crate) fn of_face(map: &Map, frame: &Frame, lens: &Lens, near: Xy) -> Option<Self> {
        let [cx, cy] = index(lens.centre);
        let rows = map.with_front(near).0;
        let [a, b, c] = [0, 1, 2].map(|n| {
            let last = rows[2][n];
            [
                (rows[0][n] - cx * last) / lens.focal,
                (rows[1][n] - cy * last) / lens.focal,
                last,
            ]
        });
        let size = (length(&a) * length(&b)).sqrt();
        if !size.is_finite() || size < 1e-12 {
            return None;
        }
        let [a, b, c] = [a, b, c].map(|it| times(it, 1.0 / size));
        // The two diagonals are at right angles whatever the error in the sides.
        let (a, b) = (unit(a)?, unit(b)?);
        let (along, other) = (unit(sum(a, b))?, unit(sum(a, times(b, -1.0)))?);
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let across = times(sum(along, other), half);
        let down = times(sum(along, times(other, -1.0)), half);
        let in_face = columns(&across, &down, &cross(&across, &down));
        let turn = product(&in_face, &transposed(&frame.axes()));
        let shift = sum(c, times(turned(&turn, &frame.middle), -1.0));
        Some(Self {
            turn,
            shift,
            focal: lens.focal,
            centre: [cx, cy],
        })
    }

    /// The map of a face (mm from its middle) into the picture.
    pub(crate) fn map(&self, frame: &Frame) -> Map {
        let [a, b, _] = transposed(&product(&self.turn, &frame.axes()));
        let rows = columns(&a, &b, &sum(turned(&self.turn, &frame.middle), self.shift));
        let [cx, cy] = self.centre;
        let seen = |row: &Xyz, c: f64| [0, 1, 2].map(|n| self.focal * row[n] + c * rows[2][n]);
        Map([seen(&rows[0], cx), seen(&rows[1], cy), rows[2]])
    }

    /// Where a point is seen.
    pub(crate) fn see(&self, point: &Xyz) -> Option<Xy> {
        let [x, y, z] = sum(turned(&self.turn, point), self.shift);
        let at = [
            self.focal * x / z + self.centre[0],
            self.focal * y / z + self.centre[1],
        ];
        (z > NEAREST).then_some(at)
    }

    /// Where a point is seen, and how that moves with the unknowns.
    pub(crate) fn see_moving(&self, point: &Xyz) -> Option<(Xy, [[f64; UNKNOWNS]; 2])> {
        let [x, y, z] = turned(&self.turn, point);
        let [px, py, pz] = sum([x, y, z], self.shift);
        if pz <= NEAREST {
            return None;
        }
        let (by, far) = (self.focal / pz, self.distance());
        let (u, v) = (px / pz, py / pz);
        let moved = |[x, y, z]: Xyz| [by * (x - u * z), by * (y - v * z)];
        let all = [
            moved([0.0, -z, y]),
            moved([z, 0.0, -x]),
            moved([-y, x, 0.0]),
            moved([far, 0.0, 0.0]),
            moved([0.0, far, 0.0]),
            moved([0.0, 0.0, far]),
            [self.focal * u, self.focal * v],
        ];
        let at = [
            self.focal * u + self.centre[0],
            self.focal * v + self.centre[1],
        ];
        Some((at, [all.map(|it| it[0]), all.map(|it| it[1])]))
    }

    /// The unit of shifts, mm.
    fn distance(&self) -> f64 {
        length(&self.shift).max(100.0)
    }

    pub(crate) fn moved(&self, by: &[f64; UNKNOWNS]) -> Self {
        let [a, b, c, ..] = *by;
        let angle = length(&[a, b, c]);
        let (s, k) = if angle < 1e-9 {
            (1.0, 0.5)
        } else {
            (angle.sin() / angle, (1.0 - angle.cos()) / (angle * angle))
        };
        let once = [[0.0, -c, b], [c, 0.0, -a], [-b, a, 0.0]];
        let twice = product(&once, &once);
        let one = |r: usize, n: usize| f64::from(u8::from(r == n));
        let turn =
            [0, 1, 2].map(|r| [0, 1, 2].map(|n| one(r, n) + s * once[r][n] + k * twice[r][n]));
        let far = self.distance();
        Self {
            turn: product(&turn, &self.turn),
            shift: sum(self.shift, times([by[3], by[4], by[5]], far)),
            focal: self.focal * by[6].exp(),
            centre: self.centre,
        }
    }

    /// Cosine of the angle at which the outside of a face is seen at a point of it, mm from its middle; less than 0 from
    /// behind.
    pub(crate) fn facing(&self, frame: &Frame, at: Xy) -> f64 {
        let inward = turned(&self.turn, &cross(&frame.across, &frame.down));
        let there = sum(turned(&self.turn, &frame.point(at)), self.shift);
        dot(&inward, &there) / length(&there).max(1e-9)
    }

    /// Whether a camera can be so: before the face, not farther than a hall, with about the focal length told.
    pub(crate) fn plausible(&self, frame: &Frame, lens: &Lens) -> bool {
        let zoomed = (self.focal / lens.focal).ln().abs();
        let front = self.facing(frame, [0.0, 0.0]) > 0.02;
        front && zoomed < 4.0 * lens.unsure && length(&self.shift) < FARTHEST
    }

    /// That the focal length is about that of the lens, and a little damping.
    pub(crate) fn hold(&self, to: &mut Normal<UNKNOWNS>, lens: &Lens, damping: f64) {
        to.hold(6, -(self.focal / lens.focal).ln(), lens.unsure);
        for n in 0..UNKNOWNS {
            to.matrix[n][n] += damping * to.matrix[n][n] + 1e-6;
        }
    }

    /// Fitted to ties, once for each reach: Tukey's biweight, which ends at that many px.
    pub(crate) fn fitted(&self, ties: &[Tie], reaches: &[f64], lens: &Lens) -> Option<Self> {
        let mut camera = *self;
        for reach in reaches {
            let mut system = Normal::NOTHING;
            pull(&mut system, ties, *reach, 1.0, |tie| {
                camera.see_moving(&tie.point)
            });
            camera.hold(&mut system, lens, 1e-6);
            camera = camera.moved(&system.solved()?);
        }
        Some(camera)
    }
}

/// Adds what ties say to a system, with Tukey's biweight, which ends at `reach` px.
pub(crate) fn pull<'a, const N: usize>(
    to: &mut Normal<N>,
    ties: impl IntoIterator<Item = &'a Tie>,
    reach: f64,
    weight: f64,
    see: impl Fn(&Tie) -> Option<(Xy, [[f64; N]; 2])>,
) {
    for tie in ties {
        let Some((seen, slopes)) = see(tie) else {
            continue;
        };
        let off = [tie.at[0] - seen[0], tie.at[1] - seen[1]];
        let part = (off[0] * off[0] + off[1] * off[1]) / (reach * reach);
        if part < 1.0 {
            let weight = weight * tie.weight * (1.0 - part) * (1.0 - part);
            to.add(&slopes[0], off[0], weight);
            to.add(&slopes[1], off[1], weight);
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Camera;
    use super::UNKNOWNS;
    use crate::face::Face;
    use crate::lens::Lens;

    /// A camera that looks straight at the middle of a face, moved.
    fn camera(by: [f64; UNKNOWNS], lens: &Lens) -> Camera {
        let straight = Camera {
            turn: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            shift: [-400.0, -250.0, 1200.0],
            focal: lens.focal,
            centre: [239.5, 179.5],
        };
        straight.moved(&by)
    }

    proptest! {
        /// Hartley and Zisserman, example 8.1: the map of a plane and the focal length give the camera.
        #[test]
        fn a_camera_comes_back_from_its_map(
            turn in prop::array::uniform3(-0.7_f64..0.7), shift in prop::array::uniform3(-0.1_f64..0.1),
        ) {
            let lens = Lens::of_whole(480, 360, Some(26.0));
            let [a, b, c] = turn;
            let [x, y, z] = shift;
            let camera = camera([a, b, c, x, y, z, 0.0], &lens);
            let frame = Face::alone([800.0, 500.0]).frame();
            prop_assume!(camera.facing(&frame, [0.0, 0.0]) > 0.05);
            let map = camera.map(&frame);
            let again = Camera::of_face(&map, &frame, &lens, [0.0, 0.0]).unwrap();
            for p in frame.corners() {
                let point = frame.point(p);
                let (q, r) = (camera.see(&point), again.see(&point));
                prop_assert_eq!(q.is_some(), r.is_some());
                if let (Some(q), Some(r)) = (q, r) {
                    prop_assert!(plane::distance(q, r) < 1e-6);
                    prop_assert!(plane::distance(q, map.see(p).unwrap()) < 1e-6);
                }
            }
            let both = [&camera, &again].map(|it| it.facing(&frame, [0.0, 0.0]));
            prop_assert!((both[0] - both[1]).abs() < 1e-9);
        }

        /// The slopes are those of small steps.
        #[test]
        fn points_move_as_told(
            by in prop::array::uniform7(-0.3_f64..0.3), x in 0_f64..800.0, y in 0_f64..500.0,
        ) {
            let lens = Lens::of_whole(480, 360, None);
            let camera = camera(by, &lens);
            let Some((at, slopes)) = camera.see_moving(&[x, y, 0.0]) else {
                return Ok(());
            };
            for n in 0..UNKNOWNS {
                let mut step = [0.0; UNKNOWNS];
                step[n] = 1e-6;
                let there = camera.moved(&step).see(&[x, y, 0.0]).unwrap();
                for axis in 0..2 {
                    let slope = (there[axis] - at[axis]) / 1e-6;
                    let told = slopes[axis][n];
                    prop_assert!((slope - told).abs() < 1e-2 * (1.0 + told.abs()), "{n} {slope} {told}");
                }
            }
        }
    }

    /// What OpenCV said of a face before a camera, px from the centre of the first pixel (`tests/reference/values.py`).
    #[derive(serde::Deserialize)]
    struct Told {
        size: [f64; 2],
        focal: f64,
        corners: [[f64; 2]; 4],
        /// mm from the middle of the face, the third inward.
        points: Vec<[f64; 3]>,
        at: Vec<[f64; 2]>,
        on_face: Vec<[f64; 2]>,
    }

    /// The map of four corners is `getPerspectiveTransform`'s, the camera `solvePnP`'s (IPPE), up to the single precision in
    /// which OpenCV takes the corners of the first.
    #[test]
    fn maps_and_cameras_are_those_of_opencv() {
        let folder = std::env::var_os("ASFOUND_REFERENCE").map(std::path::PathBuf::from);
        let text = folder.and_then(|it| std::fs::read(it.join("planes.json")).ok());
        let Some(text) = text else {
            return;
        };
        let all: Vec<Told> = serde_json::from_slice(&text).unwrap();
        assert!(all.len() >= 40);
        for it in all {
            let frame = Face {
                corner: [-it.size[0] / 2.0, -it.size[1] / 2.0, 0.0],
                ..Face::alone(it.size)
            };
            let frame = frame.frame();
            let map = crate::algebra::Map::of_four(&frame.corners(), &it.corners).unwrap();
            let lens = Lens {
                focal: it.focal,
                centre: [800.5, 600.5],
                ..Lens::of_whole(1600, 1200, None)
            };
            let camera = Camera::of_face(&map, &frame, &lens, [0.0, 0.0]).unwrap();
            for ((point, at), on_face) in it.points.iter().zip(&it.at).zip(&it.on_face) {
                let seen = camera.see(point).unwrap();
                assert!(plane::distance(seen, *at) < 0.01, "{seen:?} {at:?}");
                let flat = map.see([point[0], point[1]]).unwrap();
                assert!(
                    plane::distance(flat, *on_face) < 0.05,
                    "{flat:?} {on_face:?}"
                );
            }
        }
    }

    #[test]
    fn a_face_seen_from_behind_is_not_plausible() {
        let lens = Lens::of_whole(480, 360, None);
        let frame = Face::alone([800.0, 500.0]).frame();
        let front = camera([0.0; UNKNOWNS], &lens);
        assert!(front.plausible(&frame, &lens));
        let mirrored = Face {
            corner: [800.0, 0.0, 0.0],
            across: [-1.0, 0.0, 0.0],
            ..Face::alone([800.0, 500.0])
        };
        assert!(!front.plausible(&mirrored.frame(), &lens));
    }

    #[test]
    fn what_lies_behind_the_camera_is_not_seen() {
        let lens = Lens::of_whole(480, 360, None);
        let camera = camera([0.0; UNKNOWNS], &lens);
        assert!(camera.see(&[400.0, 250.0, -1300.0]).is_none());
        assert!(camera.see(&[400.0, 250.0, 0.0]).is_some());
    }
}
