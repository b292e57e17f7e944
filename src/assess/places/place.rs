//! Where on the piece a mark lies, and a finding: its region carried onto a laid face.

use serde::Serialize;

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::places::laid_faces::LaidFaces;
use crate::assess::places::rounded::hundredth;
use crate::assess::places::rounded::points;
use crate::assess::places::rounded::tenth;
use crate::assess::timeline::Timeline;
use crate::compare::ruler::lying::Drawn;
use crate::compare::ruler::lying::middle;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::region::Region;

/// So far beyond the laid rectangle, as a share of its longer side, the middle of a mark may lie and still be on the face.
const BEYOND: f64 = 0.05;

/// So near the edge of its picture, percent, a region ends at it.
const AT_EDGE: f64 = 0.15;

/// Where on the piece something lies; only a mark on a laid face makes one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Place {
    /// The face.
    pub face: PartId,
    /// Its points on the face: mm from the top left corner to the right and down, as one looks straight at it.
    #[serde(serialize_with = "points")]
    pub outline_mm: Vec<[f64; 2]>,
    /// By how much a point of it may be off, mm, k = 2.
    #[serde(serialize_with = "tenth")]
    pub uncertainty_mm: f64,
    /// Where it was drawn.
    pub from: MarkAt,
    /// Pixels per mm there.
    #[serde(serialize_with = "hundredth")]
    pub px_per_mm: f64,
    /// What was drawn.
    #[serde(skip)]
    pub(crate) kind: Drawn,
    /// Pixels per mm in the direction in which it has fewest.
    #[serde(skip)]
    least_px_per_mm: f64,
    /// Whether it ends at the edge of its picture.
    #[serde(skip)]
    is_cut_off: bool,
}

impl Place {
    /// Left, top, width and height on the face, mm.
    #[must_use]
    pub fn bounds(&self) -> [f64; 4] {
        let of = |n: usize, start: f64, pick: fn(f64, f64) -> f64| {
            self.outline_mm.iter().map(|it| it[n]).fold(start, pick)
        };
        let low = [0, 1].map(|n| of(n, f64::INFINITY, f64::min));
        let high = [0, 1].map(|n| of(n, f64::NEG_INFINITY, f64::max));
        [low[0], low[1], high[0] - low[0], high[1] - low[1]]
    }

    /// Whether it is an area, and not a line or a spot.
    #[must_use]
    pub fn is_area(&self) -> bool {
        self.kind == Drawn::Area
    }

    /// Whether it is a line.
    #[must_use]
    pub fn is_line(&self) -> bool {
        self.kind == Drawn::Line
    }

    /// Whether it ends at the edge of its picture, and may go on beyond.
    #[must_use]
    pub fn is_cut_off(&self) -> bool {
        self.is_cut_off
    }

    /// Its middle on the face, mm.
    #[must_use]
    pub fn middle_mm(&self) -> [f64; 2] {
        middle(&self.outline_mm)
    }

    /// How far its middle lies from that of another place on the face, mm.
    pub(crate) fn middles_apart(&self, other: &Self) -> f64 {
        let [a, b] = [self.middle_mm(), other.middle_mm()];
        (a[0] - b[0]).hypot(a[1] - b[1])
    }

    /// Its points as a closed run: a line is one there and back.
    pub(crate) fn round(&self) -> Vec<[f64; 2]> {
        let mut points = self.outline_mm.clone();
        if self.kind == Drawn::Line {
            let back = points.len().saturating_sub(1);
            let again: Vec<[f64; 2]> = points[..back].iter().rev().copied().collect();
            points.extend(again);
        }
        points
    }
}

/// What carries marks of a piece onto its faces.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Carrier<'a> {
    /// The shape of the piece.
    pub(crate) shape: &'a PieceShape,
    /// Its laid faces.
    pub(crate) laid: &'a LaidFaces,
}

impl<'a> Carrier<'a> {
    /// With the shape of a piece and its laid faces.
    pub(crate) fn new(shape: &'a PieceShape, laid: &'a LaidFaces) -> Self {
        Self { shape, laid }
    }

    /// The place of a mark of this part: on the nearest face of the part that is laid in its photo; `None` where none is, where the mark
    /// has no region, or where that does not lie on the face.
    pub(crate) fn of_mark(&self, at: MarkAt, mark: &Mark, part: &PartId) -> Option<Place> {
        let region = mark.region.as_ref()?;
        if self.laid.in_photo(at.photo).is_empty() {
            return None;
        }
        let faces = flat_faces::of_part(self.shape, part);
        let view = faces.iter().find_map(|it| self.laid.view(at.photo, it))?;
        let carried = view.lying.carried(region)?;
        let (rect, [x, y]) = (view.lying.rect(), middle(&carried.outline));
        let slack = carried.uncertainty + BEYOND * rect.size[0].max(rect.size[1]);
        let beyond = |at: f64, from: f64, size: f64| at < from - slack || at > from + size + slack;
        if beyond(x, rect.at[0], rect.size[0]) || beyond(y, rect.at[1], rect.size[1]) {
            return None;
        }
        Some(Place {
            face: view.face.clone(),
            outline_mm: carried.outline,
            uncertainty_mm: carried.uncertainty,
            from: at,
            px_per_mm: carried.px_per_mm,
            kind: carried.kind,
            least_px_per_mm: carried.least_px_per_mm,
            is_cut_off: is_cut_off(region),
        })
    }

    /// The places of the marks of a finding that say something of it, in the order of time.
    pub(crate) fn of_marks(
        &self,
        time: &Timeline<'_>,
        part: &PartId,
        history: &[Sighting],
    ) -> Vec<(MarkState, Place)> {
        let marks = history.iter().flat_map(|it| &it.marks);
        let places = marks.filter_map(|at| {
            let mark = time.mark(*at)?;
            let silent = !mark.state.tells();
            let place = (!silent).then(|| self.of_mark(*at, mark, part))??;
            Some((mark.state, place))
        });
        places.collect()
    }
}

/// The place of a finding: that of the mark that shows the fault, is not cut off by the edge of its picture, and has most pixels on it
/// in the direction in which it has fewest; a condition that no mark meets is left out.
pub(crate) fn best(places: &[(MarkState, Place)]) -> Option<&Place> {
    let best = places.iter().max_by(|(one, a), (other, b)| {
        let [a_told, b_told] =
            [(one, a), (other, b)].map(|(state, it)| (state.is_there(), !it.is_cut_off));
        let pixels = a.least_px_per_mm.total_cmp(&b.least_px_per_mm);
        a_told.cmp(&b_told).then(pixels)
    });
    best.map(|it| &it.1)
}

/// Whether a region ends at the edge of its picture, so that more of it may lie outside.
fn is_cut_off(region: &Region) -> bool {
    let [x, y, w, h] = region.bounds();
    x.min(y) < AT_EDGE || (x + w).max(y + h) > 100.0 - AT_EDGE
}
