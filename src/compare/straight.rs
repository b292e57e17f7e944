//! A rectangle of a face cut out of a picture and set straight, and how far two such cuts may lie apart.

use crate::compare::ruler::face_rect::FaceRect;
use crate::compare::ruler::lying::Lying;
use crate::plane::Homography;
use crate::plane::Xy;

/// So many points of the rectangle each way are asked whether they lie in the frame.
const GRID: u32 = 9;

/// How one picture shows a rectangle of a face.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Its corners in percent of the upright picture, top left first; they may lie outside it.
    pub corners: [Xy; 4],
    /// Pixels per mm at its middle.
    pub px_per_mm: f64,
    /// What share of it lies in the frame, 0 to 1.
    pub share: f64,
    /// By how much a point of it may be off, mm, k = 2.
    pub off_mm: f64,
}

impl Cut {
    /// `None` where some of the rectangle lies behind the camera.
    #[must_use]
    pub fn of(lying: &Lying, rect: FaceRect) -> Option<Self> {
        let [w, h] = lying.px();
        let [a, b, c, d] = rect.corners().map(|it| lying.to_px(it));
        let corners = [a?, b?, c?, d?].map(|[x, y]| [x / w * 100.0, y / h * 100.0]);
        let point = |n: u32, m: u32| {
            let part = |it: u32| (f64::from(it) + 0.5) / f64::from(GRID);
            [
                rect.at[0] + part(n) * rect.size[0],
                rect.at[1] + part(m) * rect.size[1],
            ]
        };
        let points = (0..GRID).flat_map(|n| (0..GRID).map(move |m| point(n, m)));
        let inside = |it: Xy| {
            let px = lying.to_px(it);
            px.is_some_and(|[x, y]| (0.0..=w).contains(&x) && (0.0..=h).contains(&y))
        };
        let seen = points.filter(|it| inside(*it)).count();
        Some(Self {
            corners,
            px_per_mm: lying.px_per_mm(point(GRID / 2, GRID / 2))?,
            share: seen as f64 / f64::from(GRID * GRID),
            off_mm: lying.off(&rect.corners())?,
        })
    }
}

/// The projective map from a straight picture, 1 wide and 1 high, to the upright one in which it has these corners (percent), 1
/// wide and 1 high too. `None` where three corners lie on a line.
#[must_use]
pub fn rows(corners: [Xy; 4]) -> Option<[[f64; 3]; 3]> {
    let unit = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let corners = corners.map(|it| it.map(|it| it / 100.0));
    Some(Homography::from_four(&unit, &corners).ok()?.rows())
}
