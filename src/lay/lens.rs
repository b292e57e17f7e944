//! The lens of a picture: its focal length, and how much it bends straight lines.

use plane::Xy;
use serde::Deserialize;
use serde::Serialize;

/// What is known of the lens of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
pub struct Lens {
    /// Focal length, px of this picture.
    pub focal: f64,
    /// Standard deviation of its logarithm: 0.012 where the camera wrote it, 0.1 where it is guessed.
    pub unsure: f64,
    /// Where the optical axis meets the picture, px from the outer corner of its first pixel. Of a picture that was not cut
    /// it is the middle.
    pub centre: Xy,
    /// How much it bends straight lines: k1 of D. C. Brown, Close-Range Camera Calibration (1971), with the focal length as the
    /// unit: a point at r comes to lie at r (1 + k1 r^2). 0 where nothing is known.
    pub bend: f64,
}

/// The lens of a 35 mm camera, mm: what most phones have (common practice, no source).
const USUAL_FOCAL: f64 = 26.0;
/// The diagonal of a 35 mm frame, mm: 36 x 24.
const DIAGONAL: f64 = 43.267;

impl Lens {
    /// The lens of a whole picture of this size, px, from the focal length that a 35 mm camera would have, mm, where the
    /// camera wrote it (Exif 2.32, tag `FocalLengthIn35mmFilm`).
    #[must_use]
    pub fn of_whole(width: usize, height: usize, as_35mm: Option<f64>) -> Self {
        let (width, height) = (width as f64, height as f64);
        let written = as_35mm.filter(|it| (8.0..1000.0).contains(it));
        Self {
            focal: width.hypot(height) * written.unwrap_or(USUAL_FOCAL) / DIAGONAL,
            unsure: if written.is_some() { 0.012 } else { 0.1 },
            centre: [width / 2.0, height / 2.0],
            bend: 0.0,
        }
    }

    /// Where a point of a straight picture lies in the picture as the lens made it, px.
    #[must_use]
    pub fn bent(&self, at: Xy) -> Xy {
        let from = self.off_axis(at);
        let by = self.moved(from);
        self.at(from.map(|it| it * by))
    }

    /// The way back of [`Lens::bent`].
    #[must_use]
    pub fn straight(&self, at: Xy) -> Xy {
        let bent = self.off_axis(at);
        let mut from = bent;
        for _ in 0..8 {
            let by = self.moved(from);
            from = bent.map(|it| it / by);
        }
        self.at(from)
    }

    /// How much farther out a point comes to lie. No picture reaches beyond 45 degrees, where the model would turn back: there
    /// it stays as it is at its border.
    fn moved(&self, [x, y]: Xy) -> f64 {
        1.0 + self.bend * (x * x + y * y).min(1.0)
    }

    fn off_axis(&self, at: Xy) -> Xy {
        [0, 1].map(|n| (at[n] - self.centre[n]) / self.focal)
    }

    fn at(&self, from: Xy) -> Xy {
        [0, 1].map(|n| self.centre[n] + self.focal * from[n])
    }
}

/// From px counted from the outer corner of the first pixel to px counted from its centre.
pub(crate) fn index([x, y]: Xy) -> Xy {
    [x - 0.5, y - 0.5]
}

/// The way back of [`index`].
pub(crate) fn continuous([x, y]: Xy) -> Xy {
    [x + 0.5, y + 0.5]
}
