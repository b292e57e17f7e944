//! How much of a place on a side lies in a picture, how large, and how squarely it is seen.

use serde::Serialize;

use crate::compare::ruler::camera::Camera;
use crate::compare::ruler::lying::Drawn;
use crate::compare::ruler::lying::Lying;
use crate::compare::ruler::lying::middle;
use crate::compare::shape::hull_round;
use crate::plane::Xy;
use crate::plane::distance;
use crate::plane::turn;

/// A line and a spot are drawn without a width: they are taken to be so wide, mm (a scratch; common practice, no source).
pub const THIN: f64 = 1.0;

/// How much of a place lies in a picture's frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Share {
    /// Nothing of it.
    None,
    /// Some of it.
    Part,
    /// All of it.
    All,
}

/// How a place is seen in a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// How much of it lies in the frame.
    pub share: Share,
    /// Whether all of it lies in the frame even where it is off by its uncertainty.
    pub surely_all: bool,
    /// Pixels per mm at its middle; 0 where that lies behind the camera.
    pub px_per_mm: f64,
    /// How many px its smaller side has.
    pub smaller_px: f64,
    /// Between the line of sight and the normal of the face at its middle, degrees.
    pub angle_deg: f64,
    /// Its points in px; `None` where it reaches behind the camera.
    pub region_px: Option<Vec<Xy>>,
}

/// How a place (points on the side in mm, off by at most `uncertainty`) is seen in a picture.
#[must_use]
pub fn seen(lying: &Lying, camera: &Camera, kind: Drawn, place: &[Xy], uncertainty: f64) -> Seen {
    let region_px: Option<Vec<Xy>> = place.iter().map(|it| lying.to_px(*it)).collect();
    let at = middle(place);
    let before = lying.to_px(at).is_some();
    let [most, least] = lying.scales(at).filter(|_| before).unwrap_or_default();
    let smaller_px = match (kind, &region_px) {
        (Drawn::Area, Some(points)) => smaller_side(points),
        (Drawn::Area, None) => 0.0,
        (Drawn::Line | Drawn::Spot, _) => THIN * least,
    };
    let surely_all = region_px.as_ref().is_some_and(|points| {
        let safe = |(mm, px): (&Xy, &Xy)| {
            let margin = lying
                .scales(*mm)
                .map_or(f64::INFINITY, |it| it[0] * uncertainty);
            (0..2).all(|n| px[n] >= margin && px[n] <= lying.px()[n] - margin)
        };
        place.iter().zip(points).all(safe)
    });
    Seen {
        share: share(lying, kind, place),
        surely_all,
        px_per_mm: (most * least).sqrt(),
        smaller_px,
        angle_deg: camera.angle_deg(at),
        region_px,
    }
}

/// The least width of a shape: between two lines side by side that hold it, of which one runs along an edge of its hull.
pub(crate) fn smaller_side(points: &[Xy]) -> f64 {
    let corners = hull_round(points);
    let next = corners.iter().cycle().skip(1);
    let widths = corners.iter().zip(next).filter_map(|(a, b)| {
        let long = distance(*a, *b);
        let apart = corners.iter().map(|it| turn(*a, *b, *it).abs() / long);
        (long > 0.0).then(|| apart.fold(0.0, f64::max))
    });
    let least = widths.fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

/// How much of a shape lies in the frame: it is cut along the edges of the frame and along the plane of the camera in homogeneous
/// coordinates, so that what lies behind the camera is cut off first (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
fn share(lying: &Lying, kind: Drawn, place: &[Xy]) -> Share {
    let rows = lying.map().rows();
    let front = lying.front();
    let full = |[x, y]: &Xy| rows.map(|[a, b, c]| front * (a * x + b * y + c));
    let mut points: Vec<[f64; 3]> = place.iter().map(full).collect();
    let [w, h] = lying.px();
    let size = points.iter().map(|it| it[2].abs()).fold(0.0, f64::max);
    let insides: [Inside<'_>; 5] = [
        &|it| it[2] - 1e-9 * size,
        &|it| it[0],
        &|it| w * it[2] - it[0],
        &|it| it[1],
        &|it| h * it[2] - it[1],
    ];
    let all = points
        .iter()
        .all(|it| insides.iter().all(|inside| inside(it) >= 0.0));
    if all {
        return Share::All;
    }
    for inside in insides {
        points = match kind {
            Drawn::Area => cut(&points, inside, true),
            Drawn::Line => cut(&points, inside, false),
            Drawn::Spot => Vec::new(),
        };
    }
    match points.is_empty() {
        true => Share::None,
        false => Share::Part,
    }
}

/// How far a point in homogeneous coordinates lies inside an edge; below 0 outside.
type Inside<'a> = &'a dyn Fn(&[f64; 3]) -> f64;

/// What of a closed or open run of points lies inside.
fn cut(points: &[[f64; 3]], inside: Inside<'_>, closed: bool) -> Vec<[f64; 3]> {
    let mut kept = Vec::new();
    for (n, here) in points.iter().enumerate() {
        let at = inside(here);
        let before = match n.checked_sub(1) {
            Some(before) => Some(&points[before]),
            None if closed => points.last(),
            None => None,
        };
        if let Some(before) = before {
            let was = inside(before);
            if (was >= 0.0) != (at >= 0.0) {
                let t = was / (was - at);
                kept.push([0, 1, 2].map(|k| before[k] + t * (here[k] - before[k])));
            }
        }
        if at >= 0.0 {
            kept.push(*here);
        }
    }
    kept
}
