//! Where the spots lie.

use std::collections::HashMap;

use crate::field::Field;
use crate::spots::Spot;
use crate::spots::describe::described;
use crate::spots::describe::turns;

/// Sizes within an octave.
const STEPS: usize = 3;
/// Smallest difference of two blurs, in local standard deviations.
const CONTRAST: f32 = 0.05;
/// Largest ratio of the curvatures along and across: an edge has no place along itself (Lowe 2004, with r = 10).
const EDGE: f32 = 12.1;
/// The blur of the first picture of an octave, px.
const FIRST: f32 = 1.6;
/// Width of the window within which light is made equal, px of the octave.
const WINDOW: f32 = 32.0;
/// Deviation of noise, grey values.
const FLOOR: f32 = 4.0;
/// Side of the cells among which spots are spread, px.
const CELL: f32 = 100.0;
/// px at the border without spots.
const BORDER: usize = 8;

/// One extreme, in px of its octave.
struct Extreme {
    strength: f32,
    octave: usize,
    step: usize,
    x: f32,
    y: f32,
}

/// The spots of a picture, at most so many, spread over it.
pub(crate) fn spots(mut grey: Field, most: usize) -> Vec<Spot> {
    let mut octaves = Vec::new();
    let mut found = Vec::new();
    while grey.width.min(grey.height) >= 24 && octaves.len() < 6 {
        let smaller = grey.blurred(1.0).halved();
        octaves.push(octave(grey, octaves.len(), &mut found));
        grey = smaller;
    }
    let mut all = Vec::new();
    for it in spread(found, most) {
        let (field, whole) = (&octaves[it.octave][it.step], (1_usize << it.octave) as f32);
        let size = FIRST * ratio().powi(it.step as i32);
        for turn in turns(field, [it.x, it.y], size) {
            all.push(Spot {
                x: it.x * whole,
                y: it.y * whole,
                size: size * whole,
                turn,
                looks: described(field, [it.x, it.y], size, turn),
            });
        }
    }
    all
}

/// From one size to the next.
fn ratio() -> f32 {
    2_f32.powf(1.0 / STEPS as f32)
}

/// The pictures of an octave, each more blurred than the one before, and its extremes. In a large picture they are most of what is
/// held: what no extreme lies on is freed as soon as the next are found.
fn octave(grey: Field, octave: usize, found: &mut Vec<Extreme>) -> Vec<Field> {
    // The picture itself is blurred by about half a px.
    let first = (FIRST * FIRST - 0.25).sqrt();
    let mut stack = vec![grey.equalised(WINDOW, FLOOR).blurred(first)];
    let more = (ratio().powi(2) - 1.0).sqrt();
    for last in 0..STEPS + 2 {
        let next = stack[last].blurred(FIRST * ratio().powi(last as i32) * more);
        stack.push(next);
        if last >= 2 {
            extremes(&stack[last - 2..], octave, last - 1, found);
            stack[0].values = Vec::new();
        }
    }
    stack.truncate(STEPS + 1);
    stack
}

/// The extremes of a step: those on the second of three differences of four pictures.
fn extremes(four: &[Field], octave: usize, step: usize, found: &mut Vec<Extreme>) {
    let (width, height) = (four[1].width, four[1].height);
    let layers = [0, 1, 2].map(|n| Layer([&four[n + 1].values, &four[n].values]));
    for y in BORDER..height.saturating_sub(BORDER) {
        for x in BORDER..width.saturating_sub(BORDER) {
            let at = y * width + x;
            let strength = layers[1].at(at).abs();
            if strength < CONTRAST || !is_extreme(&layers, at, width) {
                continue;
            }
            if let Some([right, down]) = peak(&layers[1], at, width) {
                found.push(Extreme {
                    strength,
                    octave,
                    step,
                    x: x as f32 + right,
                    y: y as f32 + down,
                });
            }
        }
    }
}

/// The difference of two pictures of an octave.
struct Layer<'a>([&'a [f32]; 2]);

impl Layer<'_> {
    fn at(&self, at: usize) -> f32 {
        self.0[0][at] - self.0[1][at]
    }
}

/// Whether a value of the middle one lies above, or below, its 26 neighbours.
fn is_extreme(layers: &[Layer<'_>; 3], at: usize, width: usize) -> bool {
    let value = layers[1].at(at);
    let beaten = |other: f32| {
        if value > 0.0 {
            other >= value
        } else {
            other <= value
        }
    };
    for layer in [1, 0, 2] {
        for row in [at - width, at, at + width] {
            let own = |it: usize| (layer, it) == (1, at);
            let mut three = row - 1..=row + 1;
            if three.any(|it| !own(it) && beaten(layers[layer].at(it))) {
                return false;
            }
        }
    }
    true
}

/// Where between the pixels the peak lies; `None` on an edge.
fn peak(layer: &Layer<'_>, at: usize, width: usize) -> Option<[f32; 2]> {
    let value = layer.at(at);
    let (left, right) = (layer.at(at - 1), layer.at(at + 1));
    let (up, down) = (layer.at(at - width), layer.at(at + width));
    let (xx, yy) = (right + left - 2.0 * value, down + up - 2.0 * value);
    let xy = 0.25
        * (layer.at(at + width + 1) + layer.at(at - width - 1)
            - layer.at(at + width - 1)
            - layer.at(at - width + 1));
    let (trace, determinant) = (xx + yy, xx * yy - xy * xy);
    if determinant <= 0.0 || trace * trace / determinant > EDGE {
        return None;
    }
    let off = |a: f32, b: f32, bend: f32| (0.5 * (a - b) / bend).clamp(-0.5, 0.5);
    Some([off(left, right, xx), off(up, down, yy)])
}

/// The strongest of each cell first, so that spots are spread over the picture.
fn spread(mut found: Vec<Extreme>, most: usize) -> Vec<Extreme> {
    found.sort_by(|a, b| b.strength.total_cmp(&a.strength));
    let mut cells: HashMap<[i32; 2], usize> = HashMap::new();
    let mut ranked: Vec<(usize, Extreme)> = Vec::with_capacity(found.len());
    for it in found {
        let whole = (1_usize << it.octave) as f32;
        let cell = [it.x, it.y].map(|at| (at * whole / CELL) as i32);
        let rank = cells.entry(cell).or_insert(0);
        *rank += 1;
        ranked.push((*rank, it));
    }
    ranked.sort_by_key(|it| it.0);
    ranked.truncate(most);
    ranked.into_iter().map(|it| it.1).collect()
}
