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

/// The normal equations of the differences between samples and the second picture where a model sees them, in units of their
/// variance: of light, and of edges. Tukey's biweight ends at `reach` local deviations. `None` where too little is seen.
pub(crate) fn differences<const N: usize>(
    samples: &[Sample],
    b: &Photo,
    level: usize,
    reach: f32,
    see: impl Fn(&Sample) -> Option<(Xy, [[f64; N]; 2])>,
) -> [Option<Differences<N>>; 2] {
    let (shown, whole) = (&b.levels()[level], (1_usize << level) as f64);
    let mut sums = [0, 1].map(|_| Sum::<N>::new());
    for sample in samples {
        let Some((at, slopes)) = see(sample) else {
            continue;
        };
        for (n, sum) in sums.iter_mut().enumerate() {
            let seen = shown.looks[n].slope(at[0] / whole, at[1] / whole);
            let Some((value, slope)) = seen else {
                break;
            };
            let [right, down] = slope.map(|it| f64::from(it) / whole);
            let by = |n: usize| right * slopes[0][n] + down * slopes[1][n];
            let weight = if sample.inside { 1.0 } else { MARGIN };
            sum.add(sample.looks[n], value, reach, weight, by);
        }
    }
    sums.map(Sum::ended)
}

/// What is summed up for a system.
struct Sum<const N: usize> {
    system: Normal<N>,
    squares: f64,
    weights: f64,
    sums: Sums,
}

impl<const N: usize> Sum<N> {
    fn new() -> Self {
        Self {
            system: Normal::NOTHING,
            squares: 0.0,
            weights: 0.0,
            sums: Sums::default(),
        }
    }

    fn add(&mut self, a: f32, b: f32, reach: f32, weight: f64, slope: impl Fn(usize) -> f64) {
        self.sums.add(f64::from(a), f64::from(b));
        let off = f64::from(b - a);
        let part = (off / f64::from(reach)).powi(2);
        if part < 1.0 {
            let weight = weight * (1.0 - part).powi(2);
            self.system.add(&std::array::from_fn(slope), -off, weight);
            self.squares += weight * off * off;
            self.weights += weight;
        }
    }

    fn ended(self) -> Option<Differences<N>> {
        let mut system = Normal::NOTHING;
        let gain = INDEPENDENT * self.weights / self.squares.max(1e-9);
        system.join(&self.system, gain);
        (self.weights >= ENOUGH).then(|| Differences {
            system,
            alike: self.sums.correlation(),
        })
    }
}

/// Joins systems; one whose pixels do not look alike says less.
pub(crate) fn joined<'a, const N: usize>(
    all: impl Iterator<Item = &'a Differences<N>> + Clone,
) -> Normal<N> {
    let best = all.clone().map(|it| it.alike).fold(0.1, f64::max);
    let mut system = Normal::NOTHING;
    for it in all {
        system.join(&it.system, (it.alike.max(0.1) / best).powi(2));
    }
    system
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
