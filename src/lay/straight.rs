//! Pictures -> how much the lens that took them bends straight lines.
//!
//! Rooms and furniture are full of straight edges. Pixels on edges vote for the lines they may lie on (Hough transform; R. Duda
//! and P. Hart, 1972) after each bend was undone; under the right one votes come together. The idea of straight lines as a
//! plumb line is Brown's (1971).

use plane::Xy;

use crate::algebra::Normal;
use crate::field::Field;
use crate::lens::Lens;
use crate::lens::continuous;
use crate::photo::Grey;
use crate::photo::field;

/// How much a lens bends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// As [`Lens::bend`].
    pub bend: f64,
    /// Its standard deviation.
    pub unsure: f64,
}

/// Bends that are tried: from - to this, in that many steps each way.
const MOST: f64 = 0.1;
const STEPS: i32 = 10;
/// Steps each way through which the peak is drawn.
const AROUND: usize = 4;
/// Smallest standard deviation that is told.
const SUREST: f64 = 0.004;
/// Standard deviation of what a few pictures tell.
const ALONE: f64 = 0.02;
/// Pixels on edges that vote.
const EDGELS: usize = 8000;
/// Directions of lines.
const ANGLES: usize = 720;
/// Directions each way that a pixel votes for.
const SPREAD: i32 = 14;
/// Half a degree of direction is a quarter of this, px of half size.
const RANGE: usize = 1200;

/// A pixel on an edge and the direction across the edge, radians.
struct Edgel {
    at: Xy,
    across: f64,
}

/// How much a camera bends, from pictures that it took; `None` where they have too few edges or no bend is better than others.
/// One picture alone may mislead: wood is full of curved lines. Ten pictures of a shoot do not.
#[must_use]
pub fn bend(pictures: &[(Grey<'_>, Lens)]) -> Option<Bend> {
    let curves = pictures.iter().filter_map(|it| curve(it.0, &it.1));
    let curves: Vec<Vec<f64>> = curves.collect();
    let of = |part: &dyn Fn(usize) -> bool| {
        let all = curves.iter().enumerate().filter(|it| part(it.0));
        let sum = |n: usize| all.clone().map(|it| it.1[n]).sum::<f64>();
        peak(&(0..tries()).map(sum).collect::<Vec<_>>())
    };
    let bend = of(&|_| true)?;
    let halves = [of(&|n| n % 2 == 0), of(&|n| n % 2 == 1)];
    let unsure = match halves {
        [Some(a), Some(b)] if curves.len() >= 4 => ((a - b).abs() / 2.0).max(SUREST),
        _ => ALONE,
    };
    Some(Bend { bend, unsure })
}

/// Bends that are tried.
fn tries() -> usize {
    2 * STEPS as usize + 1
}

/// How much votes come together in one picture at each bend that is tried; the largest is 1.
fn curve(grey: Grey<'_>, lens: &Lens) -> Option<Vec<f64>> {
    let field = field(grey)?.blurred(1.0).halved().blurred(1.5);
    let edgels = edgels(&field);
    let gathered = (-STEPS..=STEPS).map(|n| {
        let bend = MOST * f64::from(n) / f64::from(STEPS);
        gathered(&edgels, &Lens { bend, ..*lens })
    });
    let all: Vec<f64> = gathered.collect();
    let top = all.iter().copied().fold(0.0, f64::max);
    (edgels.len() >= 500 && top > 0.0).then(|| all.iter().map(|it| it / top).collect())
}

/// The bend at the top of a parabola through the values around the largest.
fn peak(all: &[f64]) -> Option<f64> {
    let best = (1..all.len() - 1).max_by(|a, b| all[*a].total_cmp(&all[*b]))?;
    let mut system = Normal::<3>::NOTHING;
    let around = best.saturating_sub(AROUND)..=(best + AROUND).min(all.len() - 1);
    for n in around {
        let x = n as f64 - best as f64;
        system.add(&[1.0, x, x * x], all[n], 1.0);
    }
    let [_, slope, curve] = system.solved()?;
    let off = -slope / (2.0 * curve);
    let step = MOST / f64::from(STEPS);
    let bend = step * (best as f64 - f64::from(STEPS) + off);
    (curve < 0.0 && off.abs() <= AROUND as f64).then_some(bend)
}

/// The pixels with the strongest slopes that are the strongest across their edge; px of the whole picture.
fn edgels(field: &Field) -> Vec<Edgel> {
    let slopes = field.slopes();
    let (width, height) = (field.width, field.height);
    let mut found = Vec::new();
    for y in 2..height.saturating_sub(2) {
        for x in 2..width.saturating_sub(2) {
            let at = y * width + x;
            let across = field.values[at + 1] - field.values[at - 1];
            let down = field.values[at + width] - field.values[at - width];
            let steep = slopes.values[at];
            let level = across.abs() > down.abs();
            let step = if level { 1 } else { width };
            let (before, after) = (slopes.values[at - step], slopes.values[at + step]);
            if steep < 4.0 || before >= steep || after > steep {
                continue;
            }
            let bend = before + after - 2.0 * steep;
            let off = f64::from((0.5 * (before - after) / bend).clamp(-0.5, 0.5));
            let (right, low) = if level { (off, 0.0) } else { (0.0, off) };
            let half = [x as f64 + right, y as f64 + low];
            let edgel = Edgel {
                at: continuous(half.map(|it| 2.0 * it)),
                across: f64::from(down).atan2(f64::from(across)),
            };
            found.push((steep, edgel));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(EDGELS);
    found.into_iter().map(|it| it.1).collect()
}

/// How much the votes come together when a bend is undone.
fn gathered(edgels: &[Edgel], lens: &Lens) -> f64 {
    let mut votes = vec![0.0_f32; ANGLES * RANGE];
    // Where a bend draws the picture together, votes would come together by that alone.
    let far = |at: Xy| plane::distance(at, lens.centre).powi(2);
    let before: f64 = edgels.iter().map(|it| far(it.at)).sum();
    let after: f64 = edgels.iter().map(|it| far(lens.straight(it.at))).sum();
    let scale = (before / after.max(1e-9)).sqrt() / 2.0;
    for it in edgels {
        let at = lens.straight(it.at);
        let along = [it.at[0] - it.across.sin(), it.at[1] + it.across.cos()];
        let along = lens.straight(along);
        let across = (along[1] - at[1]).atan2(along[0] - at[0]) - std::f64::consts::FRAC_PI_2;
        let turn = across.rem_euclid(std::f64::consts::PI) / std::f64::consts::PI * ANGLES as f64;
        let from = [0, 1].map(|n| scale * (at[n] - lens.centre[n]));
        for n in -SPREAD..=SPREAD {
            let bin = (turn.round() as i32 + n).rem_euclid(ANGLES as i32) as usize;
            let (sine, cosine) = (bin as f64 / ANGLES as f64 * std::f64::consts::PI).sin_cos();
            let distance = from[0] * cosine + from[1] * sine + RANGE as f64 / 2.0;
            let (low, part) = (distance.floor(), distance - distance.floor());
            if low >= 0.0 && low + 1.0 < RANGE as f64 {
                let cell = bin * RANGE + low as usize;
                votes[cell] += 1.0 - part as f32;
                votes[cell + 1] += part as f32;
            }
        }
    }
    votes.iter().map(|it| f64::from(it * it * it)).sum()
}

#[cfg(test)]
mod tests {
    use super::bend;
    use crate::Grey;
    use crate::Lens;

    /// Boards and tiles: straight edges every which way, seen through a lens.
    fn tiles(lens: &Lens, width: usize, height: usize) -> Vec<u8> {
        let value = |n: usize| {
            let at = [(n % width) as f64 + 0.5, (n / width) as f64 + 0.5];
            let [x, y] = lens.straight(at);
            let (u, v) = (x * 0.97 + y * 0.24, y * 0.97 - x * 0.24);
            let dark = ((u / 97.0).floor() as i64 + (v / 71.0).floor() as i64) % 2 == 0;
            if dark { 70 } else { 180 }
        };
        (0..width * height).map(value).collect()
    }

    #[test]
    fn straight_edges_tell_the_bend() {
        for told in [-0.06, -0.02, 0.0, 0.03, 0.06] {
            let plain = Lens::of_whole(1200, 900, None);
            let lens = Lens {
                bend: told,
                ..plain
            };
            let values = tiles(&lens, 1200, 900);
            let grey = Grey {
                width: 1200,
                height: 900,
                values: &values,
            };
            let found = bend(&[(grey, plain)]).unwrap();
            let off = (found.bend - told).abs();
            assert!(off < 0.006, "{told}: {found:?}");
            assert!(off < 3.0 * found.unsure, "{told}: {found:?}");
        }
    }

    #[test]
    fn a_picture_without_edges_tells_nothing() {
        let values = vec![100; 1200 * 900];
        let grey = Grey {
            width: 1200,
            height: 900,
            values: &values,
        };
        assert!(bend(&[(grey, Lens::of_whole(1200, 900, None))]).is_none());
        assert!(bend(&[]).is_none());
    }
}
