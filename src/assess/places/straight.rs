//! Before and after cut from one rectangle of a face and set straight, at one scale.

use serde::Serialize;

use crate::assess::faces::flat_faces;
use crate::assess::findings::finding::Finding;
use crate::assess::places::laid_faces::LaidView;
use crate::assess::places::place::Carrier;
use crate::assess::places::place::Place;
use crate::assess::places::rounded::tenth;
use crate::assess::places::rounded::tenths;
use crate::assess::places::sight::STEEPEST;
use crate::compare::ruler::face_rect::FaceRect;
use crate::compare::ruler::lying::Drawn;
use crate::compare::straight::Cut;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::photo::Photo;
use crate::model::region::Region;

/// How much larger than a fault its picture is, so that it is seen in its surroundings.
pub const SURROUNDINGS: f64 = 2.2;
/// The shorter side of the rectangle round a place, mm, where the face is so large.
const LEAST_MM: f64 = 120.0;
/// The longer side of such a picture over the shorter one, where the face or the photo allows it.
pub const ASPECT_MOST: f64 = 4.0 / 3.0;
/// Of a whole face, so much of its longer side is shown round it.
const MARGIN: f64 = 0.02;
/// Less than this share of the rectangle in a frame makes no picture.
const LEAST_SHARE: f64 = 0.75;
/// From this angle on, degrees, a whole side is not set straight: seen flatter, its light or its neighbours are what is to be shown.
const SIDE_STEEPEST: f64 = 65.0;
/// Pictures that may lie further apart than this, percent of the longer side, do not slide over each other.
const SLIDES: f64 = 1.0;

/// A rectangle of a face, and how large it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Frame {
    /// The face.
    pub face: PartId,
    /// The rectangle on it: left, top, width, height, mm.
    #[serde(serialize_with = "tenths")]
    pub rect_mm: [f64; 4],
    /// Pixels per mm that all are shown with at most: what the best one has, or twice what the poorest one has.
    #[serde(serialize_with = "tenth")]
    pub px_per_mm: f64,
}

/// Two pictures of the same rectangle of a face, set straight.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Straight {
    /// What both show.
    #[serde(flatten)]
    pub frame: Frame,
    /// By how much a point may lie apart in the two, mm, k = 2: from the corners of the two laid faces and what is left of
    /// the lenses; no less than the marks of one finding that are drawn in both lie apart.
    #[serde(serialize_with = "tenth")]
    pub apart_mm: f64,
    /// Of the earlier picture.
    pub before: Side,
    /// Of the later one.
    pub after: Side,
}

/// A place through time: the same rectangle in every picture that shows all of the place, set straight, at one scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What all of them show.
    pub frame: Frame,
    /// The photos in the order of time.
    pub sides: Vec<(u32, Side)>,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Side {
    /// The corners of the rectangle in percent of the upright photo, top left first; they may lie outside it.
    pub corners: [[f64; 2]; 4],
    /// What is outlined, in percent of the rectangle: what was drawn in this photo; where nothing was, the place of the finding.
    #[serde(skip)]
    pub outline: Option<Region>,
}

impl Straight {
    /// How far the two may lie apart, percent of the longer side of what is shown.
    #[must_use]
    pub fn apart_percent(&self) -> f64 {
        let [_, _, w, h] = self.frame.rect_mm;
        self.apart_mm / w.max(h) * 100.0
    }

    /// The same, where marks that are drawn in both lie this far apart, mm.
    pub(crate) fn at_least(mut self, apart_mm: f64) -> Self {
        self.apart_mm = self.apart_mm.max(apart_mm);
        self
    }

    /// Whether one may slide over the other.
    #[must_use]
    pub fn slides(&self) -> bool {
        self.apart_percent() <= SLIDES
    }

    /// Round the place of a finding; `None` where the face is not laid in both, or is not seen well enough in one.
    pub(crate) fn of_finding(
        carrier: &Carrier<'_>,
        finding: &Finding,
        [before, after]: [(&Photo, Option<&Mark>); 2],
    ) -> Option<Self> {
        let place = finding.place.as_ref()?;
        let face = &place.face;
        let views = [before.0, after.0].map(|it| carrier.laid.view(it.no, face));
        let [Some(first), Some(second)] = views else {
            return None;
        };
        let rect = round(carrier, place, first);
        let mut straight = Self::of(face, rect, [first, second], STEEPEST)?;
        for (side, view, mark) in [
            (&mut straight.before, first, before.1),
            (&mut straight.after, second, after.1),
        ] {
            side.outline = outline(view, mark, place, rect);
        }
        Some(straight)
    }

    /// Of the one side that the two photos show, whole; `None` where none is laid in both, or several are: a corner view is shown
    /// for what its sides are to each other.
    pub(crate) fn of_view(carrier: &Carrier<'_>, before: &Photo, after: &Photo) -> Option<Self> {
        let sides = carrier.laid.in_photo(before.no).iter().filter_map(|first| {
            let side = flat_faces::side(&first.face)?;
            let second = carrier.laid.view(after.no, &first.face)?;
            Some((first, second, side))
        });
        let sides: Vec<_> = sides.collect();
        let [(first, second, side)] = sides.as_slice() else {
            return None;
        };
        let size = flat_faces::whole_side(carrier.shape, *side)?;
        let margin = MARGIN * size[0].max(size[1]);
        let rect = FaceRect {
            at: [-margin; 2],
            size: size.map(|it| it + 2.0 * margin),
        };
        Self::of(&first.face, rect, [first, second], SIDE_STEEPEST)
    }

    fn of(
        face: &PartId,
        rect: FaceRect,
        [first, second]: [&LaidView; 2],
        most_deg: f64,
    ) -> Option<Self> {
        let middle = [0, 1].map(|n| rect.at[n] + rect.size[n] / 2.0);
        let flat = |it: &LaidView| it.camera.angle_deg(middle) >= most_deg;
        let cuts = [first, second].map(|it| Cut::of(&it.lying, rect));
        let [Some(before), Some(after)] = cuts else {
            return None;
        };
        if flat(first) || flat(second) || before.share.min(after.share) < LEAST_SHARE {
            return None;
        }
        Some(Self {
            frame: Frame {
                face: face.clone(),
                rect_mm: [rect.at[0], rect.at[1], rect.size[0], rect.size[1]],
                px_per_mm: scale(&[before.px_per_mm, after.px_per_mm]),
            },
            apart_mm: before.off_mm.hypot(after.off_mm),
            before: Side::of(&before),
            after: Side::of(&after),
        })
    }
}

impl Side {
    fn of(cut: &Cut) -> Self {
        let corners = cut.corners.map(|it| it.map(|it| (it * 1e3).round() / 1e3));
        Self {
            corners,
            outline: None,
        }
    }
}

impl Strip {
    /// The place of a finding in these photos, each with what is marked of it there; those that do not show it well enough are left
    /// out. `None` where fewer than two are left.
    pub(crate) fn of(
        carrier: &Carrier<'_>,
        place: &Place,
        photos: &[(u32, Option<&Mark>)],
    ) -> Option<Self> {
        let view = |no: u32| carrier.laid.view(no, &place.face);
        let rect = round(carrier, place, photos.iter().find_map(|it| view(it.0))?);
        let middle = place.middle_mm();
        let shown = photos.iter().filter_map(|(no, mark)| {
            let view = view(*no).filter(|it| it.camera.angle_deg(middle) < STEEPEST)?;
            let cut = Cut::of(&view.lying, rect).filter(|it| it.share >= LEAST_SHARE)?;
            let mut side = Side::of(&cut);
            side.outline = outline(view, *mark, place, rect);
            Some((cut.px_per_mm, (*no, side)))
        });
        let (scales, sides): (Vec<f64>, Vec<(u32, Side)>) = shown.unzip();
        (sides.len() > 1).then(|| Self {
            frame: Frame {
                face: place.face.clone(),
                rect_mm: [rect.at[0], rect.at[1], rect.size[0], rect.size[1]],
                px_per_mm: scale(&scales),
            },
            sides,
        })
    }
}

/// The one scale of several pictures, px per mm.
fn scale(all: &[f64]) -> f64 {
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(0.0, f64::max);
    high.min(2.0 * low)
}

/// The rectangle round a place, kept inside its side as far as that is large enough.
fn round(carrier: &Carrier<'_>, place: &Place, view: &LaidView) -> FaceRect {
    let size =
        flat_faces::side(&place.face).and_then(|it| flat_faces::whole_side(carrier.shape, it));
    let side = size.map_or(view.lying.rect(), |size| FaceRect { at: [0.0; 2], size });
    let [x, y, w, h] = place.bounds();
    let [mut wide, mut high] = [w, h].map(|it| (it * SURROUNDINGS).max(LEAST_MM));
    wide = wide.max(high / ASPECT_MOST);
    high = high.max(wide / ASPECT_MOST);
    let fit = |at: f64, long: f64, wanted: f64, from: f64, most: f64| {
        let wanted = wanted.min(most.max(long));
        let first = at + long / 2.0 - wanted / 2.0;
        let (low, high) = (from.min(at), (from + most).max(at + long) - wanted);
        (first.clamp(low.min(high), high.max(low)), wanted)
    };
    let (left, wide) = fit(x, w, wide, side.at[0], side.size[0]);
    let (top, high) = fit(y, h, high, side.at[1], side.size[1]);
    FaceRect {
        at: [left, top],
        size: [wide, high],
    }
}

/// What is outlined in the cut, percent of it.
fn outline(view: &LaidView, mark: Option<&Mark>, place: &Place, rect: FaceRect) -> Option<Region> {
    let drawn = mark.and_then(|it| view.lying.carried(it.region.as_ref()?));
    let (kind, points) = match &drawn {
        Some(it) => (it.kind, &it.outline),
        None => (place.kind, &place.outline_mm),
    };
    let percent = |it: &[f64; 2]| [0, 1].map(|n| (it[n] - rect.at[n]) / rect.size[n] * 100.0);
    let points: Vec<[f64; 2]> = points.iter().map(percent).collect();
    Some(match kind {
        Drawn::Area => Region::Outline(points),
        Drawn::Line => Region::Line(points),
        Drawn::Spot => Region::Spot(*points.first()?),
    })
}
