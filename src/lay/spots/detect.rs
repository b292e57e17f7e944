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
pub(crate) fn spots(grey: &Field, most: usize) -> Vec<Spot> {
    let mut octaves = Vec::new();
    let mut found = Vec::new();
    let mut grey = grey.clone();
    while grey.width.min(grey.height) >= 24 && octaves.len() < 6 {
        let stack = blurred(&grey);
        extremes(&stack, octaves.len(), &mut found);
        octaves.push(stack);
        grey = grey.blurred(1.0).halved();
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

/// The pictures of an octave, each more blurred than the one before.
fn blurred(grey: &Field) -> Vec<Field> {
    // The picture itself is blurred by about half a px.
    let first = (FIRST * FIRST - 0.25).sqrt();
    let mut stack = vec![grey.equalised(WINDOW, FLOOR).blurred(first)];
    let more = (ratio().powi(2) - 1.0).sqrt();
    for step in 1..STEPS + 3 {
        let next = stack[step - 1].blurred(FIRST * ratio().powi(step as i32 - 1) * more);
        stack.push(next);
    }
    stack
}

fn extremes(stack: &[Field], octave: usize, found: &mut Vec<Extreme>) {
    let (width, height) = (stack[0].width, stack[0].height);
    let difference = |pair: &[Field]| -> Vec<f32> {
        let both = pair[1].values.iter().zip(&pair[0].values);
        both.map(|(a, b)| a - b).collect()
    };
    let layers: Vec<Vec<f32>> = stack.windows(2).map(difference).collect();
    for step in 1..=STEPS {
        for y in BORDER..height.saturating_sub(BORDER) {
            for x in BORDER..width.saturating_sub(BORDER) {
                let at = y * width + x;
                let strength = layers[step][at].abs();
                if strength < CONTRAST || !is_extreme(&layers, step, at, width) {
                    continue;
                }
                if let Some([right, down]) = peak(&layers[step], at, width) {
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
}

/// Whether a value lies above, or below, its 26 neighbours.
fn is_extreme(layers: &[Vec<f32>], step: usize, at: usize, width: usize) -> bool {
    let value = layers[step][at];
    let beaten = |other: f32| {
        if value > 0.0 {
            other >= value
        } else {
            other <= value
        }
    };
    for layer in [step, step - 1, step + 1] {
        for row in [at - width, at, at + width] {
            let three = layers[layer][row - 1..=row + 1].iter().enumerate();
            let own = |n: usize| (layer, row + n) == (step, at + 1);
            if three.into_iter().any(|(n, it)| !own(n) && beaten(*it)) {
                return false;
            }
        }
    }
    true
}

/// Where between the pixels the peak lies; `None` on an edge.
fn peak(layer: &[f32], at: usize, width: usize) -> Option<[f32; 2]> {
    let value = layer[at];
    let (left, right) = (layer[at - 1], layer[at + 1]);
    let (up, down) = (layer[at - width], layer[at + width]);
    let (xx, yy) = (right + left - 2.0 * value, down + up - 2.0 * value);
    let xy = 0.25
        * (layer[at + width + 1] + layer[at - width - 1]
            - layer[at + width - 1]
            - layer[at - width + 1]);
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
