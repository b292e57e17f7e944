//! How far two shapes of a plane lie apart.

use crate::plane::Xy;
use crate::plane::distance;
use crate::plane::turn;

/// The least distance between two shapes, each a closed run of points (a line is one there and back, a spot one point); 0 where
/// they touch or overlap.
#[must_use]
pub fn apart(one: &[Xy], other: &[Xy]) -> f64 {
    let within = |points: &[Xy], shape: &[Xy]| points.first().is_some_and(|it| holds(shape, *it));
    if within(one, other) || within(other, one) {
        return 0.0;
    }
    let gaps = edges(one).flat_map(|a| edges(other).map(move |b| gap(a, b)));
    gaps.fold(f64::INFINITY, f64::min)
}

fn edges(points: &[Xy]) -> impl Iterator<Item = [Xy; 2]> {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| [*a, *b])
}

fn gap(a: [Xy; 2], b: [Xy; 2]) -> f64 {
    let crosses = turn(a[0], a[1], b[0]) * turn(a[0], a[1], b[1]) < 0.0
        && turn(b[0], b[1], a[0]) * turn(b[0], b[1], a[1]) < 0.0;
    if crosses {
        return 0.0;
    }
    let ends = [
        from_edge(a[0], b),
        from_edge(a[1], b),
        from_edge(b[0], a),
        from_edge(b[1], a),
    ];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// How far a point lies from the nearest point of an edge.
fn from_edge(point: Xy, [a, b]: [Xy; 2]) -> f64 {
    let along = [b[0] - a[0], b[1] - a[1]];
    let squared = along[0] * along[0] + along[1] * along[1];
    let t = match squared > 0.0 {
        true => ((point[0] - a[0]) * along[0] + (point[1] - a[1]) * along[1]) / squared,
        false => 0.0,
    };
    let t = t.clamp(0.0, 1.0);
    distance(point, [a[0] + t * along[0], a[1] + t * along[1]])
}

/// Whether a point lies inside a closed run of points (the rule of odd crossings).
fn holds(shape: &[Xy], [x, y]: Xy) -> bool {
    let crossed = edges(shape).filter(|[a, b]| {
        let spans = (a[1] > y) != (b[1] > y);
        spans && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::apart;

    #[test]
    fn shapes_that_touch_or_overlap_are_not_apart() {
        let square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        let inside = [[4.0, 4.0], [5.0, 4.0], [5.0, 5.0]];
        let line = [[-5.0, 5.0], [15.0, 5.0]];
        let away = square.map(|[x, y]| [x + 13.0, y + 14.0]);
        assert_eq!(apart(&square, &inside), 0.0);
        assert_eq!(apart(&inside, &square), 0.0);
        assert_eq!(apart(&line, &square), 0.0);
        assert!((apart(&square, &away) - 5.0).abs() < 1e-12);
        assert!((apart(&[[20.0, 5.0]], &square) - 10.0).abs() < 1e-12);
        assert_eq!(apart(&[], &square), f64::INFINITY);
    }
}
