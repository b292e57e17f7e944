//! Whether a camera could have seen a rectangle of known size so, and from which direction it did.
//!
//! A map from a plane to a picture is that of a camera (square pixels, its axis through the middle of the picture) with focal length
//! f when it keeps the axes of the plane at right angles and equally long (`laid`; Hartley and Zisserman, 2nd edition, section 8.8).
//! What the map lacks is told as the least movement of the four corners that mends it. The normal of the face is the cross
//! product of the first two columns of the calibrated map (the same, example 8.1; Zhang, A flexible new technique for camera
//! calibration, 2000, section 3.1).

use crate::compare::ruler::laid;
use crate::compare::ruler::lying::Lying;
use crate::plane::Xy;
use crate::plane::distance;

/// Diagonal of a frame of 35 mm film, mm: what the focal length in Exif is told against (CIPA DCG-001; from memory).
const FILM: f64 = 43.2666;

/// Focal length of most pictures without Exif, mm on film: a telephone's main lens (common practice, no source), and its spread as
/// a logarithm.
const USUAL: (f64, f64) = (26.0, 0.35);

/// What Exif says is rounded to whole mm and may leave a crop unsaid; its spread as a logarithm.
const TOLD: f64 = 0.05;

/// Corners that need more than this to be those of a camera are wrong, as a part of the picture's longer edge ...
const MOST: f64 = 16.0 / 1600.0;

/// ... or as a part of the shortest edge between them, whichever is less.
const MOST_OF_EDGE: f64 = 0.15;

/// How many standard deviations of the focal length are allowed for.
const REACH: f64 = 4.0;

/// Steps between them.
const STEPS: u32 = 40;

/// The camera of one picture before a face.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    /// The normal of the face, and what takes a point of the side (mm) to its direction from the camera.
    normal: [f64; 3],
    rays: [[f64; 3]; 3],
    /// How far the corners would have to move, px.
    movement: f64,
    most: f64,
}

impl Camera {
    /// The camera that saw a face so; `focal_35mm` as in Exif.
    #[must_use]
    pub fn of(lying: &Lying, focal_35mm: Option<u32>) -> Self {
        let [w, h] = lying.px();
        let (mm, spread) = match focal_35mm.filter(|it| *it > 0) {
            Some(mm) => (f64::from(mm), TOLD),
            None => USUAL,
        };
        let expected = mm / FILM * w.hypot(h);
        let (span, corners) = lying.span_px();
        let about = corners.map(|[x, y]| [x - w / 2.0, y - h / 2.0]);
        let edges = [0, 1, 2, 3].map(|n| distance(corners[n], corners[(n + 1) % 4]));
        let shortest = edges.into_iter().fold(f64::INFINITY, f64::min);
        let long_edge = w.max(h);
        let tries = (0..=STEPS).map(|n| {
            let off = REACH * (2.0 * f64::from(n) / f64::from(STEPS) - 1.0);
            (off, expected * (off * spread).exp())
        });
        let found = laid::movements(&about, span.size, tries.map(|it| (it.1, it.0)));
        let found = found.unwrap_or_default();
        let click = long_edge / 1600.0;
        let cost = |it: &(f64, f64, f64)| (it.2 / click).powi(2) + it.1 * it.1;
        let best = found.iter().min_by(|a, b| cost(a).total_cmp(&cost(b)));
        let movement = found.iter().map(|it| it.2).fold(f64::INFINITY, f64::min);
        let focal = best.map_or(expected, |it| it.0);
        let rows = lying.map().rows();
        let front = lying.front();
        let rays = [
            [0, 1, 2].map(|k| front * (rows[0][k] - w / 2.0 * rows[2][k]) / focal),
            [0, 1, 2].map(|k| front * (rows[1][k] - h / 2.0 * rows[2][k]) / focal),
            rows[2].map(|it| front * it),
        ];
        let column = |k: usize| rays.map(|row| row[k]);
        Self {
            normal: cross(column(0), column(1)),
            rays,
            movement,
            most: (MOST * long_edge).min(MOST_OF_EDGE * shortest),
        }
    }

    /// How far the corners would have to move to be what a camera sees of a rectangle of this size, px of the picture.
    #[must_use]
    pub fn movement(&self) -> f64 {
        self.movement
    }

    /// Whether no camera sees a rectangle of this size so.
    #[must_use]
    pub fn is_impossible(&self) -> bool {
        self.movement.is_nan() || self.movement > self.most
    }

    /// The angle between the line of sight to a point of the side (mm) and the normal of the face, degrees.
    #[must_use]
    pub fn angle_deg(&self, [x, y]: Xy) -> f64 {
        let ray = self.rays.map(|[a, b, c]| a * x + b * y + c);
        let cosine = dot(self.normal, ray).abs() / (length(self.normal) * length(ray));
        cosine.clamp(0.0, 1.0).acos().to_degrees()
    }
}

/// The camera that saw a face so, or how far in px its corners are from what any camera sees.
///
/// # Errors
/// When no camera could have.
pub fn checked(lying: &Lying, focal_35mm: Option<u32>) -> Result<Camera, f64> {
    let camera = Camera::of(lying, focal_35mm);
    match camera.is_impossible() {
        true => Err(camera.movement),
        false => Ok(camera),
    }
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|n| a[(n + 1) % 3] * b[(n + 2) % 3] - a[(n + 2) % 3] * b[(n + 1) % 3])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}
