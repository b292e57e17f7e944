//! The small dense solve behind a homography.

/// Pivots below this are taken as 0; the rows come in numbers near 1.
const NOTHING: f64 = 1e-12;

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
