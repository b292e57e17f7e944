//! A flat face of the piece: its size, where it lies on the piece, and where it lies in a picture.

use plane::Xy;
use serde::Serialize;

use crate::algebra::Map;
use crate::algebra::Rows;
use crate::algebra::Xyz;
use crate::algebra::columns;
use crate::algebra::cross;
use crate::algebra::sum;
use crate::algebra::times;
use crate::lens::index;

/// A flat rectangle of the piece. Where it lies on the piece is told in mm in any right-handed system that all faces of the
/// piece share; a face alone may lie anywhere.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Face {
    /// Width and height as one looks straight at it, mm.
    pub size: [f64; 2],
    /// Its top left corner, mm.
    pub corner: [f64; 3],
    /// The direction of its upper edge, from left to right; of length 1.
    pub across: [f64; 3],
    /// The direction of its left edge, downwards; of length 1, at a right angle to `across`.
    pub down: [f64; 3],
}

impl Face {
    /// A face of which nothing but its size is known, mm.
    #[must_use]
    pub fn alone(size: [f64; 2]) -> Self {
        Self {
            size,
            corner: [0.0; 3],
            across: [1.0, 0.0, 0.0],
            down: [0.0, 1.0, 0.0],
        }
    }

    pub(crate) fn frame(&self) -> Frame {
        let half = sum(
            times(self.across, self.size[0] / 2.0),
            times(self.down, self.size[1] / 2.0),
        );
        Frame {
            middle: sum(self.corner, half),
            across: self.across,
            down: self.down,
            half: self.size.map(|it| it / 2.0),
        }
    }
}

/// A face as its middle and its two directions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    pub(crate) middle: Xyz,
    pub(crate) across: Xyz,
    pub(crate) down: Xyz,
    pub(crate) half: [f64; 2],
}

impl Frame {
    /// The directions to the right, down and inward as columns.
    pub(crate) fn axes(&self) -> Rows {
        columns(&self.across, &self.down, &cross(&self.across, &self.down))
    }

    /// A point of the face, mm from its middle, as a point of the piece.
    pub(crate) fn point(&self, [x, y]: Xy) -> Xyz {
        sum(self.middle, sum(times(self.across, x), times(self.down, y)))
    }

    pub(crate) fn moved(&self, by: &Xyz) -> Self {
        Self {
            middle: sum(self.middle, *by),
            ..*self
        }
    }

    /// The four corners, mm from the middle, in the order of [`crate::Known::corners`].
    pub(crate) fn corners(&self) -> [Xy; 4] {
        let [x, y] = self.half;
        [[-x, -y], [x, -y], [x, y], [-x, y]]
    }

    /// Whether a point, mm from the middle, lies on the face, or outside by less than a hundredth of it.
    pub(crate) fn holds(&self, [x, y]: Xy) -> bool {
        x.abs() < 1.02 * self.half[0] && y.abs() < 1.02 * self.half[1]
    }
}

/// A face whose corners are known in a picture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Placed {
    pub(crate) frame: Frame,
    /// mm from its middle to px.
    pub(crate) map: Map,
    /// px to mm from its middle.
    pub(crate) back: Map,
    /// Standard deviation of a corner, px.
    pub(crate) unsure: f64,
}

impl Placed {
    /// `None` where the corners are none of a rectangle before a camera: not convex, the wrong way round, three on a line.
    pub(crate) fn new(frame: Frame, corners: &[Xy; 4], unsure: f64) -> Option<Self> {
        let corners = corners.map(index);
        let turns = [0, 1, 2, 3]
            .map(|n: usize| plane::turn(corners[n], corners[(n + 1) % 4], corners[(n + 2) % 4]));
        if turns.iter().any(|it| !it.is_finite() || *it <= 1e-9) {
            return None;
        }
        let map = Map::of_four(&frame.corners(), &corners)?;
        Some(Self {
            frame,
            map,
            back: map.inverse(),
            unsure,
        })
    }

    /// The point of the face, mm from its middle, that a pixel shows; `None` beside the face.
    pub(crate) fn under(&self, at: Xy) -> Option<Xy> {
        let point = self.back.apply(at);
        let there = self.map.weight(point) > 0.0 && self.frame.holds(point);
        there.then_some(point)
    }
}
