//! How a plane lies in a picture: a projective map of the plane, from four points.
//!
//! Hartley and Zisserman, Multiple View Geometry (2nd edition), algorithms 4.1 (direct linear transform) and 4.2 (with
//! normalised points).

use crate::solve::least_direction;
use crate::solve::null_vector;

/// A point in px or in mm: x, y.
pub type Xy = [f64; 2];

/// Three points whose triangle is smaller than this, where the mean distance from the middle is about 1.4, lie on a line.
const ON_A_LINE: f64 = 1e-9;

/// A projective map of the plane: nine numbers, of which eight count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography {
    rows: [[f64; 3]; 3],
}

/// Four points that determine no map: three on a line, two at one place, or one that is no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("three of the four points lie on a line, so that they determine nothing")]
pub struct Degenerate;

impl Homography {
    /// The map that takes each of `from` to its point in `to`.
    ///
    /// # Errors
    /// When three points of either set lie on a line.
    pub fn from_four(from: &[Xy; 4], to: &[Xy; 4]) -> Result<Self, Degenerate> {
        let (near_from, from) = normalised(from).ok_or(Degenerate)?;
        let (near_to, to) = normalised(to).ok_or(Degenerate)?;
        if lies_on_a_line(&from) || lies_on_a_line(&to) {
            return Err(Degenerate);
        }
        let mut rows = [[0.0; 9]; 8];
        for (n, ([x, y], [u, v])) in from.into_iter().zip(to).enumerate() {
            rows[2 * n] = [-x, -y, -1.0, 0.0, 0.0, 0.0, u * x, u * y, u];
            rows[2 * n + 1] = [0.0, 0.0, 0.0, -x, -y, -1.0, v * x, v * y, v];
        }
        let h = null_vector(rows).ok_or(Degenerate)?;
        let inner = [[h[0], h[1], h[2]], [h[3], h[4], h[5]], [h[6], h[7], h[8]]];
        Self::from_rows(product(&undone(&near_to), &product(&inner, &near_from)))
    }

    /// The map that takes each of `from` to its point in `to` as nearly as one can, from four points on: exactly where there are
    /// four, with the least algebraic error (algorithm 4.2) where there are more.
    ///
    /// # Errors
    /// When there are fewer than four pairs, or they lie so that they determine no map.
    pub fn fitted(from: &[Xy], to: &[Xy]) -> Result<Self, Degenerate> {
        if from.len() != to.len() || from.len() < 4 {
            return Err(Degenerate);
        }
        if let (Ok(from), Ok(to)) = (from.try_into(), to.try_into()) {
            return Self::from_four(from, to);
        }
        let (near_from, from) = normalised_all(from).ok_or(Degenerate)?;
        let (near_to, to) = normalised_all(to).ok_or(Degenerate)?;
        let mut square = [[0.0; 9]; 9];
        for ([x, y], [u, v]) in from.into_iter().zip(to) {
            let rows = [
                [-x, -y, -1.0, 0.0, 0.0, 0.0, u * x, u * y, u],
                [0.0, 0.0, 0.0, -x, -y, -1.0, v * x, v * y, v],
            ];
            for row in rows {
                for (line, a) in square.iter_mut().zip(row) {
                    for (cell, b) in line.iter_mut().zip(row) {
                        *cell += a * b;
                    }
                }
            }
        }
        let h = least_direction(square).ok_or(Degenerate)?;
        let inner = [[h[0], h[1], h[2]], [h[3], h[4], h[5]], [h[6], h[7], h[8]]];
        Self::from_rows(product(&undone(&near_to), &product(&inner, &near_from)))
    }

    /// The map of these nine numbers, row by row; they are divided by the last of them where it is not 0.
    ///
    /// # Errors
    /// When they send the plane onto a line, or one is no number.
    pub fn from_rows(rows: [[f64; 3]; 3]) -> Result<Self, Degenerate> {
        let all = rows.iter().flatten();
        let norm = all.map(|it| it * it).sum::<f64>().sqrt();
        let last = rows[2][2];
        let by = if last.abs() > 1e-12 * norm {
            last
        } else {
            norm
        };
        let rows = rows.map(|row| row.map(|it| it / by));
        let turned = adjugate(&rows);
        let sound = norm > 0.0 && rows.iter().flatten().all(|it| it.is_finite());
        let open = turned.iter().flatten().any(|it| *it != 0.0) && determinant(&rows) != 0.0;
        if sound && open {
            Ok(Self { rows })
        } else {
            Err(Degenerate)
        }
    }

    /// The nine numbers, row by row; the last is 1 wherever it is not 0.
    #[must_use]
    pub fn rows(&self) -> [[f64; 3]; 3] {
        self.rows
    }

    /// The third coordinate of a point's image: 0 on the horizon, of the other sign beyond it. Of a map from a picture to a
    /// plane it is proportional to one over the distance from the camera.
    #[must_use]
    pub fn weight(&self, [x, y]: Xy) -> f64 {
        let [a, b, c] = self.rows[2];
        a * x + b * y + c
    }

    /// Where a point comes to lie; `None` on the horizon.
    #[must_use]
    pub fn apply(&self, [x, y]: Xy) -> Option<Xy> {
        let w = self.weight([x, y]);
        let at = |[a, b, c]: [f64; 3]| (a * x + b * y + c) / w;
        let image = [at(self.rows[0]), at(self.rows[1])];
        let [a, b, c] = self.rows[2];
        let size = (a * x).abs() + (b * y).abs() + c.abs();
        let apart = w.abs() > 1e-12 * size;
        (apart && image.iter().all(|it| it.is_finite())).then_some(image)
    }

    /// The map back.
    #[must_use]
    pub fn inverse(&self) -> Self {
        let rows = adjugate(&self.rows);
        Self::from_rows(rows).unwrap_or(Self { rows })
    }

    /// How the image of a point moves with it: the rows are d(image x) and d(image y), the columns by x and y. `None` on the
    /// horizon.
    #[must_use]
    pub fn jacobian(&self, point: Xy) -> Option<[[f64; 2]; 2]> {
        let image = self.apply(point)?;
        let w = self.weight(point);
        let slope = |n: usize, by: usize| (self.rows[n][by] - image[n] * self.rows[2][by]) / w;
        Some([[slope(0, 0), slope(0, 1)], [slope(1, 0), slope(1, 1)]])
    }
}

/// Twice the area of a triangle, with the sign of its turn.
pub fn turn(a: Xy, b: Xy, c: Xy) -> f64 {
    (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
}

/// The distance of two points.
pub fn distance(a: Xy, b: Xy) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The points about their middle, at a mean distance of the root of 2, and the map that takes them there.
fn normalised(points: &[Xy; 4]) -> Option<([[f64; 3]; 3], [Xy; 4])> {
    let (there, moved) = normalised_all(points)?;
    Some((there, moved.try_into().ok()?))
}

/// The same of any number of points.
fn normalised_all(points: &[Xy]) -> Option<([[f64; 3]; 3], Vec<Xy>)> {
    let count = points.len() as f64;
    let middle = [0, 1].map(|n| points.iter().map(|it| it[n]).sum::<f64>() / count);
    let mean = points.iter().map(|it| distance(*it, middle)).sum::<f64>() / count;
    let s = std::f64::consts::SQRT_2 / mean;
    let there = [
        [s, 0.0, -s * middle[0]],
        [0.0, s, -s * middle[1]],
        [0.0, 0.0, 1.0],
    ];
    let moved = points.iter();
    let moved: Vec<Xy> = moved
        .map(|[x, y]| [s * (x - middle[0]), s * (y - middle[1])])
        .collect();
    moved
        .iter()
        .flatten()
        .all(|it| it.is_finite())
        .then_some((there, moved))
}

/// The way back from a normalisation.
fn undone(there: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let s = there[0][0];
    [
        [1.0 / s, 0.0, -there[0][2] / s],
        [0.0, 1.0 / s, -there[1][2] / s],
        [0.0, 0.0, 1.0],
    ]
}

fn lies_on_a_line(p: &[Xy; 4]) -> bool {
    let triangles = [[0, 1, 2], [1, 2, 3], [2, 3, 0], [3, 0, 1]];
    triangles
        .iter()
        .any(|[a, b, c]| turn(p[*a], p[*b], p[*c]).abs() < ON_A_LINE)
}

fn product(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let at = |row: &[f64; 3], n: usize| row[0] * b[0][n] + row[1] * b[1][n] + row[2] * b[2][n];
    a.map(|row| [at(&row, 0), at(&row, 1), at(&row, 2)])
}

fn adjugate(m: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let minor = |r: usize, c: usize| {
        let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    [0, 1, 2].map(|r| [minor(0, r), minor(1, r), minor(2, r)])
}

fn determinant(m: &[[f64; 3]; 3]) -> f64 {
    let back = adjugate(m);
    m[0][0] * back[0][0] + m[0][1] * back[1][0] + m[0][2] * back[2][0]
}
