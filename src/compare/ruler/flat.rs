//! The plane in which a card or a sheet lies, by its four corners.

use crate::plane::Degenerate;
use crate::plane::Homography;
use crate::plane::Xy;
use crate::plane::distance;
use crate::plane::turn;

/// A corner that turns less than this (twice the triangle's area, as a share of the square of the longest edge) is no
/// corner: a card seen under about 3 degrees.
const LEAST_TURN: f64 = 0.02;

/// As a share of the nearness of the card's middle: what is seen smaller than this is more than ten times as far away as the
/// card, near the horizon, and is not measured.
const LEAST_NEARNESS: f64 = 0.1;

/// A plane with a thing of known size in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flat {
    to_mm: Homography,
    sides: [f64; 2],
    nearness: f64,
}

impl Flat {
    /// The plane of a thing: its corners in px of the upright picture, in order round it either way, and the length in mm of
    /// its first edge (first to second corner) and of its second edge.
    ///
    /// # Errors
    /// When the corners do not go round a four-sided shape without dents, or a side has no length.
    pub fn new(corners: &[Xy; 4], sides: [f64; 2]) -> Result<Self, Degenerate> {
        let edges = [0, 1, 2, 3].map(|n| distance(corners[n], corners[(n + 1) % 4]));
        let longest = edges.into_iter().fold(0.0, f64::max);
        let turns = [0, 1, 2, 3].map(|n| {
            let [a, b, c] = [n, n + 1, n + 2].map(|n| corners[n % 4]);
            turn(a, b, c) / (longest * longest)
        });
        let round = turns.iter().all(|it| *it > LEAST_TURN);
        let other_way = turns.iter().all(|it| *it < -LEAST_TURN);
        let real = sides.iter().all(|it| it.is_finite() && *it > 0.0);
        if !(round || other_way) || !real {
            return Err(Degenerate);
        }
        let to_mm = Homography::from_four(corners, &rectangle(sides))?;
        let middle = to_mm.inverse().apply(sides.map(|it| it / 2.0));
        let nearness = to_mm.weight(middle.ok_or(Degenerate)?);
        Ok(Self {
            to_mm,
            sides,
            nearness,
        })
    }

    /// Where a point of the picture (px) lies in the plane: mm from the thing's first corner, along its first edge and along
    /// its last. `None` on and beyond the horizon of the plane, and near it.
    #[must_use]
    pub fn to_mm(&self, point: Xy) -> Option<Xy> {
        let near = self.to_mm.weight(point) / self.nearness;
        self.to_mm
            .apply(point)
            .filter(|_| near.is_finite() && near >= LEAST_NEARNESS)
    }

    /// How far a point of the plane (mm) lies outside the thing, in lengths of its longer side; 0 on it.
    #[must_use]
    pub fn outside(&self, point: Xy) -> f64 {
        let over = [0, 1].map(|n| (point[n] - self.sides[n]).max(-point[n]).max(0.0));
        over[0].hypot(over[1]) / self.sides[0].max(self.sides[1])
    }
}

/// The corners of a rectangle with these sides, the first at the origin.
pub(crate) fn rectangle([a, b]: [f64; 2]) -> [Xy; 4] {
    [[0.0, 0.0], [a, 0.0], [a, b], [0.0, b]]
}
