//! The way round a line at a distance, so that a mark never covers what it marks.

use std::f64::consts::PI;

use crate::model::region::Point;

/// Longest stretch between two points of the way, in distances.
const STEP: f64 = 0.25;
/// Angle between two points of a bend.
const TURN: f64 = PI / 12.0;
/// Largest gap that is closed where the way cuts a corner, in distances; a crossing leaves one of two at least.
const GAP: f64 = 1.0;

/// A stretch of the way round.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::report) struct Stretch {
    /// Its points.
    pub(in crate::report) points: Vec<Point>,
    /// Whether its end meets its start.
    pub(in crate::report) closed: bool,
}

/// The way round `line`, `distance` from it on both sides and round its ends: one closed stretch, or several where
/// the line comes back to itself. No point of a stretch is nearer to the line than half the distance.
///
/// A line without length has a circle. Points and distance are in one unit, the same across and down.
pub(in crate::report) fn beside(line: &[Point], distance: f64) -> Vec<Stretch> {
    let mut line = line.to_vec();
    line.dedup_by(|a, b| length(minus(*a, *b)) < distance * 1e-3);
    let Some(first) = line.first() else {
        return Vec::new();
    };
    if line.len() == 1 {
        let mut points = Vec::new();
        bend(*first, 0.0, -2.0 * PI, distance, &mut points);
        return vec![Stretch {
            points,
            closed: true,
        }];
    }
    let free = |at: &Point| from(&line, *at) > distance * 0.999;
    let way: Vec<_> = there_and_back(&line, distance)
        .into_iter()
        .filter(free)
        .collect();
    let stretches = split(way, distance * GAP).into_iter();
    stretches
        .map(|it| straightened(it, distance * 1e-6))
        .filter(|it| it.points.len() > 1)
        .collect()
}

/// Points at the distance, on the left of the line and of its way back; inside bends they come too near.
fn there_and_back(line: &[Point], distance: f64) -> Vec<Point> {
    let back = line.iter().rev().skip(1);
    let round: Vec<Point> = line.iter().chain(back).copied().collect();
    let legs: Vec<_> = round.windows(2).map(|it| (it[0], it[1])).collect();
    let angle = |(a, b): (Point, Point)| (b[1] - a[1]).atan2(b[0] - a[0]);
    let mut way = Vec::new();
    for (n, leg) in legs.iter().enumerate() {
        let (a, b) = *leg;
        let (here, next) = (angle(*leg), angle(legs[(n + 1) % legs.len()]));
        let side = here + PI / 2.0;
        let out = [distance * side.cos(), distance * side.sin()];
        let long = minus(b, a);
        let steps = (length(long) / (distance * STEP)).ceil().max(1.0);
        let mut done = 0.0;
        while done <= steps {
            let share = done / steps;
            way.push([
                a[0] + long[0] * share + out[0],
                a[1] + long[1] * share + out[1],
            ]);
            done += 1.0;
        }
        let turn = (next - here + PI).rem_euclid(2.0 * PI) - PI;
        // Half a turn is an end of the line, or a point where it doubles back.
        let is_half = turn.abs() > PI - 1e-6;
        if turn < 0.0 || is_half {
            bend(b, side, -turn.abs(), distance, &mut way);
        }
    }
    way
}

/// Points on a circle round `middle`, from an angle on, without the last.
fn bend(middle: Point, start: f64, turn: f64, distance: f64, way: &mut Vec<Point>) {
    let steps = (turn.abs() / TURN).ceil().max(1.0);
    let mut done = 0.0;
    while done < steps {
        let angle = start + turn * done / steps;
        way.push([
            middle[0] + distance * angle.cos(),
            middle[1] + distance * angle.sin(),
        ]);
        done += 1.0;
    }
}

/// Splits a round of points where two neighbours lie farther apart than `gap`.
fn split(mut round: Vec<Point>, gap: f64) -> Vec<Stretch> {
    let apart = |a: Point, b: Point| length(minus(a, b)) > gap;
    let breaks = |n: &usize| apart(round[*n], round[(n + 1) % round.len()]);
    let Some(first) = (0..round.len()).find(breaks) else {
        return vec![Stretch {
            points: round,
            closed: true,
        }];
    };
    let start = (first + 1) % round.len();
    round.rotate_left(start);
    let parts = round.chunk_by(|a, b| !apart(*a, *b));
    parts
        .map(|it| Stretch {
            points: it.to_vec(),
            closed: false,
        })
        .collect()
}

/// Leaves out points that lie on the straight between their neighbours, to `off`.
fn straightened(it: Stretch, off: f64) -> Stretch {
    let mut points: Vec<Point> = Vec::new();
    for (n, point) in it.points.iter().enumerate() {
        let straight = match (points.last(), it.points.get(n + 1)) {
            (Some(before), Some(after)) => from(&[*before, *after], *point) < off,
            _ => false,
        };
        if !straight {
            points.push(*point);
        }
    }
    Stretch { points, ..it }
}

/// How far a point is from a line of at least one point.
fn from(line: &[Point], at: Point) -> f64 {
    let to_leg = |leg: &[Point]| {
        let (a, long) = (leg[0], minus(leg[1], leg[0]));
        let to = minus(at, a);
        let square = long[0] * long[0] + long[1] * long[1];
        let share = match square > 0.0 {
            true => ((to[0] * long[0] + to[1] * long[1]) / square).clamp(0.0, 1.0),
            false => 0.0,
        };
        length([to[0] - long[0] * share, to[1] - long[1] * share])
    };
    let to_start = line
        .first()
        .map_or(f64::INFINITY, |it| length(minus(at, *it)));
    line.windows(2).map(to_leg).fold(to_start, f64::min)
}

fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

fn length(it: Point) -> f64 {
    it[0].hypot(it[1])
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Point;
    use super::Stretch;
    use super::beside;
    use super::from;

    /// Points along the strokes themselves, closely.
    fn along(stretches: &[Stretch]) -> Vec<Point> {
        let mut all = Vec::new();
        for it in stretches {
            let mut points = it.points.clone();
            points.extend(it.closed.then(|| it.points[0]));
            for leg in points.windows(2) {
                for n in 0..=20 {
                    let share = f64::from(n) / 20.0;
                    let between = |n: usize| leg[0][n] + (leg[1][n] - leg[0][n]) * share;
                    all.push([between(0), between(1)]);
                }
            }
        }
        all
    }

    fn ways(strokes: &[Point], line: &[Point]) -> (f64, f64) {
        let far = strokes.iter().map(|it| from(line, *it));
        (
            far.clone().fold(f64::INFINITY, f64::min),
            far.fold(0.0, f64::max),
        )
    }

    #[test]
    fn a_straight_line_has_two_parallels_and_two_round_ends() {
        let line = [[10.0, 50.0], [60.0, 50.0], [90.0, 50.0]];
        let stretches = beside(&line, 2.0);
        let [way] = &stretches[..] else {
            panic!("one way round: {stretches:?}");
        };
        assert!(way.closed);
        assert!(way.points.len() < 40, "{}", way.points.len());
        let strokes = along(&stretches);
        let (least, most) = ways(&strokes, &line);
        assert!(least > 1.97 && most < 2.001, "{least} {most}");
        for [x, y] in [[50.0, 48.0], [50.0, 52.0], [8.0, 50.0], [92.0, 50.0]] {
            let nearest = from(&strokes, [x, y]);
            assert!(nearest < 0.02, "nothing at {x} {y}: {nearest}");
        }
    }

    #[test]
    fn sharp_bends_doubled_points_and_points_alone_are_gone_round() {
        for line in [
            vec![[20.0, 20.0], [50.0, 80.0], [54.0, 20.0]],
            vec![[20.0, 20.0], [20.0, 20.0], [50.0, 20.0], [50.0, 20.0]],
            vec![[20.0, 20.0], [50.0, 20.0], [20.0, 20.0]],
            vec![[20.0, 20.0], [50.0, 50.0], [50.2, 50.1], [50.0, 50.4]],
            vec![[40.0, 40.0], [40.0, 40.0]],
        ] {
            let stretches = beside(&line, 2.0);
            let (least, most) = ways(&along(&stretches), &line);
            assert!(least > 1.7 && most < 2.2, "{line:?}: {least} {most}");
            assert!(stretches.iter().all(|it| it.closed), "{line:?}");
        }
    }

    #[test]
    fn a_line_that_crosses_itself_is_not_drawn_over_at_the_crossing() {
        let line = [[20.0, 50.0], [80.0, 50.0], [80.0, 20.0], [50.0, 80.0]];
        let stretches = beside(&line, 2.0);
        assert!(stretches.len() > 1);
        let (least, most) = ways(&along(&stretches), &line);
        assert!(least > 1.7 && most < 2.2, "{least} {most}");
    }

    proptest! {
        #[test]
        fn no_stroke_lies_on_the_line(
            line in prop::collection::vec([0.0..100.0, 0.0..100.0], 2..12), distance in 0.5..4.0,
        ) {
            let stretches = beside(&line, distance);
            prop_assert!(!stretches.is_empty());
            let (least, most) = ways(&along(&stretches), &line);
            prop_assert!(least > distance * 0.5 && most < distance * 1.5, "{least} {most}");
            let inside = stretches.iter().all(|it| it.points.iter().flatten().all(|n| n.is_finite()));
            prop_assert!(inside);
        }
    }
}
