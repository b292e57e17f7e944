//! What a spot looks like.

use std::f32::consts::TAU;

use crate::field::Field;
use crate::spots::DESCRIPTION;

/// Directions of a histogram of turns.
const BINS: usize = 36;
/// Most turns of one spot.
const TURNS: usize = 2;

/// Length and direction of the slope at a pixel.
fn slope(field: &Field, [x, y]: [f32; 2]) -> (f32, f32) {
    let within = |at: f32, side: usize| (at.round().max(1.0) as usize).min(side - 2);
    let at = within(y, field.height) * field.width + within(x, field.width);
    let across = field.values[at + 1] - field.values[at - 1];
    let down = field.values[at + field.width] - field.values[at - field.width];
    ((across * across + down * down).sqrt(), angle(down, across))
}

/// The arc tangent of a quotient, radians from -pi to pi, to 1e-5 (Abramowitz and Stegun, Handbook of Mathematical Functions,
/// 4.4.49).
fn angle(y: f32, x: f32) -> f32 {
    let (long, short) = (x.abs().max(y.abs()), x.abs().min(y.abs()));
    let t = short / long.max(1e-12);
    let s = t * t;
    let series = [0.020_835_1, -0.085_133, 0.180_141, -0.330_299_5, 0.999_866];
    let first = t * series.iter().fold(0.0, |sum, it| sum * s + it);
    let half = if y.abs() > x.abs() {
        std::f32::consts::FRAC_PI_2 - first
    } else {
        first
    };
    let whole = if x < 0.0 {
        std::f32::consts::PI - half
    } else {
        half
    };
    if y < 0.0 { -whole } else { whole }
}

/// The directions in which most slopes around a spot point, radians.
pub(crate) fn turns(field: &Field, [x, y]: [f32; 2], size: f32) -> Vec<f32> {
    let mut bins = [0.0_f32; BINS];
    for down in -8_i16..=8 {
        for right in -8_i16..=8 {
            let step = |n: i16| f32::from(n) * 0.5 * size;
            let (length, angle) = slope(field, [x + step(right), y + step(down)]);
            let far = f32::from(right * right + down * down);
            let bin = ((angle / TAU + 1.0) * BINS as f32) as usize % BINS;
            bins[bin] += length * (-far / 18.0).exp();
        }
    }
    let near =
        |bins: &[f32; BINS], n: usize| [bins[(n + BINS - 1) % BINS], bins[n], bins[(n + 1) % BINS]];
    for _ in 0..4 {
        let before = bins;
        bins = std::array::from_fn(|n| near(&before, n).iter().sum::<f32>() / 3.0);
    }
    let top = bins.iter().copied().fold(0.0, f32::max);
    let peak = |n: usize| {
        let [a, b, c] = near(&bins, n);
        let between = 0.5 * (a - c) / (a - 2.0 * b + c);
        let is_peak = b > a && b >= c && b >= 0.8 * top;
        is_peak.then(|| (n as f32 + 0.5 + between) / BINS as f32 * TAU)
    };
    (0..BINS).filter_map(peak).take(TURNS).collect()
}

/// 4 x 4 cells of 8 directions: 4 x 4 samples a cell, whose side is 3 sizes.
pub(crate) fn described(
    field: &Field,
    [x, y]: [f32; 2],
    size: f32,
    turn: f32,
) -> [u8; DESCRIPTION] {
    let mut cells = [0.0_f32; DESCRIPTION];
    let (sine, cosine) = turn.sin_cos();
    for row in 0..16_u8 {
        for column in 0..16_u8 {
            let (u, v) = (f32::from(column) - 7.5, f32::from(row) - 7.5);
            let (right, down) = (u * 0.75 * size, v * 0.75 * size);
            let at = [
                x + cosine * right - sine * down,
                y + sine * right + cosine * down,
            ];
            let (length, angle) = slope(field, at);
            let length = length * (-(u * u + v * v) / 128.0).exp();
            let direction = ((angle - turn) / TAU).rem_euclid(1.0) * 8.0;
            share(
                &mut cells,
                [u / 4.0 + 1.5, v / 4.0 + 1.5],
                direction,
                length,
            );
        }
    }
    let sum = cells.iter().sum::<f32>() + 1e-9;
    cells.map(|it| ((it / sum).sqrt() * 512.0).min(255.0) as u8)
}

/// Shares a slope among the two nearest directions of the four nearest cells.
fn share(cells: &mut [f32; DESCRIPTION], [x, y]: [f32; 2], direction: f32, length: f32) {
    let parts = |at: f32| {
        [
            (at.floor(), 1.0 - at + at.floor()),
            (at.floor() + 1.0, at - at.floor()),
        ]
    };
    let inside = |it: &(f32, f32)| (0.0..=3.0).contains(&it.0);
    for (row, by_row) in parts(y).into_iter().filter(inside) {
        for (column, by_column) in parts(x).into_iter().filter(inside) {
            let cell = (row as usize * 4 + column as usize) * 8;
            for (bin, by) in parts(direction) {
                cells[cell + bin as usize % 8] += length * by_row * by_column * by;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::angle;

    #[test]
    fn angles_are_those_of_the_library() {
        for n in 0..1000 {
            let t = (n as f32 - 500.0) / 500.0 * std::f32::consts::PI;
            let (y, x) = (3.0 * t.sin(), 3.0 * t.cos());
            assert!((angle(y, x) - y.atan2(x)).abs() < 2e-5, "{x} {y}");
        }
        assert_eq!(angle(0.0, 0.0), 0.0);
    }
}
