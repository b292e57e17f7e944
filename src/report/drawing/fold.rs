//! How the faces are laid out: unfolded round the front on a wide page, in two columns on a narrow one.

use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::trade::entry::kind::Face;

/// Space round and between faces, and the line for their names, in units of the drawing.
const EDGE: f64 = 8.0;
const GAP: f64 = 18.0;
const NAME: f64 = 22.0;
/// Height to which a drawing may grow.
const HIGHEST: f64 = 900.0;

/// A layout.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    /// Width, units.
    pub(super) w: f64,
    /// Height, units.
    pub(super) h: f64,
    /// Units a millimetre.
    pub(super) scale: f64,
    /// Upper left corner of each face.
    pub(super) corners: Vec<(Face, [f64; 2])>,
}

impl Layout {
    /// Columns and rows of faces in `width` units; `None` in a cell is blank.
    pub(super) fn new(sheets: &[Sheet], rows: &[&[Option<Face>]], width: f64) -> Self {
        let find = |face: Option<Face>| sheets.iter().find(|it| Some(it.face) == face);
        let across = |cell: &Option<Face>| find(*cell).map_or(0.0, |it| it.w);
        let down = |row: &&[Option<Face>]| {
            let tall = row.iter().map(|it| find(*it).map_or(0.0, |it| it.h));
            tall.fold(0.0, f64::max)
        };
        let columns = rows.iter().map(|it| it.len()).max().unwrap_or(0);
        let wide = |n: usize| {
            let cells = rows.iter().filter_map(|row| row.get(n));
            cells.map(across).fold(0.0, f64::max)
        };
        let widths: Vec<f64> = (0..columns).map(wide).collect();
        let heights: Vec<f64> = rows.iter().map(down).collect();
        let (sum_w, sum_h): (f64, f64) = (widths.iter().sum(), heights.iter().sum());
        let gaps = GAP * columns.saturating_sub(1) as f64;
        let by_width = (width - 2.0 * EDGE - gaps) / sum_w.max(1.0);
        let by_height = HIGHEST / sum_h.max(1.0);
        let scale = by_width.min(by_height);
        let left = (width - sum_w * scale - gaps) / 2.0;
        let mut corners = Vec::new();
        let mut y = EDGE;
        for (row, high) in rows.iter().zip(&heights) {
            let mut x = left;
            y += NAME;
            for (cell, wide) in row.iter().zip(&widths) {
                if let Some(sheet) = find(*cell) {
                    // A top's front edge lies on the front; everything else hangs from its upper edge.
                    let drop = (high - sheet.h) * scale;
                    let drop = if sheet.face == Face::Under { 0.0 } else { drop };
                    corners.push((sheet.face, [x, y + drop]));
                }
                x += wide * scale + GAP;
            }
            y += high * scale;
        }
        Self {
            w: width,
            h: y + EDGE,
            scale,
            corners,
        }
    }

    /// Left, front, right and back in a row; top above the front, underside below it.
    pub(super) fn wide(sheets: &[Sheet]) -> Self {
        use Face::Back;
        use Face::Front;
        use Face::Left;
        use Face::Right;
        use Face::Top;
        use Face::Under;
        let rows: [&[Option<Face>]; 3] = [
            &[None, Some(Top), None, None],
            &[Some(Left), Some(Front), Some(Right), Some(Back)],
            &[None, Some(Under), None, None],
        ];
        Self::new(sheets, &rows, 960.0)
    }

    /// Two columns: beside the front its right side, beside the back the left side, as they are joined.
    pub(super) fn narrow(sheets: &[Sheet]) -> Self {
        let rows: [&[Option<Face>]; 4] = [
            &[Some(Face::Top), None],
            &[Some(Face::Front), Some(Face::Right)],
            &[Some(Face::Back), Some(Face::Left)],
            &[Some(Face::Under), None],
        ];
        Self::new(sheets, &rows, 360.0)
    }

    /// Where a rectangle of a face comes to lie.
    pub(super) fn place(&self, face: Face, rect: Rect) -> Rect {
        let [x, y] = self.point(face, [rect.x, rect.y]);
        Rect::new(x, y, rect.w * self.scale, rect.h * self.scale)
    }

    /// Where a point of a face comes to lie.
    pub(super) fn point(&self, face: Face, [x, y]: [f64; 2]) -> [f64; 2] {
        let corner = self.corners.iter().find(|it| it.0 == face);
        let [left, top] = corner.map_or([0.0, 0.0], |it| it.1);
        [left + x * self.scale, top + y * self.scale]
    }
}
