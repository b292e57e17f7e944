//! The camera that fits best.

use crate::algebra::Normal;
use crate::algebra::inverted;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::camera::UNKNOWNS;
use crate::camera::pull;
use crate::face::Frame;
use crate::fit::dense::differences;
use crate::fit::dense::joined;
use crate::fit::samples::Sample;
use crate::fit::samples::samples;
use crate::task::Task;
use crate::task::agreeing_with;

/// Ties that hold a camera; fewer agree by chance.
pub(crate) const HELD: usize = 8;
/// px at which a tie says nothing any more.
pub(crate) const TIE_REACH: f64 = 5.0;
/// Weight of a tie: about 0.7 px.
pub(crate) const TIE_WEIGHT: f64 = 2.0;
/// Rounds of Gauss-Newton.
const ROUNDS: usize = 8;
/// Largest step, radians or parts.
const STEP: f64 = 0.3;
/// Margin around a face, px of the level.
const MARGIN: f64 = 4.0;

/// The pixels of one face, with the level of `b` that they are held against.
struct Part {
    samples: Vec<Sample>,
    level: usize,
}

fn parts(task: &Task<'_>, camera: &Camera, depth: usize, most: usize) -> Vec<Part> {
    let each = task.faces.iter().enumerate().map(|(n, face)| {
        let map = camera.map(&face.frame);
        let levels = task.levels(n, &map, task.near(n, &map), depth);
        Part {
            samples: samples(task, n, &map, levels.a, MARGIN, most / task.faces.len()).all,
            level: levels.b,
        }
    });
    each.collect()
}

/// What pixels and ties say of the camera. A face that does not look alike says less.
fn system(
    task: &Task<'_>,
    camera: &Camera,
    parts: &[Part],
    ties: &[Tie],
    reach: f32,
) -> Option<Normal<UNKNOWNS>> {
    let each = parts.iter().flat_map(|part| {
        differences(&part.samples, task.b, part.level, reach, |it| {
            camera.see_moving(&it.point)
        })
    });
    let each: Vec<_> = each.flatten().collect();
    let mut all = joined(each.iter());
    let held = agreeing_with(ties, camera) >= HELD;
    if held {
        pull(&mut all, ties, TIE_REACH, TIE_WEIGHT, |it| {
            camera.see_moving(&it.point)
        });
    }
    (held || !each.is_empty()).then_some(all)
}

/// Gauss-Newton on the camera, with pixels of levels `depth` coarser than the finest, about `most` of them.
pub(crate) fn tightened(
    task: &Task<'_>,
    start: &Camera,
    ties: &[Tie],
    depth: usize,
    most: usize,
) -> Option<Camera> {
    let parts = parts(task, start, depth, most);
    let mut camera = *start;
    for round in 0..ROUNDS {
        let reach = if round < ROUNDS / 2 { 2.0 } else { 1.2 };
        let mut system = system(task, &camera, &parts, ties, reach)?;
        camera.hold(&mut system, &task.b.lens, 1e-4);
        let by = system.solved()?;
        if by.iter().any(|it| it.abs() > STEP) {
            return None;
        }
        camera = camera.moved(&by);
        let seen = |it: &Frame| camera.plausible(it, &task.b.lens);
        if !task.faces.iter().any(|it| seen(&it.frame)) {
            return None;
        }
    }
    Some(camera)
}

/// The covariance of a camera, as its own equations tell it.
pub(crate) fn spread(
    task: &Task<'_>,
    camera: &Camera,
    ties: &[Tie],
) -> Option<[[f64; UNKNOWNS]; UNKNOWNS]> {
    let parts = parts(task, camera, 0, 6000);
    let mut system = system(task, camera, &parts, ties, 1.2)?;
    camera.hold(&mut system, &task.b.lens, 0.0);
    inverted(&system.matrix)
}
