//! A grey picture -> the straight edges in it, each with the side on which it is brighter.
//!
//! Pixels whose slopes point one way and that touch are gathered, as by J. Burns, A. Hanson and E. Riseman, Extracting straight
//! lines (1986), and grown from the steepest, as by R. Grompone von Gioi and others, LSD: a line segment detector (2012).

use plane::Xy;

use crate::field::Field;

/// Grey values over two pixels from which a pixel may lie on an edge.
const STEEP: f32 = 5.0;
/// How far the slopes of one edge may turn from their mean: cosines of 22.5 degrees, and of 8, where those gather a curve.
const TURNS: [f32; 2] = [0.9239, 0.9903];
/// Pixels of a straight edge lie within this of it, px, root of the mean square.
const STRAIGHT: f64 = 1.6;

/// A straight edge, px from the centre of the first pixel.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment {
    pub(super) ends: [Xy; 2],
    /// At right angles to it, to where it is brighter; of length 1.
    pub(super) brighter: Xy,
}

impl Segment {
    pub(super) fn length(&self) -> f64 {
        plane::distance(self.ends[0], self.ends[1])
    }
}

/// The straight edges of at least this length, px, of a picture that was blurred a little before.
pub(super) fn segments(field: &Field, least: f64) -> Vec<Segment> {
    let mut growth = Growth::of(field);
    let mut found = Vec::new();
    for seed in growth.seeds() {
        if growth.used[seed] {
            continue;
        }
        for turn in TURNS {
            let region = growth.grown(seed, turn);
            let line = growth.line(&region);
            if let Some((segment, spread)) = line
                && spread < STRAIGHT
            {
                if segment.length() >= least {
                    found.push(segment);
                }
                break;
            }
            if turn != TURNS[1] {
                region.iter().for_each(|it| growth.used[*it] = false);
            }
        }
    }
    found
}

struct Growth {
    width: usize,
    /// Grey values over two pixels: to the right, down, and the length of both.
    slopes: Vec<[f32; 3]>,
    used: Vec<bool>,
}

impl Growth {
    fn of(field: &Field) -> Self {
        let (width, height) = (field.width, field.height);
        let mut slopes = vec![[0.0; 3]; width * height];
        for y in 1..height.saturating_sub(1) {
            for x in 1..width.saturating_sub(1) {
                let at = y * width + x;
                let across = field.values[at + 1] - field.values[at - 1];
                let down = field.values[at + width] - field.values[at - width];
                slopes[at] = [across, down, across.hypot(down)];
            }
        }
        let used = slopes.iter().map(|it| it[2] < STEEP).collect();
        Self {
            width,
            slopes,
            used,
        }
    }

    /// The pixels on edges, the steepest first.
    fn seeds(&self) -> Vec<usize> {
        let mut seeds: Vec<usize> = (0..self.used.len()).filter(|it| !self.used[*it]).collect();
        seeds.sort_by(|a, b| self.slopes[*b][2].total_cmp(&self.slopes[*a][2]));
        seeds
    }

    /// The pixels round a first one whose slopes point its way; they are used up.
    fn grown(&mut self, seed: usize, turn: f32) -> Vec<usize> {
        let way = |it: &[f32; 3]| [it[0] / it[2], it[1] / it[2]];
        let mut region = vec![seed];
        let mut sum = way(&self.slopes[seed]);
        self.used[seed] = true;
        let mut next = 0;
        while next < region.len() {
            let at = region[next];
            next += 1;
            for by in [
                at - self.width - 1,
                at - self.width,
                at - self.width + 1,
                at - 1,
                at + 1,
                at + self.width - 1,
                at + self.width,
                at + self.width + 1,
            ] {
                if self.used[by] {
                    continue;
                }
                let [x, y] = way(&self.slopes[by]);
                if x * sum[0] + y * sum[1] >= turn * sum[0].hypot(sum[1]) {
                    self.used[by] = true;
                    sum = [sum[0] + x, sum[1] + y];
                    region.push(by);
                }
            }
        }
        region
    }

    /// The line through pixels, and how far they lie from it.
    fn line(&self, region: &[usize]) -> Option<(Segment, f64)> {
        let place = |it: &usize| [(it % self.width) as f64, (it / self.width) as f64];
        let weight = |it: &usize| f64::from(self.slopes[*it][2]);
        let all: f64 = region.iter().map(weight).sum();
        let mean = |of: &dyn Fn(Xy) -> f64| {
            let each = region.iter().map(|it| weight(it) * of(place(it)));
            each.sum::<f64>() / all
        };
        let middle = [mean(&|it| it[0]), mean(&|it| it[1])];
        let off = |it: Xy| [it[0] - middle[0], it[1] - middle[1]];
        let xx = mean(&|it| off(it)[0].powi(2));
        let yy = mean(&|it| off(it)[1].powi(2));
        let xy = mean(&|it| off(it)[0] * off(it)[1]);
        let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
        let along = [angle.cos(), angle.sin()];
        let across = [-along[1], along[0]];
        let dot = |a: Xy, b: Xy| a[0] * b[0] + a[1] * b[1];
        let spread = mean(&|it| dot(off(it), across).powi(2)).sqrt();
        let far = region.iter().map(|it| dot(off(place(it)), along));
        let ends = far.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], it| {
            [a.min(it), b.max(it)]
        });
        let bright = |n: usize| {
            region
                .iter()
                .map(|it| f64::from(self.slopes[*it][n]))
                .sum::<f64>()
        };
        let up = dot([bright(0), bright(1)], across).signum();
        let at = |far: f64| [0, 1].map(|n| middle[n] + far * along[n]);
        let segment = Segment {
            ends: ends.map(at),
            brighter: across.map(|it| it * up),
        };
        (region.len() >= 8).then_some((segment, spread))
    }
}
