//! Small matrices, and a map of a plane that knows what lies before the camera.

use plane::Homography;
use plane::Xy;
use serde::Deserialize;
use serde::Serialize;

pub(crate) type Xyz = [f64; 3];
/// Three rows of three.
pub(crate) type Rows = [[f64; 3]; 3];

/// The square of the distance of two points.
pub(crate) fn apart(a: Xy, b: Xy) -> f64 {
    let (x, y) = (a[0] - b[0], a[1] - b[1]);
    x * x + y * y
}

pub(crate) fn dot(a: &Xyz, b: &Xyz) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn sum(a: Xyz, b: Xyz) -> Xyz {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn times(a: Xyz, by: f64) -> Xyz {
    a.map(|it| it * by)
}

pub(crate) fn length(a: &Xyz) -> f64 {
    dot(a, a).sqrt()
}

/// `None` of a vector without length.
pub(crate) fn unit(a: Xyz) -> Option<Xyz> {
    let length = length(&a);
    (length > 1e-12).then(|| times(a, 1.0 / length))
}

pub(crate) fn cross(a: &Xyz, b: &Xyz) -> Xyz {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn product(a: &Rows, b: &Rows) -> Rows {
    let at = |row: &Xyz, n: usize| row[0] * b[0][n] + row[1] * b[1][n] + row[2] * b[2][n];
    [0, 1, 2].map(|r| [0, 1, 2].map(|n| at(&a[r], n)))
}

pub(crate) fn turned(m: &Rows, p: &Xyz) -> Xyz {
    [dot(&m[0], p), dot(&m[1], p), dot(&m[2], p)]
}

pub(crate) fn transposed(m: &Rows) -> Rows {
    [0, 1, 2].map(|r| [0, 1, 2].map(|c| m[c][r]))
}

/// The three columns as rows of a matrix.
pub(crate) fn columns(a: &Xyz, b: &Xyz, c: &Xyz) -> Rows {
    [0, 1, 2].map(|r| [a[r], b[r], c[r]])
}

/// A projective map of the plane whose third coordinate is greater than 0 before the camera. (A [`Homography`] is scaled so
/// that its last number is 1, which loses that where the origin lies behind the camera.)
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
pub(crate) struct Map(pub(crate) Rows);

impl Map {
    /// The map of four points to four points, in front of the camera at the first; `None` where it is none.
    pub(crate) fn of_four(from: &[Xy; 4], to: &[Xy; 4]) -> Option<Self> {
        let map = Self(Homography::from_four(from, to).ok()?.rows());
        let all = from.map(|it| map.weight(it));
        let behind = all[0] < 0.0;
        let one_side = all.iter().all(|it| (*it < 0.0) == behind && *it != 0.0);
        one_side.then(|| if behind { map.scaled(-1.0) } else { map })
    }

    fn scaled(self, by: f64) -> Self {
        Self(self.0.map(|row| row.map(|it| it * by)))
    }

    /// The same map, of the sign that has this point before the camera.
    pub(crate) fn with_front(self, at: Xy) -> Self {
        self.scaled(if self.weight(at) < 0.0 { -1.0 } else { 1.0 })
    }

    pub(crate) fn weight(&self, [x, y]: Xy) -> f64 {
        self.0[2][0] * x + self.0[2][1] * y + self.0[2][2]
    }

    /// Where a point comes to lie, whatever side of the camera it is on.
    pub(crate) fn apply(&self, p: Xy) -> Xy {
        let w = self.weight(p);
        let at = |row: &Xyz| (row[0] * p[0] + row[1] * p[1] + row[2]) / w;
        [at(&self.0[0]), at(&self.0[1])]
    }

    /// Where a point before the camera comes to lie.
    pub(crate) fn see(&self, p: Xy) -> Option<Xy> {
        (self.weight(p) > 1e-12).then(|| self.apply(p))
    }

    /// The way back; what it gives lies before the camera where the determinant is greater than 0.
    pub(crate) fn inverse(&self) -> Self {
        let [a, b, c] = &self.0;
        let rows = [cross(b, c), cross(c, a), cross(a, b)];
        let by = dot(a, &rows[0]);
        Self(transposed(&rows).map(|row| row.map(|it| it / by)))
    }

    /// First `first`, then this.
    pub(crate) fn after(&self, first: &Self) -> Self {
        Self(product(&self.0, &first.0))
    }

    /// How many units there are to one, about a point: the root of the change of area.
    pub(crate) fn zoom(&self, p: Xy) -> f64 {
        let w = self.weight(p);
        let q = self.apply(p);
        let slope = |n: usize, by: usize| (self.0[n][by] - q[n] * self.0[2][by]) / w;
        (slope(0, 0) * slope(1, 1) - slope(0, 1) * slope(1, 0))
            .abs()
            .sqrt()
    }
}

/// A linear system, by elimination with pivots; `None` when it says nothing of one of its unknowns.
pub(crate) fn solved<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    for step in 0..N {
        let size = |row: &usize| a[*row][step].abs();
        let pivot = (step..N).max_by(|i, j| size(i).total_cmp(&size(j)))?;
        if a[pivot][step].abs() <= 1e-14 || !a[pivot][step].is_finite() {
            return None;
        }
        a.swap(step, pivot);
        b.swap(step, pivot);
        let (row, value) = (a[step], b[step]);
        for other in (0..N).filter(|it| *it != step) {
            let by = a[other][step] / row[step];
            for (to, from) in a[other][step..].iter_mut().zip(&row[step..]) {
                *to -= by * from;
            }
            b[other] -= by * value;
        }
    }
    let all: [f64; N] = std::array::from_fn(|n| b[n] / a[n][n]);
    all.iter().all(|it| it.is_finite()).then_some(all)
}

/// The inverse of a matrix; `None` when it has none.
pub(crate) fn inverted<const N: usize>(a: &[[f64; N]; N]) -> Option<[[f64; N]; N]> {
    let mut inverse = [[0.0; N]; N];
    for n in 0..N {
        let mut one = [0.0; N];
        one[n] = 1.0;
        let column = solved(*a, one)?;
        for (row, value) in inverse.iter_mut().zip(column) {
            row[n] = value;
        }
    }
    Some(inverse)
}

/// The variance along a direction: row times covariance times row.
pub(crate) fn along<const N: usize>(covariance: &[[f64; N]; N], row: &[f64; N]) -> f64 {
    let line = |line: &[f64; N]| line.iter().zip(row).map(|(c, it)| c * it).sum::<f64>();
    covariance
        .iter()
        .zip(row)
        .map(|(it, by)| by * line(it))
        .sum()
}

/// Normal equations of least squares: matrix and right side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Normal<const N: usize> {
    pub(crate) matrix: [[f64; N]; N],
    pub(crate) side: [f64; N],
}

impl<const N: usize> Normal<N> {
    pub(crate) const NOTHING: Self = Self {
        matrix: [[0.0; N]; N],
        side: [0.0; N],
    };

    /// One equation: `row` times the unknowns is `value`, with this weight.
    pub(crate) fn add(&mut self, row: &[f64; N], value: f64, weight: f64) {
        for (line, by) in self.matrix.iter_mut().zip(row) {
            for (at, it) in line.iter_mut().zip(row) {
                *at += weight * by * it;
            }
        }
        for (at, by) in self.side.iter_mut().zip(row) {
            *at += weight * by * value;
        }
    }

    /// Adds another system, that many times.
    pub(crate) fn join(&mut self, other: &Self, times: f64) {
        for (line, from) in self.matrix.iter_mut().zip(&other.matrix) {
            for (at, it) in line.iter_mut().zip(from) {
                *at += times * it;
            }
        }
        for (at, it) in self.side.iter_mut().zip(&other.side) {
            *at += times * it;
        }
    }

    /// That one unknown is `value`, as sure as this standard deviation tells.
    pub(crate) fn hold(&mut self, unknown: usize, value: f64, deviation: f64) {
        let weight = 1.0 / (deviation * deviation);
        self.matrix[unknown][unknown] += weight;
        self.side[unknown] += weight * value;
    }

    pub(crate) fn solved(&self) -> Option<[f64; N]> {
        solved(self.matrix, self.side)
    }
}
