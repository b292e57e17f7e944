//! The pictures a page asks for.

use crate::assess::places::straight::ASPECT_MOST;
use crate::assess::places::straight::Frame;
use crate::assess::places::straight::SURROUNDINGS;
use crate::assess::places::straight::Side;
use crate::model::ids::PartId;
use crate::model::region::Region;

/// One picture of one photo.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Crop {
    /// Number of the photo.
    pub photo: u32,
    /// What of it.
    pub kind: ShotKind,
}

/// What of a photo a picture shows.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ShotKind {
    /// All of it, small, for the list of pictures.
    Thumb,
    /// All of it, for the cover, for pairs, and to open full size.
    Large,
    /// The surroundings of a mark, as [`detail_area`] says.
    Detail {
        /// Index of the mark in the photo's sidecar.
        mark: usize,
    },
    /// The same, small, for the list at a glance.
    Mini {
        /// Index of the mark in the photo's sidecar.
        mark: usize,
    },
    /// A rectangle of a face, set straight.
    Straight(StraightCut),
}

/// A rectangle of a face as it lies in a photo, to be set straight.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StraightCut {
    /// The face.
    face: PartId,
    /// Left, top, width and height on it, tenths of a mm.
    rect: [i64; 4],
    /// Its corners in the upright photo, thousandths of a percent, top left first; they may lie outside it.
    corners: [[i64; 2]; 4],
    /// Pixels that its longer side has at most.
    long_side: u32,
    /// Whether it is the surroundings of a mark, and not a whole side.
    is_detail: bool,
}

impl StraightCut {
    /// A frame as one photo shows it.
    #[must_use]
    pub fn of(frame: &Frame, side: &Side) -> Self {
        let [_, _, w, h] = frame.rect_mm;
        Self {
            face: frame.face.clone(),
            rect: frame.rect_mm.map(|it| (it * 10.0).round() as i64),
            corners: side
                .corners
                .map(|it| it.map(|it| (it * 1e3).round() as i64)),
            long_side: (frame.px_per_mm * w.max(h)).ceil().clamp(1.0, 1e4) as u32,
            is_detail: side.outline.is_some(),
        }
    }

    /// Whether it is the surroundings of a mark, and not a whole side.
    #[must_use]
    pub fn is_detail(&self) -> bool {
        self.is_detail
    }

    /// The corners in percent of the upright photo.
    #[must_use]
    pub fn corners(&self) -> [[f64; 2]; 4] {
        self.corners.map(|it| it.map(|it| it as f64 / 1e3))
    }

    /// Width and height in pixels, the longer at most `most`.
    #[must_use]
    pub fn size(&self, most: u32) -> (u32, u32) {
        let [_, _, w, h] = self.rect.map(|it| it.max(1) as f64);
        let long = f64::from(self.long_side.min(most));
        let side = |it: f64| (it / w.max(h) * long).round().max(1.0) as u32;
        (side(w), side(h))
    }

    /// Such as `top-0x120-2400x1800`.
    #[must_use]
    pub fn name(&self) -> String {
        let [x, y, w, h] = self.rect;
        let face = self.face.to_string().replace('/', "-");
        format!("{face}-{x}x{y}-{w}x{h}")
    }
}

/// Share of the long side that a detail shows at least.
const LEAST_SHARE: f64 = 0.18;

impl Crop {
    /// Its file beside a page packed as a folder, such as `pictures/12.jpg`.
    #[must_use]
    pub fn file_name(&self) -> String {
        match &self.kind {
            ShotKind::Thumb => format!("pictures/{}-small.jpg", self.photo),
            ShotKind::Large => format!("pictures/{}.jpg", self.photo),
            ShotKind::Detail { mark } => format!("pictures/{}-mark-{}.jpg", self.photo, mark + 1),
            ShotKind::Mini { mark } => {
                format!("pictures/{}-mark-{}-small.jpg", self.photo, mark + 1)
            }
            ShotKind::Straight(cut) => format!("pictures/{}-{}.jpg", self.photo, cut.name()),
        }
    }
}

/// The part of a photo that a detail shows: left, top, width, height in percent of the upright photo.
///
/// It holds the whole region with its surroundings, is at least 18 % of the long side each way, no longer than
/// 4:3 either way, and lies inside the photo; where these cannot all be had, the aspect gives way first.
/// `width` and `height` are those of the upright photo in pixels.
#[must_use]
pub fn detail_area(region: &Region, width: u32, height: u32) -> [f64; 4] {
    let (across, down) = (f64::from(width.max(1)), f64::from(height.max(1)));
    let [x, y, w, h] = region.bounds();
    let (w, h) = (w / 100.0 * across, h / 100.0 * down);
    let (middle_x, middle_y) = (x / 100.0 * across + w / 2.0, y / 100.0 * down + h / 2.0);
    let least = LEAST_SHARE * across.max(down);
    let (mut wide, mut high) = ((w * SURROUNDINGS).max(least), (h * SURROUNDINGS).max(least));
    wide = wide.max(high / ASPECT_MOST).min(across);
    high = high.max(wide / ASPECT_MOST).min(down);
    // The photo may have cut one side short; then the other gives way as far as the region lets it.
    wide = wide.min((high * ASPECT_MOST).max(w));
    high = high.min((wide * ASPECT_MOST).max(h));
    let left = (middle_x - wide / 2.0).clamp(0.0, across - wide);
    let top = (middle_y - high / 2.0).clamp(0.0, down - high);
    [
        left / across * 100.0,
        top / down * 100.0,
        wide / across * 100.0,
        high / down * 100.0,
    ]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::detail_area;
    use crate::model::region::Region;

    proptest! {
        #[test]
        fn a_detail_holds_its_region_inside_the_photo(
            x in 0.0..99.0, y in 0.0..99.0, w in 0.0..1.0, h in 0.0..1.0, width in 1_u32..6000, height in 1_u32..6000,
        ) {
            let (w, h) = ((100.0 - x) * w + 1e-6, (100.0 - y) * h + 1e-6);
            let [left, top, wide, high] = detail_area(&Region::Box([x, y, w, h]), width, height);
            prop_assert!(left >= 0.0 && top >= 0.0 && left + wide <= 100.0 + 1e-9 && top + high <= 100.0 + 1e-9);
            prop_assert!(left <= x + 1e-9 && top <= y + 1e-9 && left + wide >= x + w - 1e-6 && top + high >= y + h - 1e-6);
        }

        #[test]
        fn small_regions_get_a_calm_frame(x in 0.0..95.0, y in 0.0..95.0) {
            let [_, _, wide, high] = detail_area(&Region::Box([x, y, 5.0, 5.0]), 4000, 3000);
            let (wide, high) = (wide * 40.0, high * 30.0);
            prop_assert!(wide >= 719.9 && high >= 719.9, "{wide} {high}");
            prop_assert!((0.7499..=1.3334).contains(&(wide / high)), "{wide} {high}");
        }
    }
}
