//! Straight edges -> three of them that meet as three sides of a rectangle do, and where its fourth one must lie.

use plane::Xy;

use crate::algebra::Xyz;
use crate::algebra::cross;
use crate::algebra::dot;
use crate::algebra::length;
use crate::algebra::sum;
use crate::algebra::times;
use crate::lens::Lens;
use crate::lens::index;
use crate::outline::segments::Segment;
use crate::outline::side::meeting;

/// How far beyond the end of an edge its corner may lie, px, and as a share of it: corners are round, and something may lie on an
/// edge.
const BEYOND: (f64, f64) = (6.0, 0.35);
/// How far before its end.
const BEFORE: (f64, f64) = (5.0, 0.05);
/// Least angle between neighbours, as a sine: 25 degrees.
const LEAST_TURN: f64 = 0.42;

/// Three edges as the sides of a rectangle: the middle one from its first corner to its second, and the two that go on from there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Three {
    first: Segment,
    middle: Segment,
    last: Segment,
    corners: [Xy; 2],
    /// The way from the middle edge into the rectangle, at right angles to it.
    inside: Xy,
    bright_inside: bool,
}

/// One edge that goes on from another: where they meet, and to which side.
struct Turn<'a> {
    other: &'a Segment,
    corner: Xy,
    inside: Xy,
}

/// All threes among these edges that are brighter on the same side of the border.
pub(super) fn all(edges: &[Segment]) -> Vec<Three> {
    let mut found = Vec::new();
    for (n, middle) in edges.iter().enumerate() {
        let others = || edges.iter().enumerate().filter(move |it| it.0 != n);
        let turns = |end: usize| -> Vec<Turn<'_>> {
            others()
                .filter_map(|(_, other)| turned(middle, end, other))
                .collect()
        };
        let (before, after) = (turns(0), turns(1));
        for first in &before {
            for last in &after {
                found.extend(three(middle, first, last));
            }
        }
    }
    found
}

fn three(middle: &Segment, first: &Turn<'_>, last: &Turn<'_>) -> Option<Three> {
    let inside = first.inside;
    if dot2(inside, last.inside) <= 0.0 {
        return None;
    }
    let bright_inside = dot2(middle.brighter, inside) > 0.0;
    // The insides of the two others lie towards each other.
    let between = [0, 1].map(|n| last.corner[n] - first.corner[n]);
    let is_bright = [
        dot2(first.other.brighter, between) > 0.0,
        dot2(last.other.brighter, between) < 0.0,
    ];
    (is_bright == [bright_inside; 2]).then_some(Three {
        first: *first.other,
        middle: *middle,
        last: *last.other,
        corners: [first.corner, last.corner],
        inside,
        bright_inside,
    })
}

/// Whether an edge goes on from an end of the middle one.
fn turned<'a>(middle: &Segment, end: usize, other: &'a Segment) -> Option<Turn<'a>> {
    let long = middle.length();
    let at = middle.ends[end];
    let near = [0, 1].map(|n| plane::distance(other.ends[n], at));
    let close = usize::from(near[1] < near[0]);
    let reach = |it: (f64, f64), long: f64| it.0 + it.1 * long;
    let of_other = other.length();
    if near[close] > reach(BEYOND, long) + reach(BEYOND, of_other) {
        return None;
    }
    let along = [0, 1].map(|n| (at[n] - middle.ends[1 - end][n]) / long);
    let on = [0, 1].map(|n| (other.ends[1 - close][n] - other.ends[close][n]) / of_other);
    let turn = along[0] * on[1] - along[1] * on[0];
    if turn.abs() < LEAST_TURN {
        return None;
    }
    let corner = meeting(middle.ends, other.ends)?;
    let past = dot2([0, 1].map(|n| corner[n] - at[n]), along);
    let far = dot2([0, 1].map(|n| other.ends[close][n] - corner[n]), on);
    let fits = past < reach(BEYOND, long)
        && past > -reach(BEFORE, long)
        && far < reach(BEYOND, of_other)
        && far > -reach(BEFORE, of_other);
    let across = [-along[1], along[0]];
    let way = dot2(on, across).signum();
    fits.then(|| Turn {
        other,
        corner,
        inside: across.map(|it| it * way),
    })
}

impl Three {
    /// The corners of the rectangle, px from the centre of the first pixel: along the first edge to the middle one, along it, and on;
    /// `ratio`: how many times the middle side the others are.
    pub(super) fn closed(&self, lens: &Lens, ratio: f64) -> Option<[Xy; 4]> {
        let centre = index(lens.centre);
        let ray = |[x, y]: Xy| {
            [
                (x - centre[0]) / lens.focal,
                (y - centre[1]) / lens.focal,
                1.0,
            ]
        };
        let through = |it: &Segment| cross(&ray(it.ends[0]), &ray(it.ends[1]));
        let [a, m, b] = [&self.first, &self.middle, &self.last].map(through);
        let down = cross(&a, &b);
        let across = cross(&m, &down);
        let normal = cross(&down, &across);
        let on_plane = |at: Xy| {
            let ray = ray(at);
            let far = dot(&normal, &ray);
            (far.abs() > 1e-12).then(|| times(ray, 1.0 / far))
        };
        let [p, q] = [on_plane(self.corners[0])?, on_plane(self.corners[1])?];
        let wide = length(&sum(q, times(p, -1.0)));
        let by = ratio * wide / length(&down);
        let see = |it: Xyz| {
            (it[2] * p[2] > 0.0).then(|| [0, 1].map(|n| centre[n] + lens.focal * it[n] / it[2]))
        };
        let placed = |sign: f64| -> Option<[Xy; 4]> {
            let step = times(down, sign * by);
            let far = [see(sum(p, step))?, see(sum(q, step))?];
            Some([far[0], self.corners[0], self.corners[1], far[1]])
        };
        let inside = |it: &[Xy; 4]| {
            let off = |n: usize, m: usize| [0, 1].map(|k| it[n][k] - it[m][k]);
            dot2(off(0, 1), self.inside) > 0.0 && dot2(off(3, 2), self.inside) > 0.0
        };
        [1.0, -1.0].into_iter().filter_map(placed).find(inside)
    }

    /// Whether it is brighter inside than round it.
    pub(super) fn bright_inside(&self) -> bool {
        self.bright_inside
    }

    /// The direction in which a side becomes brighter.
    pub(super) fn brighter(&self, side: [Xy; 2], corners: [Xy; 4]) -> Xy {
        let middle = [0, 1].map(|n| corners.iter().map(|it| it[n]).sum::<f64>() / 4.0);
        let way = [side[1][0] - side[0][0], side[1][1] - side[0][1]];
        let across = [-way[1], way[0]];
        let inward = dot2([0, 1].map(|n| middle[n] - side[0][n]), across).signum();
        let sign = if self.bright_inside { inward } else { -inward };
        across.map(|it| it * sign)
    }
}

fn dot2(a: Xy, b: Xy) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}
