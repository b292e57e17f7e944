//! Tables, seats and beds, in plain proportions.

use crate::assess::faces::case::drawers;
use crate::assess::faces::piece_shape::PartShape;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::faces::sheet::Ink;
use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::model::piece::Size;
use crate::trade::entry::kind::Face;

/// The rail between two legs, near the floor.
pub(super) const STRETCHER: &str = "stretcher";

/// The four standing faces with their width.
fn standing(size: Size) -> [(Face, f64); 4] {
    [
        (Face::Front, size.width_mm),
        (Face::Left, size.depth_mm),
        (Face::Right, size.depth_mm),
        (Face::Back, size.width_mm),
    ]
}

/// Names of the legs at the left and at the right of a face.
fn leg_names(face: Face) -> [&'static str; 2] {
    match face {
        Face::Front => ["front-left", "front-right"],
        Face::Back => ["back-right", "back-left"],
        _ => ["", ""],
    }
}

/// Straight posts: nothing on record tells the form of a leg.
fn legs(sheet: &mut Sheet, y: f64, from_edge: f64, w: f64) {
    let h = sheet.h - y;
    let [left, right] = leg_names(sheet.face);
    let at_right = sheet.w - from_edge - w;
    sheet.part(left, Rect::new(from_edge, y, w, h), Ink::Edge);
    sheet.part(right, Rect::new(at_right, y, w, h), Ink::Edge);
}

/// Between the legs, low: where stretchers run, drawn where one is on the list.
fn stretchers(scene: &PieceShape, sheet: &mut Sheet, inset: f64) {
    let (w, h) = (sheet.w - 2.0 * inset, sheet.h);
    let rail = Rect::new(inset, 0.82 * h, w, 0.035 * h);
    let is = |part: &PartShape| part.part.as_str().contains(STRETCHER);
    if scene.parts.iter().any(|it| is(it) && it.face == sheet.face) {
        sheet.part(STRETCHER, rail, Ink::Line);
    }
}

/// A flat face: top or underside.
fn flat(face: Face, size: Size, name: &str) -> Sheet {
    let whole = Rect::new(0.0, 0.0, size.width_mm, size.depth_mm);
    let mut sheet = Sheet::new(face, whole.w, whole.h);
    sheet.part(name, whole, Ink::Edge);
    sheet.slot("body", whole);
    sheet
}

fn under(size: Size, post: f64, from_edge: f64) -> Sheet {
    let mut sheet = flat(Face::Under, size, "underside");
    for x in [from_edge, size.width_mm - from_edge - post] {
        for y in [from_edge, size.depth_mm - from_edge - post] {
            sheet.rect(Rect::new(x, y, post, post), Ink::Line);
        }
    }
    sheet
}

/// A table: top, apron with its drawers, four legs.
pub(crate) fn table(scene: &PieceShape, size: Size) -> Vec<Sheet> {
    let h = size.height_mm;
    let (slab, apron) = ((0.04 * h).min(32.0), (0.16 * h).min(130.0));
    let (edge, post) = (0.03 * size.width_mm, (0.07 * size.width_mm).min(70.0));
    let mut sheets = Vec::new();
    for (face, w) in standing(size) {
        let mut sheet = Sheet::new(face, w, h);
        legs(&mut sheet, slab, edge, post);
        let rail = Rect::new(edge, slab, w - 2.0 * edge, apron);
        sheet.part("body", rail, Ink::Edge);
        sheet.slot("apron", rail);
        stretchers(scene, &mut sheet, edge + post);
        if face == Face::Front {
            let inner = Rect::new(edge + post, slab, rail.w - 2.0 * post, apron);
            drawers(scene, inner.inset(0.12 * apron), 16.0, &mut sheet);
        }
        sheet.rect(Rect::new(0.0, 0.0, w, slab), Ink::Edge);
        sheets.push(sheet);
    }
    sheets.push(flat(Face::Top, size, "top"));
    sheets.push(under(size, post, edge));
    sheets
}

/// A chair: seat at half height, back above it.
pub(crate) fn seat(scene: &PieceShape, size: Size) -> Vec<Sheet> {
    let h = size.height_mm;
    let (seat, board) = ((0.52 * h).max(h - 470.0), 0.06 * h);
    let post = (0.09 * size.width_mm).min(45.0);
    let mut sheets = Vec::new();
    for (face, w) in standing(size) {
        let mut sheet = Sheet::new(face, w, h);
        legs(&mut sheet, seat, 0.0, post);
        let rail = Rect::new(0.0, seat, w, board);
        let filling = Rect::new(post, 0.03 * h, w - 2.0 * post, seat - 0.16 * h);
        match face {
            Face::Left | Face::Right => {
                let x = if face == Face::Left { 0.0 } else { w - post };
                sheet.rect(Rect::new(x, 0.0, post, seat), Ink::Edge);
            }
            _ => {
                let [left, right] = leg_names(Face::Back);
                let mut posts = [(0.0, left), (w - post, right)];
                if face == Face::Front {
                    posts = [(0.0, ""), (w - post, "")];
                }
                for (x, name) in posts {
                    let name = if name.is_empty() {
                        String::new()
                    } else {
                        format!("post-{name}")
                    };
                    sheet.part(name, Rect::new(x, 0.0, post, seat), Ink::Edge);
                }
                let ink = if face == Face::Back {
                    Ink::Line
                } else {
                    Ink::Hint
                };
                sheet.rect(filling, ink);
                if face == Face::Back {
                    sheet.slot("back-filling", filling);
                }
            }
        }
        sheet.part("body", rail, Ink::Edge);
        sheet.slot("seat-rail", rail);
        stretchers(scene, &mut sheet, post);
        sheets.push(sheet);
    }
    let mut top = flat(Face::Top, size, "seat");
    top.rect(Rect::new(0.0, 0.0, size.width_mm, post), Ink::Line);
    sheets.push(top);
    sheets.push(under(size, post, 0.0));
    sheets
}

/// A bed: head at the back, foot at the front, a rail along each side.
pub(crate) fn bed(size: Size) -> Vec<Sheet> {
    let h = size.height_mm;
    let (foot, post) = (0.6 * h, (0.05 * size.width_mm).min(80.0));
    let rail_y = h - (0.42 * h).min(420.0);
    let mut sheets = Vec::new();
    for (face, w) in standing(size) {
        let mut sheet = Sheet::new(face, w, h);
        match face {
            Face::Front | Face::Back => {
                let (name, tall) = match face {
                    Face::Front => ("footboard", foot),
                    _ => ("headboard", h),
                };
                let y = h - tall;
                let low = Rect::new(0.0, y, w, tall - 0.14 * h);
                legs(&mut sheet, h - 0.14 * h, 0.0, post);
                sheet.part(name, low, Ink::Edge);
                sheet.slot("body", low);
            }
            _ => {
                // The foot end lies toward the front: at the right of the left side, at the left of the right one.
                let tall = if face == Face::Left {
                    [h, foot]
                } else {
                    [foot, h]
                };
                sheet.rect(Rect::new(0.0, h - tall[0], post, tall[0]), Ink::Edge);
                sheet.rect(Rect::new(w - post, h - tall[1], post, tall[1]), Ink::Edge);
                let rail = Rect::new(post, rail_y, w - 2.0 * post, 0.17 * h);
                sheet.part("bed-rail", rail, Ink::Edge);
                sheet.slot("body", rail);
            }
        }
        sheets.push(sheet);
    }
    sheets.push(flat(Face::Top, size, "slat"));
    sheets.push(under(size, post, 0.0));
    sheets
}

#[cfg(test)]
mod tests {
    use super::seat;
    use super::table;
    use crate::assess::faces::part_place::of_part;
    use crate::assess::faces::piece_shape::PartShape;
    use crate::assess::faces::piece_shape::PieceShape;
    use crate::model::piece::Size;
    use crate::trade::entry::kind::Face;

    #[test]
    fn a_stretcher_lies_between_the_legs_near_the_floor() {
        let part = PartShape {
            part: "stretcher-left".parse().unwrap(),
            label: "Stretcher, left".to_owned(),
            face: Face::Left,
        };
        let shape = PieceShape {
            parts: vec![part.clone()],
            ..PieceShape::default()
        };
        let size = Size {
            height_mm: 800.0,
            width_mm: 500.0,
            depth_mm: 400.0,
        };
        for sheets in [table(&shape, size), seat(&shape, size)] {
            let (face, rect) = of_part(&shape, &sheets, &part.part).unwrap();
            assert_eq!(face, Face::Left);
            assert!(rect.y > 0.7 * size.height_mm, "{rect:?}");
        }
    }
}
