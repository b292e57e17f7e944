//! The corners in the first picture were set by a hand, so that the face is a little out of shape as they give it: eight free
//! numbers, held to that hand.

use plane::Xy;

use crate::algebra::Map;
use crate::algebra::Normal;
use crate::algebra::along;
use crate::algebra::inverted;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::camera::pull;
use crate::fit::dense::differences;
use crate::fit::dense::joined;
use crate::fit::pose::HELD;
use crate::fit::pose::TIE_REACH;
use crate::fit::pose::TIE_WEIGHT;
use crate::fit::samples::Sample;
use crate::fit::samples::samples;
use crate::task::Task;
use crate::task::agreeing;

/// Rounds at half size, and at the finest.
const ROUNDS: [(usize, usize); 2] = [(1, 6), (0, 6)];
/// Largest step, parts of half the face.
const STEP: f64 = 0.2;
/// Margin around a face, px of the level.
const MARGIN: f64 = 2.0;
/// About so many pixels.
const SAMPLES: usize = 6000;

/// A face laid freely.
pub(crate) struct Loose {
    /// mm from its middle to px.
    pub(crate) map: Map,
    /// Standard deviation of a point of the face inside the picture, px, as the equations tell it.
    pub(crate) unsure: f64,
}

/// Lets go of the camera. `ties` are those of this face.
pub(crate) fn loosened(
    task: &Task<'_>,
    face: usize,
    camera: &Camera,
    ties: &[Tie],
) -> Option<Loose> {
    let placed = &task.faces[face];
    let half = placed.frame.half;
    let deviations = hand(task, face);
    let mut map = camera.map(&placed.frame);
    let near = task.near(face, &map);
    let (mut moved, mut unsure) = ([0.0; 8], f64::INFINITY);
    for (depth, rounds) in ROUNDS {
        let levels = task.levels(face, &map, near, depth);
        let samples = samples(task, face, &map, levels.a, MARGIN, SAMPLES).all;
        for round in 0..rounds {
            let reach = if depth == 1 && round < 3 { 2.0 } else { 1.2 };
            let each = differences(&samples, task.b, levels.b, reach, |it| {
                seen_freely(&map, half, it.on_face)
            });
            let each = each.iter().flatten();
            each.clone().next()?;
            let mut system = joined(each);
            if agreeing(ties, |it| map.see(it.on_face)) >= HELD {
                pull(&mut system, ties, TIE_REACH, TIE_WEIGHT, |it| {
                    seen_freely(&map, half, it.on_face)
                });
            }
            for n in 0..8 {
                system.hold(n, -moved[n], deviations[n]);
            }
            let by = system.solved()?;
            if by.iter().any(|it| it.abs() > STEP) {
                return None;
            }
            for (at, it) in moved.iter_mut().zip(by) {
                *at += it;
            }
            map = map.after(&small(&by, half));
            if (depth, round + 1) == (0, rounds) {
                unsure = spread(task, &map, half, &system, &samples)?;
            }
        }
    }
    Some(Loose { map, unsure })
}

/// How far each of the eight numbers may be off, from how far the corners may be.
fn hand(task: &Task<'_>, face: usize) -> [f64; 8] {
    let placed = &task.faces[face];
    let corners = placed.frame.corners().map(|it| placed.map.apply(it));
    let side = |n: usize, m: usize| plane::distance(corners[n], corners[m]);
    let part = |a: f64, b: f64| placed.unsure / (0.25 * (a + b));
    let across = part(side(0, 1), side(3, 2));
    let down = part(side(1, 2), side(0, 3));
    let bend = (across * down).sqrt();
    [across, across, across, down, down, down, bend, bend]
}

/// Where a point is seen, and how that moves with the eight numbers of a small map of the face itself, in parts of half of it:
/// p -> (p + [e0 x + e1 y + e2, e3 x + e4 y + e5]) / (1 + e6 x + e7 y).
fn seen_freely(map: &Map, half: [f64; 2], p: Xy) -> Option<(Xy, [[f64; 8]; 2])> {
    let w = map.weight(p);
    let at = map.see(p)?;
    let (x, y) = (p[0] / half[0], p[1] / half[1]);
    let across = [x, y, 1.0, 0.0, 0.0, 0.0, -x * x, -x * y];
    let down = [0.0, 0.0, 0.0, x, y, 1.0, -x * y, -y * y];
    let slopes = [0, 1].map(|r: usize| {
        let by = |c: usize| (map.0[r][c] - at[r] * map.0[2][c]) / w * half[c];
        let (right, low) = (by(0), by(1));
        std::array::from_fn(|n| right * across[n] + low * down[n])
    });
    Some((at, slopes))
}

/// The small map of the face.
fn small(by: &[f64; 8], half: [f64; 2]) -> Map {
    let [a, b, c, d, e, f, g, h] = *by;
    let inner = Map([[1.0 + a, b, c], [d, 1.0 + e, f], [g, h, 1.0]]);
    let scale = |w: f64, h: f64| Map([[w, 0.0, 0.0], [0.0, h, 0.0], [0.0, 0.0, 1.0]]);
    let back = scale(1.0 / half[0], 1.0 / half[1]);
    scale(half[0], half[1]).after(&inner).after(&back)
}

/// The root of the mean variance of points of the face inside the second picture, px.
fn spread(
    task: &Task<'_>,
    map: &Map,
    half: [f64; 2],
    system: &Normal<8>,
    samples: &[Sample],
) -> Option<f64> {
    let covariance = inverted(&system.matrix)?;
    let variance = |it: &Sample| {
        let (at, slopes) = seen_freely(map, half, it.on_face)?;
        let both = slopes.iter().map(|it| along(&covariance, it)).sum::<f64>();
        task.b.holds(at).then_some(both)
    };
    let inside = samples.iter().filter(|it| it.inside).step_by(23);
    let all: Vec<f64> = inside.filter_map(variance).collect();
    let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
    (!all.is_empty()).then(|| mean.max(0.0).sqrt())
}
