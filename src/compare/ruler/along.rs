//! A plain length in the picture, by its two ends: a tape, a rule.

use crate::plane::Degenerate;
use crate::plane::Xy;
use crate::plane::distance;

/// The camera is taken to be held square to the surface within 20 degrees: lengths across a tape may then be seen shorter by
/// 1 - cos 20. Common practice, no source.
const SHORTER: f64 = 0.060;

/// So tilted, things grow or shrink by this part for each length of the picture's longer edge from the tape: tan 20, and a
/// focal length of 0.72 of the longer edge (a 26 mm lens on 36 mm of film, as in most telephones; longer lenses less).
const GROWS: f64 = 0.364 / 0.72;

/// One scale factor, from two ends; it knows no tilt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Along {
    ends: [Xy; 2],
    mm_per_px: f64,
}

impl Along {
    /// A length of so many mm between two points in px of the upright picture.
    ///
    /// # Errors
    /// When the ends are one point, or the length is none.
    pub fn new(ends: [Xy; 2], length_mm: f64) -> Result<Self, Degenerate> {
        let mm_per_px = length_mm / distance(ends[0], ends[1]);
        if mm_per_px.is_finite() && mm_per_px > 0.0 {
            Ok(Self { ends, mm_per_px })
        } else {
            Err(Degenerate)
        }
    }

    /// Where a point of the picture (px) lies, mm, as if the whole picture had one scale.
    #[must_use]
    pub fn to_mm(&self, point: Xy) -> Xy {
        point.map(|it| it * self.mm_per_px)
    }

    /// How much of a segment (px) lies across the length: 0 along it, 1 at right angles to it.
    #[must_use]
    pub fn across(&self, [a, b]: [Xy; 2]) -> f64 {
        let [from, to] = self.ends;
        let area = (to[0] - from[0]) * (b[1] - a[1]) - (to[1] - from[1]) * (b[0] - a[0]);
        let sine = area / (distance(from, to) * distance(a, b));
        if sine.is_finite() { sine * sine } else { 0.0 }
    }

    /// The relative standard uncertainty of a segment (px) for want of a tilt: what lies across, and what lies apart (middle
    /// from middle), in a picture whose longer edge has so many px. Both are half-widths of rectangular distributions
    /// (GUM 4.3.7).
    #[must_use]
    pub fn for_want_of_tilt(&self, segment: [Xy; 2], long_edge: f64) -> f64 {
        let middle = |[a, b]: [Xy; 2]| [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
        let apart = distance(middle(self.ends), middle(segment)) / long_edge;
        let across = SHORTER * self.across(segment);
        across.hypot(GROWS * apart) / 3.0_f64.sqrt()
    }
}
