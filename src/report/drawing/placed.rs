//! Places of findings, and what no picture shows, on the sheets of the drawing.

use crate::assess::assessment::Assessment;
use crate::assess::faces::flat_faces;
use crate::assess::faces::part_place;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::assess::findings::finding::Finding;
use crate::assess::places::coverage::Coverage;
use crate::trade::entry::kind::Face;

/// The shape of a finding on a sheet, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Region {
    /// The sheet.
    pub(super) face: Face,
    /// Its points.
    pub(super) points: Vec<[f64; 2]>,
    /// Whether it is an area.
    pub(super) closed: bool,
}

/// Where a finding lies on the drawing, to scale; `None` without a place, or on a face that is not drawn to scale.
pub(super) fn region(
    assessment: &Assessment,
    shape: &PieceShape,
    sheets: &[Sheet],
    finding: &Finding,
) -> Option<Region> {
    shape.drawable_size()?;
    let place = finding.place.as_ref()?;
    let closed = place.is_area();
    if let Some(face) = flat_faces::side(&place.face) {
        sheets.iter().find(|it| it.face == face)?;
        let points = place.outline_mm.clone();
        return Some(Region {
            face,
            points,
            closed,
        });
    }
    // A part is drawn in plain proportions: its places are drawn in the same.
    let mut laid = assessment.places.faces.iter();
    let size = laid.find(|it| it.face == place.face)?.rect.size;
    let (face, slot) = part_place::of_part(shape, sheets, &place.face)?;
    let on = |[x, y]: &[f64; 2]| [slot.x + x / size[0] * slot.w, slot.y + y / size[1] * slot.h];
    Some(Region {
        face,
        points: place.outline_mm.iter().map(on).collect(),
        closed,
    })
}

/// The squares of a side that no laid picture shows, mm.
pub(super) fn unseen(coverage: &Coverage) -> Vec<Rect> {
    let rect = coverage.rect;
    let (w, h) = (
        rect.size[0] / coverage.columns as f64,
        rect.size[1] / coverage.rows as f64,
    );
    let blank = coverage
        .cells
        .iter()
        .enumerate()
        .filter(|it| it.1.is_none());
    blank
        .map(|(n, _)| {
            let (column, row) = (n % coverage.columns, n / coverage.columns);
            Rect::new(
                rect.at[0] + column as f64 * w,
                rect.at[1] + row as f64 * h,
                w,
                h,
            )
        })
        .collect()
}
