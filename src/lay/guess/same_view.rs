//! Guesses that the second picture was taken from about where the first was, as people do when they take a view again: the faces
//! are moved over it, small, until they look most alike.

use plane::Xy;

use crate::algebra::Map;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::fit::Sample;
use crate::fit::Sums;
use crate::fit::samples;
use crate::guess::Guess;
use crate::guess::Source;
use crate::photo::EDGES;
use crate::photo::LEVELS;
use crate::photo::LIGHT;
use crate::task::Task;

/// The smallest pictures.
const LEVEL: usize = LEVELS - 1;
/// How much nearer or farther than the first.
const ZOOMS: [f64; 5] = [0.74, 0.86, 1.0, 1.16, 1.35];
/// How far the faces are moved each way, part of the longer side.
const REACH: f64 = 0.3;
/// Guesses that are followed.
const GUESSES: usize = 3;
/// Margin around the faces, px of the level.
const MARGIN: f64 = 3.0;
/// About so many pixels of each face.
const SAMPLES: usize = 250;

/// The moves of the faces under which they look most alike.
pub(crate) fn from_same_view(task: &Task<'_>) -> Vec<Guess> {
    let whole = (1_usize << LEVEL) as f64;
    let each = task.faces.iter().enumerate().map(|(face, placed)| {
        let all = samples(task, face, &placed.map, LEVEL, MARGIN, SAMPLES).all;
        let at = |it: Sample| (placed.map.apply(it.on_face).map(|at| at / whole), it.looks);
        all.into_iter().map(at).collect::<Vec<_>>()
    });
    let pixels: Vec<(Xy, [f32; 2])> = each.flatten().collect();
    let level = &task.b.levels()[LEVEL];
    let size = level.size().map(|it| it as f64);
    let reach = (REACH * size[0].max(size[1])) as i32;
    let middle = task.a.levels()[LEVEL].size().map(|it| it as f64 / 2.0);
    let base = task.b.lens.focal / task.a.lens.focal;
    let mut tried: Vec<(f64, f64, Xy)> = Vec::new();
    for zoom in ZOOMS.map(|it| it * base) {
        for n in 0..(2 * reach + 1).pow(2) {
            let (x, y) = (n % (2 * reach + 1) - reach, n / (2 * reach + 1) - reach);
            let by = [f64::from(x), f64::from(y)];
            let shift = [0, 1].map(|n| size[n] / 2.0 + by[n] - zoom * middle[n]);
            if let Some(merit) = alike(task, &pixels, zoom, shift) {
                tried.push((merit, zoom, shift));
            }
        }
    }
    tried.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut kept: Vec<(f64, Xy)> = Vec::new();
    for (_, zoom, shift) in tried {
        let middle = |(zoom, shift): (f64, Xy)| [0, 1].map(|n| shift[n] + zoom * middle[n]);
        let new = middle((zoom, shift));
        let near = |it: &(f64, Xy)| plane::distance(middle(*it), new) < 4.0;
        if !kept.iter().any(near) {
            kept.push((zoom, shift));
        }
        if kept.len() == GUESSES {
            break;
        }
    }
    let moved = kept.into_iter().filter_map(|(zoom, shift)| {
        let [x, y] = shift.map(|it| it * whole);
        carried(
            task,
            &Map([[zoom, 0.0, x], [0.0, zoom, y], [0.0, 0.0, 1.0]]),
        )
    });
    moved.collect()
}

/// How alike pixels look when they are moved; `None` when most of them leave the picture.
fn alike(task: &Task<'_>, pixels: &[(Xy, [f32; 2])], zoom: f64, shift: Xy) -> Option<f64> {
    let looks = &task.b.levels()[LEVEL].looks;
    let (mut light, mut edges) = (Sums::default(), Sums::default());
    for ([x, y], own) in pixels {
        let (x, y) = (zoom * x + shift[0], zoom * y + shift[1]);
        if let (Some(value), Some(edge)) = (looks[LIGHT].at(x, y), looks[EDGES].at(x, y)) {
            light.add(f64::from(own[LIGHT]), f64::from(value));
            edges.add(f64::from(own[EDGES]), f64::from(edge));
        }
    }
    let seen = light.count / pixels.len().max(1) as f64;
    let alike = edges.correlation() + light.correlation().max(0.0);
    (seen > 0.6 && light.count > 30.0).then_some(alike * seen.sqrt())
}

/// The camera that sees all faces where a map from picture to picture carries them.
fn carried(task: &Task<'_>, map: &Map) -> Option<Guess> {
    let steps = [-1.0, 0.0, 1.0];
    let ties = task.faces.iter().enumerate().flat_map(|(face, placed)| {
        let into_b = map.after(&placed.map);
        let grid = steps
            .iter()
            .flat_map(|y| steps.iter().map(move |x| [*x, *y]));
        grid.map(move |[x, y]| {
            let on_face = [x * placed.frame.half[0], y * placed.frame.half[1]];
            Tie {
                face,
                on_face,
                point: placed.frame.point(on_face),
                at: into_b.apply(on_face),
                weight: 1.0,
            }
        })
    });
    let ties: Vec<Tie> = ties.collect();
    // From the face that is seen most squarely.
    let starts = task.faces.iter().filter_map(|placed| {
        let into_b = map.after(&placed.map);
        let camera = Camera::of_face(&into_b, &placed.frame, &task.b.lens, [0.0, 0.0])?;
        Some((camera.facing(&placed.frame, [0.0, 0.0]), placed, camera))
    });
    let (_, placed, start) = starts.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let camera = start.fitted(&ties, &[1e4, 1e4, 1e3, 300.0, 100.0], &task.b.lens)?;
    let good = camera.plausible(&placed.frame, &task.b.lens);
    good.then_some(Guess {
        camera,
        source: Source::SameView,
    })
}
