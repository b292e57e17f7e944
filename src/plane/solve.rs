//! The small dense solves behind a homography.

/// Pivots below this are taken as 0; the rows come in numbers near 1.
const NOTHING: f64 = 1e-12;

/// Sweeps of rotations; each squares what is off the diagonal, and nine rows need fewer than ten.
const SWEEPS: u32 = 12;

/// The one direction that all eight rows send to 0, found by elimination with full pivoting; its length means nothing.
/// `None` where the rows say the same thing twice, so that there is more than one.
#[expect(clippy::needless_range_loop, reason = "rows are taken in pairs")]
pub(crate) fn null_vector(mut rows: [[f64; 9]; 8]) -> Option<[f64; 9]> {
    let mut columns = [0, 1, 2, 3, 4, 5, 6, 7, 8];
    for step in 0..8 {
        let places = (step..8).flat_map(|row| (step..9).map(move |column| (row, column)));
        let size = |&(row, column): &(usize, usize)| rows[row][column].abs();
        let (row, column) = places.max_by(|a, b| size(a).total_cmp(&size(b)))?;
        let largest = rows[row][column].abs();
        if !largest.is_finite() || largest < NOTHING {
            return None;
        }
        rows.swap(step, row);
        columns.swap(step, column);
        for row in &mut rows {
            row.swap(step, column);
        }
        let pivot = rows[step];
        for other in 0..8 {
            let times = rows[other][step] / pivot[step];
            if other != step && times != 0.0 {
                for column in step..9 {
                    rows[other][column] -= times * pivot[column];
                }
            }
        }
    }
    let mut vector = [0.0; 9];
    vector[columns[8]] = 1.0;
    for step in 0..8 {
        vector[columns[step]] = -rows[step][8] / rows[step][step];
    }
    Some(vector)
}

/// The direction that a symmetric matrix of nine rows shortens most: the eigenvector of its least eigenvalue, by Jacobi's
/// rotations (Golub and Van Loan, Matrix Computations, 4th edition, section 8.5). `None` where the two least are as good as alike,
/// so that there is more than one, or a number is none.
#[expect(clippy::needless_range_loop, reason = "rows and columns turn in pairs")]
pub(crate) fn least_direction(mut square: [[f64; 9]; 9]) -> Option<[f64; 9]> {
    let whole: f64 = (0..9).map(|n| square[n][n]).sum();
    if !whole.is_finite() {
        return None;
    }
    let mut vectors = [[0.0; 9]; 9];
    for n in 0..9 {
        vectors[n][n] = 1.0;
    }
    for _ in 0..SWEEPS {
        for p in 0..8 {
            for q in p + 1..9 {
                let off = square[p][q];
                if off.abs() <= f64::MIN_POSITIVE {
                    continue;
                }
                let half = (square[q][q] - square[p][p]) / (2.0 * off);
                let t = half.signum() / (half.abs() + half.hypot(1.0));
                let c = 1.0 / t.hypot(1.0);
                let s = t * c;
                for k in 0..9 {
                    let (a, b) = (square[k][p], square[k][q]);
                    square[k][p] = c * a - s * b;
                    square[k][q] = s * a + c * b;
                }
                for k in 0..9 {
                    let (a, b) = (square[p][k], square[q][k]);
                    square[p][k] = c * a - s * b;
                    square[q][k] = s * a + c * b;
                    let (a, b) = (vectors[k][p], vectors[k][q]);
                    vectors[k][p] = c * a - s * b;
                    vectors[k][q] = s * a + c * b;
                }
            }
        }
    }
    let mut order = [0, 1, 2, 3, 4, 5, 6, 7, 8];
    order.sort_by(|a, b| square[*a][*a].total_cmp(&square[*b][*b]));
    let [least, next] = [order[0], order[1]];
    (square[next][next] > NOTHING * whole).then(|| vectors.map(|row| row[least]))
}
