//! Corners of a rectangle in a picture -> how many of them are round, and how many are not.

use plane::Homography;
use plane::Xy;

use crate::field::Field;
use crate::outline::Rounded;

/// Grey values over two pixels from which an edge is seen.
const SEEN: f32 = 4.0;
/// Steps through a corner.
const STEPS: i32 = 60;

/// What the corners are.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Corners {
    round: usize,
    other: usize,
}

impl Corners {
    /// Whether most are round, as far as they are seen: something may lie on two of them.
    pub(super) fn is_so(self) -> bool {
        self.round >= 3 || (self.round == 2 && self.other == 0)
    }
}

/// Where the edge crosses the way from each corner to the middle: the arc leaves the corner by its radius times (root of 2 - 1), along
/// the line that halves the angle.
pub(super) fn round_corners(
    field: &Field,
    corners: &[Xy; 4],
    bright_inside: bool,
    wanted: Rounded,
) -> Option<Corners> {
    let [w, h] = wanted.sides;
    let flat = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
    let map = Homography::from_four(&flat, corners).ok()?;
    let gone = wanted.radius * (2.0_f64.sqrt() - 1.0);
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let mut found = Corners::default();
    for [x, y] in flat {
        let inward = [
            if x > 0.0 { -half } else { half },
            if y > 0.0 { -half } else { half },
        ];
        let at = |mm: f64| map.apply([x + mm * inward[0], y + mm * inward[1]]);
        let px = plane::distance(at(0.0)?, at(1.0)?);
        // Over two pixels.
        let by = 1.0 / px;
        let steep = |mm: f64| {
            let value = |mm: f64| at(mm).and_then(|[x, y]| field.at(x, y));
            let rise = value(mm + by)
                .zip(value(mm - by))
                .map_or(0.0, |(b, a)| b - a);
            if bright_inside { rise } else { -rise }
        };
        let reach = 2.0 * gone;
        let step = |n: i32| gone + reach * f64::from(n) / f64::from(STEPS);
        let best = (-STEPS..=STEPS)
            .map(step)
            .max_by(|a, b| steep(*a).total_cmp(&steep(*b)))?;
        if steep(best) < SEEN {
            continue;
        }
        // Where a corner is small, its edge is not seen to half a px.
        let near = (0.35 * gone).max(0.7 * by);
        match (best - gone).abs() < near {
            true => found.round += 1,
            false => found.other += 1,
        }
    }
    Some(found)
}
