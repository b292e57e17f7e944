//! A rectangle of known sides, such as a bank card, looked for in a picture by its edges.
//!
//! In: a grey picture, its lens, the sides in mm. Out: corners, px, that a camera sees of such a rectangle, with how much of its
//! border shows an edge. What is found is offered to a person: that it is a card, and not a rectangle of its shape, no edge tells.
//!
//! Three straight edges that meet, and the focal length, tell how the plane leans (Hartley and Zisserman, 8.6: vanishing points),
//! and the sides then tell where the fourth edge must be: it is looked for there, and nowhere else.

mod round;
mod segments;
mod side;
#[cfg(test)]
mod tests;
mod three;

use plane::Xy;

use crate::camera::Camera;
use crate::camera::Tie;
use crate::face::Face;
use crate::face::Placed;
use crate::field::Field;
use crate::lens::Lens;
use crate::lens::continuous;
use crate::outline::round::round_corners;
use crate::outline::segments::segments;
use crate::outline::side::Side;
use crate::outline::side::meeting;
use crate::outline::side::side;
use crate::outline::three::Three;
use crate::photo::Grey;
use crate::photo::straight_field;

/// Shortest edge that takes part, as a share of the longer side of the picture.
const LEAST: f64 = 0.012;
/// Shortest long side of what is looked for, as a share of the longer side of the picture: what is smaller measures nothing well.
const SMALL: f64 = 0.06;
/// Longest side of what is looked for: a picture of a card and of what lies beside it has room for both.
const MOST: f64 = 0.48;
/// Share of each side at which its edge is to be seen; and of all four together.
const EACH: f64 = 0.3;
const ALL: f64 = 0.62;
/// How far corners may lie from what a camera sees, px, and as a share of the longest side.
const OFF: (f64, f64) = (0.5, 0.0015);

/// What is looked for: a rectangle whose corners are round, as those of cards are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rounded {
    /// Its two sides, mm, the longer one first.
    pub sides: [f64; 2],
    /// The radius of its corners, mm.
    pub radius: f64,
}

/// A rectangle that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Its corners, where its edges would meet, px; the first two are those of a long side, and they go round
    /// clockwise.
    pub corners: [Xy; 4],
    /// Share of its border at which an edge is seen.
    pub shown: f64,
    /// How far its corners lie from what a camera sees of it, px.
    pub off: f64,
}

/// Rectangles of this shape, the surest first; none lies where another does.
#[must_use]
pub fn outlines(grey: Grey<'_>, lens: &Lens, wanted: Rounded) -> Vec<Outline> {
    let Some(field) = straight_field(grey, lens) else {
        return Vec::new();
    };
    let field = field.blurred(1.0);
    let long = field.width.max(field.height) as f64;
    let edges = segments(&field, (LEAST * long).max(12.0));
    let mut found = Vec::new();
    for three in three::all(&edges) {
        for long_first in [true, false] {
            found.extend(outlined(&field, lens, &three, long_first, wanted));
        }
    }
    apart(found)
}

/// The rectangle whose three sides lie on these edges and whose fourth one is seen too.
fn outlined(
    field: &Field,
    lens: &Lens,
    three: &Three,
    middle_is_long: bool,
    wanted: Rounded,
) -> Option<Outline> {
    let [a, b] = wanted.sides;
    let ratio = if middle_is_long { b / a } else { a / b };
    let long = field.width.max(field.height) as f64;
    let corners = three.closed(lens, ratio)?;
    let edge = |n: usize| [corners[n], corners[(n + 1) % 4]];
    let lengths = [0, 1, 2, 3].map(|n| plane::distance(edge(n)[0], edge(n)[1]));
    let longest = lengths.iter().copied().fold(0.0, f64::max);
    let shortest = lengths.iter().copied().fold(f64::INFINITY, f64::min);
    if longest > MOST * long || longest < SMALL * long || shortest < 1.5 * LEAST * long {
        return None;
    }
    let inward = |n: usize| three.brighter(edge(n), corners);
    let fourth = side(field, edge(3), inward(3), 2.0 + 0.04 * longest)?;
    if fourth.share < EACH {
        return None;
    }
    let mut found: [Side; 4] = [fourth; 4];
    for (n, one) in found.iter_mut().enumerate().take(3) {
        *one = side(field, edge(n), inward(n), 3.0)?;
        if one.share < EACH {
            return None;
        }
    }
    let corner = |n: usize| meeting(found[n].ends, found[(n + 3) % 4].ends);
    let corners = [corner(0)?, corner(1)?, corner(2)?, corner(3)?];
    // Once more along the sides as they now are: their ends are others.
    for (n, one) in found.iter_mut().enumerate() {
        *one = side(field, [corners[n], corners[(n + 1) % 4]], inward(n), 2.0)?;
    }
    let corner = |n: usize| meeting(found[n].ends, found[(n + 3) % 4].ends);
    let corners = [corner(0)?, corner(1)?, corner(2)?, corner(3)?];
    let shown = found.iter().map(|it| it.share).sum::<f64>() / 4.0;
    if found.iter().any(|it| it.share < EACH) || shown < ALL {
        return None;
    }
    let begun = |from: usize| [0, 1, 2, 3].map(|n| corners[(from + n) % 4]);
    let mut corners = begun(usize::from(middle_is_long));
    if plane::turn(corners[0], corners[1], corners[2]) < 0.0 {
        corners = [1, 0, 3, 2].map(|n| corners[n]);
    }
    let off = seen_off(&corners, lens, wanted.sides)?;
    let round = round_corners(field, &corners, three.bright_inside(), wanted)?;
    let is = off < OFF.0 + OFF.1 * longest && round.is_so();
    is.then(|| Outline {
        corners: corners.map(|it| lens.bent(continuous(it))),
        shown,
        off,
    })
}

/// How far corners, px from the centre of the first pixel, lie from what a camera sees of the rectangle; `None` where none does.
fn seen_off(corners: &[Xy; 4], lens: &Lens, sides: [f64; 2]) -> Option<f64> {
    let frame = Face::alone(sides).frame();
    let placed = Placed::new(frame, &corners.map(continuous), 1.0)?;
    let camera = Camera::of_face(&placed.map, &frame, lens, [0.0, 0.0])?;
    let ties = [0, 1, 2, 3].map(|n| Tie {
        face: 0,
        on_face: frame.corners()[n],
        point: frame.point(frame.corners()[n]),
        at: corners[n],
        weight: 1.0,
    });
    let camera = camera.fitted(&ties, &[1e3; 6], lens)?;
    let off = ties.map(|it| {
        camera
            .see(&it.point)
            .map(|seen| plane::distance(seen, it.at))
    });
    let squares = off.into_iter().map(|it| it.map(|it| it * it));
    let sum: Option<f64> = squares.sum();
    sum.map(|it| (it / 4.0).sqrt())
}

/// The surest of those that lie on each other.
fn apart(mut found: Vec<Outline>) -> Vec<Outline> {
    let sure = |it: &Outline| it.shown - 0.5 * it.off;
    found.sort_by(|a, b| sure(b).total_cmp(&sure(a)));
    let mut kept: Vec<Outline> = Vec::new();
    for it in found {
        let middle =
            |it: &Outline| [0, 1].map(|n| it.corners.iter().map(|at| at[n]).sum::<f64>() / 4.0);
        let size = |it: &Outline| plane::distance(it.corners[0], it.corners[2]);
        let same = |other: &&Outline| {
            plane::distance(middle(other), middle(&it)) < 0.35 * size(other).max(size(&it))
        };
        if !kept.iter().any(|other| same(&other)) {
            kept.push(it);
        }
    }
    kept
}
