//! How a rectangle of known size lies in a picture: what is drawn in the picture comes onto it in mm, and back.
//!
//! Standard uncertainties (GUM, as in `ruler`): a corner that a hand sets is off by 1.5 px of a picture of 1600 in x and in y
//! (measured by nobody yet: from the figure of 2 px in all that is asked of a hand with a loupe), a drawn point by 1 px (as in
//! `ruler`), and what the camera left of its lens moves a point between the corners by 1 px of 1600 where the face fills the
//! picture, by the square of that share where it fills less (radial distortion grows with the distance from the middle; telephones
//! correct their lens, and what they leave is common practice, no source).

use crate::compare::budget::CLICK;
use crate::compare::budget::K;
use crate::compare::picture::Picture;
use crate::compare::ruler::face_rect::FaceRect;
use crate::model::face::Lie;
use crate::model::region::Region;
use crate::plane::Degenerate;
use crate::plane::Homography;
use crate::plane::Xy;
use crate::plane::distance;
use crate::plane::turn;

/// Standard uncertainty of a face's corner in x and in y, as a part of the picture's longer edge.
pub const CORNER: f64 = 1.5 / 1600.0;

/// The same for what is left of the lens, where the face fills the picture.
const LENS: f64 = 1.0 / 1600.0;

/// A rectangle of known size as it lies in one picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Lying {
    rect: FaceRect,
    /// What of it the known points span: all of it where it is laid by its corners.
    span: FaceRect,
    px: Xy,
    /// Points known on the side (mm) and in the picture (px).
    known: Vec<(Xy, Xy)>,
    to_px: Homography,
    to_mm: Homography,
    /// The sign of the third coordinate of what lies before the camera.
    front: f64,
}

/// A shape carried onto a side.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// What was drawn.
    pub kind: Drawn,
    /// Its points on the side, mm.
    pub outline: Vec<Xy>,
    /// By how much a point of it may be off, mm, k = 2.
    pub uncertainty: f64,
    /// Pixels of the picture per mm of the side at its middle.
    pub px_per_mm: f64,
    /// The same in the direction in which it has fewest.
    pub least_px_per_mm: f64,
}

/// What was drawn: a line and a spot have no width of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    /// A closed outline, or a box.
    Area,
    /// An open line.
    Line,
    /// One point.
    Spot,
}

impl Lying {
    /// The rectangle `rect` as it is laid in a picture.
    ///
    /// # Errors
    /// When the points determine no map of a plane that lies before the camera and is seen from its outside.
    pub fn of(lie: &Lie, rect: FaceRect, picture: Picture) -> Result<Self, Degenerate> {
        let px = picture.px();
        let in_px = |it: Xy| [it[0] * px[0] / 100.0, it[1] * px[1] / 100.0];
        let known: Vec<(Xy, Xy)> = match lie {
            Lie::Corners(corners) => {
                let corners = corners.iter().map(|it| in_px(*it));
                rect.corners().into_iter().zip(corners).collect()
            }
            Lie::Points(points) => {
                let on_side = |it: Xy| [it[0] + rect.at[0], it[1] + rect.at[1]];
                points
                    .iter()
                    .map(|it| (on_side(it.mm), in_px(it.at)))
                    .collect()
            }
        };
        let to_px = fitted(&known)?;
        let span = match lie {
            Lie::Corners(_) => rect,
            Lie::Points(_) => around(&known),
        };
        let corners = span.corners();
        let front = to_px.weight(corners[0]).signum();
        let before = corners.iter().all(|it| to_px.weight(*it) * front > 0.0);
        let outside = corners.iter().all(|it| {
            let slopes = to_px.jacobian(*it);
            slopes.is_some_and(|[[a, b], [c, d]]| a * d - b * c > 0.0)
        });
        if !before || !outside {
            return Err(Degenerate);
        }
        Ok(Self {
            rect,
            span,
            px,
            known,
            to_mm: to_px.inverse(),
            to_px,
            front,
        })
    }

    /// The rectangle.
    #[must_use]
    pub fn rect(&self) -> FaceRect {
        self.rect
    }

    /// Width and height of the picture, px.
    #[must_use]
    pub fn px(&self) -> Xy {
        self.px
    }

    /// What of it the known points span, and its corners in px.
    pub(crate) fn span_px(&self) -> (FaceRect, [Xy; 4]) {
        // They were found to lie before the camera when the map was made.
        let corners = self.span.corners();
        (
            self.span,
            corners.map(|it| self.to_px(it).unwrap_or_default()),
        )
    }

    /// The corners of the rectangle in px, as the map has them; `None` where one lies behind the camera.
    #[must_use]
    pub fn corners_px(&self) -> Option<[Xy; 4]> {
        let [a, b, c, d] = self.rect.corners().map(|it| self.to_px(it));
        Some([a?, b?, c?, d?])
    }

    /// Where a point of the side (mm) lies in the picture, px; `None` on and behind the plane of the camera.
    #[must_use]
    pub fn to_px(&self, mm: Xy) -> Option<Xy> {
        self.to_px
            .apply(mm)
            .filter(|_| self.to_px.weight(mm) * self.front > 0.0)
    }

    /// Where a point of the picture (px) lies on the side, mm; `None` on and beyond its horizon.
    #[must_use]
    pub fn to_mm(&self, px: Xy) -> Option<Xy> {
        let mm = self.to_mm.apply(px)?;
        self.to_px(mm).map(|_| mm)
    }

    /// The map from the side (mm) to the picture (px).
    pub(crate) fn map(&self) -> &Homography {
        &self.to_px
    }

    /// The sign of the third coordinate of what lies before the camera.
    pub(crate) fn front(&self) -> f64 {
        self.front
    }

    /// How many px a mm has here: along the direction in which it has most, and least.
    pub(crate) fn scales(&self, mm: Xy) -> Option<[f64; 2]> {
        let [[a, b], [c, d]] = self.to_px.jacobian(mm)?;
        let (sum, det) = (a * a + b * b + c * c + d * d, a * d - b * c);
        let half = (sum * sum / 4.0 - det * det).max(0.0).sqrt();
        let most = (sum / 2.0 + half).sqrt();
        (most > 0.0).then(|| [most, det.abs() / most])
    }

    /// Pixels per mm at a point: the root of how many square px a square mm has.
    #[must_use]
    pub fn px_per_mm(&self, mm: Xy) -> Option<f64> {
        let [most, least] = self.scales(mm)?;
        Some((most * least).sqrt())
    }

    /// Carries a region of the picture onto the side; `None` where it reaches past the horizon.
    #[must_use]
    pub fn carried(&self, region: &Region) -> Option<Carried> {
        let (kind, points) = match region {
            Region::Box([x, y, w, h]) => {
                let (right, bottom) = (x + w, y + h);
                (
                    Drawn::Area,
                    vec![[*x, *y], [right, *y], [right, bottom], [*x, bottom]],
                )
            }
            Region::Outline(points) => (Drawn::Area, points.clone()),
            Region::Line(points) => (Drawn::Line, points.clone()),
            Region::Spot(point) => (Drawn::Spot, vec![*point]),
        };
        let [w, h] = self.px;
        let points: Vec<Xy> = points
            .iter()
            .map(|[x, y]| [x * w / 100.0, y * h / 100.0])
            .collect();
        let outline: Option<Vec<Xy>> = points.iter().map(|it| self.to_mm(*it)).collect();
        let outline = outline?;
        let [most, least] = self.scales(middle(&outline))?;
        Some(Carried {
            kind,
            uncertainty: self.uncertainty(&points, CLICK)?,
            px_per_mm: (most * least).sqrt(),
            least_px_per_mm: least,
            outline,
        })
    }

    /// By how much points of the side (mm) may be off where the picture is taken to show them, mm, k = 2: the largest of them.
    /// `None` where one lies behind the camera.
    #[must_use]
    pub fn off(&self, mm: &[Xy]) -> Option<f64> {
        let points: Option<Vec<Xy>> = mm.iter().map(|it| self.to_px(*it)).collect();
        self.uncertainty(&points?, 0.0)
    }

    /// By how much points of the picture (px) may be off on the side, mm, k = 2: the largest of them, in its worst direction. GUM
    /// equation 10, each input moved by its own standard uncertainty; `drawn` is that of a point itself, as a part of the picture's
    /// longer edge.
    fn uncertainty(&self, points: &[Xy], drawn: f64) -> Option<f64> {
        let long_edge = self.px[0].max(self.px[1]);
        let mut spreads = vec![[0.0_f64; 3]; points.len()];
        let mut add = |n: usize, [x, y]: Xy| {
            let [xx, xy, yy] = &mut spreads[n];
            *xx += x * x;
            *xy += x * y;
            *yy += y * y;
        };
        let by = CORNER * long_edge;
        for corner in 0..self.known.len() {
            for axis in 0..2 {
                let mut known = self.known.clone();
                known[corner].1[axis] += by;
                let moved = fitted(&known).ok()?.inverse();
                for (n, point) in points.iter().enumerate() {
                    let (there, here) = (moved.apply(*point)?, self.to_mm.apply(*point)?);
                    add(n, [there[0] - here[0], there[1] - here[1]]);
                }
            }
        }
        let lens = LENS * self.filled().powi(2) * long_edge;
        let click = (drawn * long_edge).hypot(lens);
        for (n, point) in points.iter().enumerate() {
            let [[a, b], [c, d]] = self.to_mm.jacobian(*point)?;
            add(n, [a * click, c * click]);
            add(n, [b * click, d * click]);
        }
        let worst = spreads.iter().map(|[xx, xy, yy]| {
            let half = ((xx - yy) / 2.0).hypot(*xy);
            f64::midpoint(*xx, *yy) + half
        });
        Some(K * worst.fold(0.0, f64::max).sqrt())
    }

    /// What share of the picture's diagonal the face's longer diagonal has; at most 1.
    fn filled(&self) -> f64 {
        let (_, [a, b, c, d]) = self.span_px();
        let diagonal = distance(a, c).max(distance(b, d));
        (diagonal / self.px[0].hypot(self.px[1])).min(1.0)
    }
}

/// The smallest rectangle that holds the known points.
fn around(known: &[(Xy, Xy)]) -> FaceRect {
    let of = |n: usize, start: f64, pick: fn(f64, f64) -> f64| {
        known.iter().map(|it| it.0[n]).fold(start, pick)
    };
    let at = [0, 1].map(|n| of(n, f64::INFINITY, f64::min));
    let end = [0, 1].map(|n| of(n, f64::NEG_INFINITY, f64::max));
    FaceRect {
        at,
        size: [end[0] - at[0], end[1] - at[1]],
    }
}

fn fitted(known: &[(Xy, Xy)]) -> Result<Homography, Degenerate> {
    let (mm, px): (Vec<Xy>, Vec<Xy>) = known.iter().copied().unzip();
    Homography::fitted(&mm, &px)
}

/// The middle of a shape: of the area that its points go round, else of the points.
#[must_use]
pub fn middle(points: &[Xy]) -> Xy {
    let count = points.len().max(1) as f64;
    let mean = [0, 1].map(|n| points.iter().map(|it| it[n]).sum::<f64>() / count);
    let next = points.iter().cycle().skip(1);
    let (mut whole, mut sum) = (0.0, [0.0; 2]);
    for (a, b) in points.iter().zip(next) {
        let area = turn(mean, *a, *b);
        whole += area;
        for n in 0..2 {
            sum[n] += area * (mean[n] + a[n] + b[n]) / 3.0;
        }
    }
    let widest = points
        .iter()
        .map(|it| distance(*it, mean))
        .fold(0.0, f64::max);
    match whole.abs() > 1e-9 * widest * widest && widest > 0.0 {
        true => sum.map(|it| it / whole),
        false => mean,
    }
}
