//! What the difference of two pictures says of a place.

use plane::Xy;

use crate::algebra::Normal;
use crate::fit::samples::Sample;
use crate::photo::Photo;

/// One in so many samples is independent: a blurred pixel says nearly what its neighbours do.
const INDEPENDENT: f64 = 0.2;
/// Weight of a pixel in the margin around a face.
const MARGIN: f64 = 0.5;
/// Weights that a system needs.
const ENOUGH: f64 = 30.0;

/// A system, and how alike the pixels are.
pub(crate) struct Differences<const N: usize> {
    pub(crate) system: Normal<N>,
    /// Correlation of the pixels.
    pub(crate) alike: f64,
}

/// The normal equations of the difference between samples and the second picture where a model sees them, in units of its
/// variance; Tukey's biweight ends at `reach` local deviations. `None` where too little is seen.
pub(crate) fn differences<const N: usize>(
    samples: &[Sample],
    b: &Photo,
    level: usize,
    reach: f32,
    see: impl Fn(&Sample) -> Option<(Xy, [[f64; N]; 2])>,
) -> Option<Differences<N>> {
    let (field, whole) = (&b.levels[level], (1_usize << level) as f64);
    let mut system = Normal::<N>::NOTHING;
    let (mut squares, mut weights, mut sums) = (0.0, 0.0, Sums::default());
    for sample in samples {
        let Some((at, slopes)) = see(sample) else {
            continue;
        };
        let Some((value, slope)) = field.slope(at[0] / whole, at[1] / whole) else {
            continue;
        };
        sums.add(f64::from(sample.value), f64::from(value));
        let off = value - sample.value;
        let part = f64::from((off / reach).powi(2));
        if part >= 1.0 {
            continue;
        }
        let weight = (1.0 - part).powi(2) * if sample.inside { 1.0 } else { MARGIN };
        let [right, down] = slope.map(f64::from);
        let row: [f64; N] =
            std::array::from_fn(|n| (right * slopes[0][n] + down * slopes[1][n]) / whole);
        system.add(&row, -f64::from(off), weight);
        squares += weight * f64::from(off * off);
        weights += weight;
    }
    if weights < ENOUGH {
        return None;
    }
    let mut scaled = Normal::NOTHING;
    scaled.join(&system, INDEPENDENT * weights / f64::max(squares, 1e-9));
    Some(Differences {
        system: scaled,
        alike: sums.correlation(),
    })
}

/// What a correlation is made of.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sums {
    pub(crate) count: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Sums {
    pub(crate) fn add(&mut self, x: f64, y: f64) {
        self.count += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.yy += y * y;
        self.xy += x * y;
    }

    /// -1 to 1; 0 where nothing varies.
    pub(crate) fn correlation(&self) -> f64 {
        let n = self.count.max(1.0);
        let both = self.xy / n - self.x * self.y / n / n;
        let x = self.xx / n - (self.x / n).powi(2);
        let y = self.yy / n - (self.y / n).powi(2);
        both / (x * y).max(1e-12).sqrt()
    }
}
