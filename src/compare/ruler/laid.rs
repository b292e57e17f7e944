//! Which side of a thing lies along which of its edges in the picture: four clicks do not say.
//!
//! There are two ways: the first edge is the width, or it is the height. Each gives a map from the plane to the picture, and a
//! map that a real camera could have made (square pixels, its axis through the middle of the picture) keeps the two axes of
//! the plane at right angles and equally long (Hartley and Zisserman, 2nd edition, section 8.8: both are conditions on
//! the image of the absolute conic). For each way and each plausible focal length the least movement of the four clicks, in
//! px, is worked out (to the first order) that would make both hold. The way that needs clearly less is taken. Where both
//! are within what a hand does, perspective does not tell, and the longer pair of edges in the picture is the longer side,
//! which means the lesser tilt; unless the other way would take a camera tilted by more than 60 degrees, that is a guess and
//! is said.

use crate::compare::ruler::flat::rectangle;
use crate::plane::Homography;
use crate::plane::Xy;
use crate::plane::distance;

/// Plausible focal lengths, as parts of the picture's longer edge: the widest telephone lens to a long one, a crop included.
const FOCAL: [f64; 2] = [0.35, 6.0];

/// Steps between them, each the same factor.
const FOCAL_STEPS: u32 = 40;

/// A way is ruled out when its clicks would be off by more than this many standard uncertainties ...
const TOO_FAR: f64 = 6.0;

/// ... and by this many times what the other way needs (an uncorrected lens moves the corners of both).
const WORSE: f64 = 4.0;

/// The cosine of 60 degrees: steeper than that nobody photographs a fault with a card beside it (common practice, no source).
const STEEPEST: f64 = 0.5;

/// The sides of a thing in the order of its edges in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Laid {
    /// Length in mm of the edge from the first corner to the second, and of the next edge.
    pub(crate) sides: [f64; 2],
    /// How sure that is.
    pub(crate) sure: Sure,
}

/// How sure the order of the sides is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sure {
    /// Both sides are alike, or only one way gives a camera.
    Perspective,
    /// Perspective does not tell; the edges differ so much that the other way is out of the question.
    Edges,
    /// Perspective does not tell, and the edges do not settle it.
    Guessed,
}

/// Decides how a thing lies: its corners in px from the middle of the picture, its two sides in mm, the picture's longer edge
/// in px, and the standard uncertainty of a click in px.
pub(crate) fn laid(corners: &[Xy; 4], sides: [f64; 2], long_edge: f64, click: f64) -> Laid {
    let [a, b] = sides;
    let told = |sides, sure| Laid { sides, sure };
    if (a - b).abs() < 1e-6 * a {
        return told(sides, Sure::Perspective);
    }
    let need = |sides| movement(corners, sides, long_edge).unwrap_or(f64::INFINITY);
    let (first, second) = (need([a, b]), need([b, a]));
    let rules_out = |bad: f64, good: f64| bad > TOO_FAR * click && bad > WORSE * good;
    if rules_out(second, first) {
        return told([a, b], Sure::Perspective);
    }
    if rules_out(first, second) {
        return told([b, a], Sure::Perspective);
    }
    let edge = |n: usize| distance(corners[n], corners[(n + 1) % 4]);
    let ratio = (edge(0) + edge(2)) / (edge(1) + edge(3));
    let as_said = (ratio >= 1.0) == (a >= b);
    let order = if as_said { [a, b] } else { [b, a] };
    // The other way, the longer side would be seen so much shorter: the cosine of the tilt.
    let shorter = (a / b).min(b / a) * ratio.min(1.0 / ratio);
    let clear = shorter < STEEPEST;
    told(order, if clear { Sure::Edges } else { Sure::Guessed })
}

/// The two things that a real camera keeps, as numbers that should be 0: the cosine between the axes of the plane, and half
/// the relative difference of their squared lengths; `s` is one over the squared focal length.
fn lapse(h: &[[f64; 3]; 3], s: f64) -> [f64; 2] {
    let dot = |i: usize, j: usize| s * (h[0][i] * h[0][j] + h[1][i] * h[1][j]) + h[2][i] * h[2][j];
    let (one, two) = (dot(0, 0), dot(1, 1));
    let mean = f64::midpoint(one, two);
    [dot(0, 1) / mean, (one - two) / (2.0 * mean)]
}

/// By how many px the four clicks together would have to be off for this to be a card before a camera, at the focal length
/// that suits it best. `None` when the corners make no shape.
fn movement(corners: &[Xy; 4], sides: [f64; 2], long_edge: f64) -> Option<f64> {
    let ratio = (FOCAL[1] / FOCAL[0]).powf(1.0 / f64::from(FOCAL_STEPS));
    let focals = (0..=FOCAL_STEPS).map(|n| (FOCAL[0] * ratio.powf(f64::from(n)) * long_edge, 0.0));
    let all = movements(corners, sides, focals)?;
    all.into_iter().map(|it| it.2).min_by(f64::total_cmp)
}

/// The same at each of these focal lengths (px, and anything that goes with it): focal length, what goes with it, movement.
/// `None` when the corners make no shape; a movement that is no number is left out.
pub(crate) fn movements(
    corners: &[Xy; 4],
    sides: [f64; 2],
    focals: impl Iterator<Item = (f64, f64)>,
) -> Option<Vec<(f64, f64, f64)>> {
    let plane = rectangle(sides);
    let map = |corners: &[Xy; 4]| Homography::from_four(&plane, corners).map(|it| it.rows());
    let here = map(corners).ok()?;
    let step = 1e-4 * distance(corners[0], corners[2]);
    let mut moved = Vec::with_capacity(8);
    for n in 0..8 {
        let mut there = *corners;
        there[n / 2][n % 2] += step;
        moved.push(map(&there).ok()?);
    }
    let least = focals.map(|(focal, with)| {
        let s = 1.0 / (focal * focal);
        let [p, q] = lapse(&here, s);
        let [mut pp, mut pq, mut qq] = [0.0; 3];
        for there in &moved {
            let [x, y] = lapse(there, s);
            let [x, y] = [(x - p) / step, (y - q) / step];
            pp += x * x;
            pq += x * y;
            qq += y * y;
        }
        let squared = (qq * p * p - 2.0 * pq * p * q + pp * q * q) / (pp * qq - pq * pq);
        (focal, with, squared.max(0.0).sqrt())
    });
    Some(least.filter(|it| it.2.is_finite()).collect())
}
