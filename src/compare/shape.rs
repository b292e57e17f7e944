//! A drawn shape as numbers that may be off, and the figures that are read from it.

use crate::compare::budget::Input;
use crate::compare::budget::Source;
use crate::model::region::Region;
use crate::plane::Xy;
use crate::plane::distance;
use crate::plane::turn;

/// What was drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// An open line.
    Line,
    /// A closed outline.
    Outline,
    /// A box.
    Box,
}

/// A shape in px of the upright picture.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shape {
    /// What was drawn.
    pub(crate) kind: Kind,
    /// Its points, x and y in turn; of a box left, top, right, bottom.
    pub(crate) numbers: Vec<f64>,
}

impl Shape {
    /// The shape of a region in a picture of this size in px; `None` for a spot.
    pub(crate) fn of(region: &Region, [width, height]: [f64; 2]) -> Option<Self> {
        let px = |[x, y]: Xy| [x * width / 100.0, y * height / 100.0];
        let all = |points: &[Xy]| points.iter().flat_map(|it| px(*it)).collect();
        let (kind, numbers) = match region {
            Region::Box([x, y, w, h]) => (Kind::Box, all(&[[*x, *y], [x + w, y + h]])),
            Region::Line(points) => (Kind::Line, all(points)),
            Region::Outline(points) => (Kind::Outline, all(points)),
            Region::Spot(_) => return None,
        };
        Some(Self { kind, numbers })
    }

    /// The numbers with the uncertainty of a click, px.
    pub(crate) fn inputs(&self, click: f64) -> impl Iterator<Item = Input> {
        let source = match self.kind {
            Kind::Line | Kind::Box => Source::Click,
            Kind::Outline => Source::Habit,
        };
        self.numbers.iter().map(move |value| Input {
            value: *value,
            u: click,
            source,
        })
    }

    /// The points of such numbers, px; a box goes round from its upper left corner.
    pub(crate) fn points(&self, numbers: &[f64]) -> Vec<Xy> {
        match (self.kind, numbers) {
            (Kind::Box, [left, top, right, bottom]) => vec![
                [*left, *top],
                [*right, *top],
                [*right, *bottom],
                [*left, *bottom],
            ],
            _ => numbers.chunks_exact(2).map(|it| [it[0], it[1]]).collect(),
        }
    }
}

/// A figure that is read from the points of a shape, by their numbers.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Figure {
    /// The length of a line, along it.
    Path,
    /// The mean of two opposite sides, each by its two points.
    Sides([[usize; 2]; 2]),
    /// The distance of two points.
    Extent([usize; 2]),
    /// How far two points lie apart at right angles to the line through two others: `along`, then `apart`.
    Across([usize; 2], [usize; 2]),
    /// The area that the points go round.
    Area,
}

impl Figure {
    /// The figure of these points: their unit, or its square.
    pub(crate) fn of(&self, points: &[Xy]) -> f64 {
        let apart = |[a, b]: [usize; 2]| distance(points[a], points[b]);
        match self {
            Self::Path => points.windows(2).map(|it| distance(it[0], it[1])).sum(),
            Self::Sides([one, two]) => f64::midpoint(apart(*one), apart(*two)),
            Self::Extent(pair) => apart(*pair),
            Self::Across([a, b], [c, d]) => {
                let from = points[*a];
                let shift = [0, 1].map(|n| points[*d][n] - points[*c][n]);
                let to = [from[0] + shift[0], from[1] + shift[1]];
                (turn(from, points[*b], to) / apart([*a, *b])).abs()
            }
            Self::Area => area(points),
        }
    }

    /// The segments that the figure is the length of; none for an area.
    pub(crate) fn segments(&self, points: &[Xy]) -> Vec<[Xy; 2]> {
        let at = |[a, b]: [usize; 2]| [points[a], points[b]];
        match self {
            Self::Path => points.windows(2).map(|it| [it[0], it[1]]).collect(),
            Self::Sides(pairs) => pairs.map(at).to_vec(),
            Self::Extent(pair) | Self::Across(_, pair) => vec![at(*pair)],
            Self::Area => Vec::new(),
        }
    }

    /// The greatest extent of these points, and the extent at right angles to it; `None` when they are all at one place.
    pub(crate) fn extents(points: &[Xy]) -> Option<[Self; 2]> {
        let hull = hull(points);
        let mut farthest = ([0, 0], 0.0);
        for (n, a) in hull.iter().enumerate() {
            for b in &hull[n + 1..] {
                let apart = distance(points[*a], points[*b]);
                if apart > farthest.1 {
                    farthest = ([*a, *b], apart);
                }
            }
        }
        let ([a, b], apart) = farthest;
        if apart <= 0.0 {
            return None;
        }
        let side = |n: &&usize| turn(points[a], points[b], points[**n]);
        let one = hull.iter().min_by(|m, n| side(m).total_cmp(&side(n)))?;
        let other = hull.iter().max_by(|m, n| side(m).total_cmp(&side(n)))?;
        Some([Self::Extent([a, b]), Self::Across([a, b], [*one, *other])])
    }
}

/// Whether a closed outline crosses itself, so that it has no one area.
pub(crate) fn crosses_itself(points: &[Xy]) -> bool {
    let count = points.len();
    let edge = |n: usize| [points[n], points[(n + 1) % count]];
    let crosses = |[a, b]: [Xy; 2], [c, d]: [Xy; 2]| {
        turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
    };
    (0..count).any(|n| (n + 2..count).any(|m| crosses(edge(n), edge(m))))
}

/// The area that points go round (the surveyor's formula).
fn area(points: &[Xy]) -> f64 {
    let Some(&start) = points.first() else {
        return 0.0;
    };
    let triangles = points.windows(2).map(|it| turn(start, it[0], it[1]));
    (triangles.sum::<f64>() / 2.0).abs()
}

/// The corners of the convex hull, in order round it.
pub(crate) fn hull_round(points: &[Xy]) -> Vec<Xy> {
    let [there, back] = chains(points);
    let ends = |chain: &[usize]| chain.len().saturating_sub(1);
    let round = there[..ends(&there)].iter().chain(&back[..ends(&back)]);
    round.map(|n| points[*n]).collect()
}

/// The numbers of the points on the convex hull.
fn hull(points: &[Xy]) -> Vec<usize> {
    let mut all = chains(points).concat();
    all.sort_unstable();
    all.dedup();
    all
}

/// The two halves of the convex hull, from its first point to its last and back (monotone chain), as numbers of the points.
fn chains(points: &[Xy]) -> [Vec<usize>; 2] {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|a, b| {
        let (a, b) = (points[*a], points[*b]);
        a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1]))
    });
    let half = |order: &mut dyn Iterator<Item = usize>| {
        let mut chain: Vec<usize> = Vec::new();
        for n in order {
            while let [.., a, b] = chain[..] {
                if turn(points[a], points[b], points[n]) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(n);
        }
        chain
    };
    [
        half(&mut order.iter().copied()),
        half(&mut order.iter().rev().copied()),
    ]
}
