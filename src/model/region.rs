//! A region of a photo, in percent of the UPRIGHT picture, origin top left.

use serde::Deserialize;
use serde::Serialize;

/// A point: percent of the width, percent of the height, both 0 to 100.
pub type Point = [f64; 2];

/// Where in the picture a mark lies.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Region {
    /// Left, top, width, height.
    Box([f64; 4]),
    /// An open line of at least two points.
    Line(Vec<Point>),
    /// A closed outline of at least three points.
    Outline(Vec<Point>),
    /// One point.
    Spot(Point),
}

/// Why a region does not lie in a picture.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RegionError {
    /// A number outside 0..100, or not a number.
    #[error("a region is given in percent: each number must lie between 0 and 100")]
    OutOfRange,
    /// The box goes over the edge.
    #[error(
        "the box reaches over the edge of the picture: left + width and top + height may be at most 100"
    )]
    OverTheEdge,
    /// The box has no area.
    #[error("the box has no area: width and height must be more than 0")]
    NoArea,
    /// Too few points.
    #[error("a line needs at least 2 points, an outline at least 3")]
    TooFewPoints,
}

impl Region {
    /// Checks that the region lies in the picture (a rounding overhang of 0.05 % is let pass).
    ///
    /// # Errors
    /// When it does not.
    pub fn checked(self) -> Result<Self, RegionError> {
        let inside = |it: &f64| it.is_finite() && (0.0..=100.0).contains(it);
        let points_ok = |points: &[Point]| points.iter().flatten().all(inside);
        match &self {
            Self::Box(b) if !b.iter().all(inside) => Err(RegionError::OutOfRange),
            Self::Box([_, _, w, h]) if *w <= 0.0 || *h <= 0.0 => Err(RegionError::NoArea),
            Self::Box([x, y, w, h]) if x + w > 100.05 || y + h > 100.05 => {
                Err(RegionError::OverTheEdge)
            }
            Self::Line(points) if points.len() < 2 => Err(RegionError::TooFewPoints),
            Self::Outline(points) if points.len() < 3 => Err(RegionError::TooFewPoints),
            Self::Line(points) | Self::Outline(points) if !points_ok(points) => {
                Err(RegionError::OutOfRange)
            }
            Self::Spot(point) if !point.iter().all(inside) => Err(RegionError::OutOfRange),
            _ => Ok(self),
        }
    }

    /// The smallest box around the region: left, top, width, height in percent; a spot has no width.
    #[must_use]
    pub fn bounds(&self) -> [f64; 4] {
        let points = match self {
            Self::Box(b) => return *b,
            Self::Line(points) | Self::Outline(points) => points.as_slice(),
            Self::Spot(point) => std::slice::from_ref(point),
        };
        let min = |n: usize| points.iter().map(|p| p[n]).fold(f64::INFINITY, f64::min);
        let max = |n: usize| {
            points
                .iter()
                .map(|p| p[n])
                .fold(f64::NEG_INFINITY, f64::max)
        };
        [min(0), min(1), max(0) - min(0), max(1) - min(1)]
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Region;

    #[test]
    fn regions_outside_the_picture_are_refused() {
        for wrong in [
            Region::Box([90.0, 0.0, 20.0, 5.0]),
            Region::Box([0.0, 0.0, 0.0, 5.0]),
            Region::Box([f64::NAN, 0.0, 1.0, 5.0]),
            Region::Line(vec![[1.0, 1.0]]),
            Region::Outline(vec![[1.0, 1.0], [2.0, 2.0]]),
            Region::Outline(vec![[1.0, 1.0], [2.0, 2.0], [101.0, 0.0]]),
            Region::Spot([-1.0, 0.0]),
        ] {
            assert!(wrong.clone().checked().is_err(), "{wrong:?}");
        }
    }

    proptest! {
        #[test]
        fn bounds_hold_every_point(points in prop::collection::vec([0.0..100.0, 0.0..100.0], 3..20)) {
            let region = Region::Outline(points.clone()).checked().unwrap();
            let [x, y, w, h] = region.bounds();
            for [px, py] in points {
                prop_assert!(px >= x - 1e-9 && px <= x + w + 1e-9);
                prop_assert!(py >= y - 1e-9 && py <= y + h + 1e-9);
            }
        }
    }
}
