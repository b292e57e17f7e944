//! Chests, cabinets, wardrobes, desks with a body, and lidded boxes, in plain proportions.

use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::faces::sheet::Ink;
use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::model::piece::Size;
use crate::tongue::say;
use crate::trade::entry::kind::Face;

/// The measures of a body on its legs, mm.
struct Body {
    size: Size,
    /// Thickness of the top.
    top: f64,
    /// How far the top stands out.
    over: f64,
    /// Height of legs, feet or base.
    stand: f64,
    /// Width of a leg or foot.
    post: f64,
    /// Width of the front frame.
    frame: f64,
}

impl Body {
    fn new(scene: &PieceShape, size: Size) -> Self {
        let (h, w) = (size.height_mm, size.width_mm);
        let (stand, post) = match scene.stands_on.as_str() {
            "leg" => ((0.21 * h).min(240.0), (0.06 * w).min(62.0)),
            "foot" => ((0.1 * h).min(120.0), (0.09 * w).min(95.0)),
            _ => ((0.09 * h).min(100.0), 0.0),
        };
        Self {
            size,
            top: (0.03 * h).clamp(0.01 * h, 34.0),
            over: (0.02 * w).min(24.0),
            stand,
            post,
            frame: (0.022 * w).min(24.0),
        }
    }

    /// The body on a face `w` wide, without top and stand.
    fn on(&self, w: f64) -> Rect {
        let h = self.size.height_mm - self.top - self.stand;
        Rect::new(self.over, self.top, w - 2.0 * self.over, h)
    }
}

/// A case: top, body, drawers and doors, stand.
pub(crate) fn case(scene: &PieceShape, size: Size) -> Vec<Sheet> {
    let body = Body::new(scene, size);
    let mut front = upright(scene, &body, Face::Front);
    fill_front(scene, &body, &mut front);
    let mut back = upright(scene, &body, Face::Back);
    let panel = body.on(size.width_mm).inset(body.frame);
    back.part("back-panel", panel, Ink::Line);
    vec![
        front,
        upright(scene, &body, Face::Left),
        upright(scene, &body, Face::Right),
        back,
        top(&body, "top"),
        under(scene, &body),
    ]
}

/// A lidded box: the lid is what a case's top is.
pub(crate) fn lidded(scene: &PieceShape, size: Size) -> Vec<Sheet> {
    let mut body = Body::new(scene, size);
    body.top = (0.16 * size.height_mm).min(110.0);
    body.over = (0.008 * size.width_mm).min(10.0);
    let mut front = upright(scene, &body, Face::Front);
    let whole = body.on(size.width_mm);
    let lock = Rect::new(whole.middle()[0] - 28.0, body.top - 14.0, 56.0, 74.0);
    if scene.has_seen("lid/lock") {
        front.part("lock", lock, Ink::Line);
    }
    fill_front(scene, &body, &mut front);
    vec![
        front,
        upright(scene, &body, Face::Left),
        upright(scene, &body, Face::Right),
        upright(scene, &body, Face::Back),
        top(&body, "lid"),
        under(scene, &body),
    ]
}

/// A standing face: the edge of the top, the body, the stand.
fn upright(scene: &PieceShape, body: &Body, face: Face) -> Sheet {
    let size = body.size;
    let w = match face {
        Face::Left | Face::Right => size.depth_mm,
        _ => size.width_mm,
    };
    let mut sheet = Sheet::new(face, w, size.height_mm);
    let whole = body.on(w);
    stand(scene, body, &mut sheet);
    sheet.part("body", whole, Ink::Edge);
    sheet.rect(Rect::new(0.0, 0.0, w, body.top), Ink::Edge);
    sheet
}

fn stand(scene: &PieceShape, body: &Body, sheet: &mut Sheet) {
    let (w, y) = (sheet.w, body.size.height_mm - body.stand);
    if body.post == 0.0 {
        let plinth = Rect::new(body.over / 2.0, y, w - body.over, body.stand);
        sheet.rect(plinth, Ink::Edge);
        if sheet.face == Face::Front {
            sheet.slot("base", plinth);
        }
        return;
    }
    let left = Rect::new(body.over, y, body.post, body.stand);
    let right = Rect::new(w - body.over - body.post, y, body.post, body.stand);
    let names = match sheet.face {
        Face::Front => ["front-left", "front-right"],
        // Seen from behind, the piece's left stands at the right.
        Face::Back => ["back-right", "back-left"],
        _ => ["", ""],
    };
    for (name, rect) in names.into_iter().zip([left, right]) {
        if !scene.lacks(&format!("{}-{name}", scene.stands_on)) {
            sheet.part(name, rect, Ink::Edge);
        }
    }
}

/// Drawers in their rows, doors below or instead, bare shelves when there is neither.
fn fill_front(scene: &PieceShape, body: &Body, front: &mut Sheet) {
    let whole = body.on(body.size.width_mm);
    front.slot("frame", Rect::new(whole.x, whole.y, whole.w, body.frame));
    let open = whole.inset(body.frame);
    let (doors, shelves) = (number(scene, "door"), number(scene, "shelf"));
    let rows = scene.drawer_rows.iter().filter(|it| **it > 0).count();
    let share = match (rows, doors) {
        (0, _) => 0.0,
        (_, 0) => 1.0,
        (rows, _) => (0.16 * f64::from(u32::try_from(rows).unwrap_or(1))).min(0.5),
    };
    let gap = if share > 0.0 && share < 1.0 {
        body.frame
    } else {
        0.0
    };
    let high = open.h * share;
    drawers(
        scene,
        Rect {
            h: high - gap,
            ..open
        },
        body.frame,
        front,
    );
    let rest = Rect::new(open.x, open.y + high, open.w, open.h - high);
    if doors > 0 {
        for n in 0..doors {
            let w = (rest.w - body.frame * 0.3 * f64::from(doors - 1)) / f64::from(doors);
            let x = rest.x + f64::from(n) * (w + body.frame * 0.3);
            let door = Rect::new(x, rest.y, w, rest.h);
            front.part(format!("door-{}", n + 1), door, Ink::Line);
        }
    } else if share == 0.0 {
        for n in 1..=shelves {
            let y = rest.y + rest.h * f64::from(n) / f64::from(shelves + 1);
            let board = Rect::new(rest.x, y - 9.0, rest.w, 18.0);
            front.part(format!("shelf-{n}"), board, Ink::Line);
        }
    }
}

/// Rows share the height, lower rows a little taller; drawers are numbered from the top, left before right.
pub(crate) fn drawers(scene: &PieceShape, area: Rect, gap: f64, front: &mut Sheet) {
    let rows: Vec<_> = scene.drawer_rows.iter().filter(|it| **it > 0).collect();
    let Some(gaps) = rows.len().checked_sub(1) else {
        return;
    };
    let weight = |row: usize| 1.0 + 0.1 * row as f64;
    let weights: f64 = (0..rows.len()).map(weight).sum();
    let unit = (area.h - gap * gaps as f64) / weights;
    let (mut y, mut no) = (area.y, 1);
    for (row, across) in rows.iter().enumerate() {
        let h = unit * weight(row);
        let w = (area.w - gap * f64::from(**across - 1)) / f64::from(**across);
        for n in 0..**across {
            let x = area.x + f64::from(n) * (w + gap);
            drawer(scene, front, no, Rect::new(x, y, w, h));
            no += 1;
        }
        y += h + gap;
    }
}

/// Places of pulls on the width of a drawer, by the names of the parts.
const PULLS: [(&str, f64); 3] = [("pull-left", 0.17), ("pull", 0.5), ("pull-right", 0.83)];

/// A drawer that is there, with those of its fittings that were seen.
fn drawer(scene: &PieceShape, front: &mut Sheet, no: u32, rect: Rect) {
    let name = format!("drawer-{no}");
    if scene.lacks(&name) {
        front.slot(name, rect);
        return;
    }
    front.part(name.clone(), rect, Ink::Line);
    let size = 0.09 * rect.h.min(rect.w);
    let middle = rect.y + rect.h / 2.0;
    let seen = PULLS
        .iter()
        .filter(|it| scene.has_seen(&format!("{name}/{}", it.0)));
    for (_, share) in seen {
        front.dots.push([rect.x + rect.w * share, middle, size]);
    }
    let fittings = ["lock", "keyhole"];
    if fittings
        .iter()
        .any(|it| scene.has_seen(&format!("{name}/{it}")))
    {
        // The upright stroke of a keyhole, above where a pull may be.
        let x = rect.x + rect.w / 2.0;
        let high = 0.12 * rect.h;
        front.line([x, rect.y + high], [x, rect.y + 2.0 * high], Ink::Line);
    }
    front.words.push(([rect.x, rect.y], say::plan_drawer(no)));
}

fn top(body: &Body, name: &str) -> Sheet {
    let (w, h) = (body.size.width_mm, body.size.depth_mm);
    let mut sheet = Sheet::new(Face::Top, w, h);
    sheet.part(name, Rect::new(0.0, 0.0, w, h), Ink::Edge);
    sheet.slot("body", Rect::new(0.0, 0.0, w, h));
    sheet
}

/// Seen from below, front edge above, left at the left.
fn under(scene: &PieceShape, body: &Body) -> Sheet {
    let (w, h) = (body.size.width_mm, body.size.depth_mm);
    let mut sheet = Sheet::new(Face::Under, w, h);
    let whole = Rect::new(0.0, 0.0, w, h);
    sheet.rect(whole, Ink::Edge);
    let inner = whole.inset(body.over);
    sheet.part("body", inner, Ink::Line);
    if body.post > 0.0 {
        let post = match scene.stands_on.as_str() {
            "leg" => body.post * 0.8,
            _ => body.post,
        };
        for x in [inner.x, inner.x + inner.w - post] {
            for y in [inner.y, inner.y + inner.h - post] {
                sheet.rect(Rect::new(x, y, post, post), Ink::Line);
            }
        }
    }
    sheet
}

/// How many parts of a kind the scene has; only whole parts count.
pub(crate) fn number(scene: &PieceShape, kind: &str) -> u32 {
    let of_kind = scene.parts.iter().filter(|it| {
        let name = it.part.as_str();
        let rest = name.strip_prefix(kind);
        !it.part.is_inner() && rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    });
    u32::try_from(of_kind.count()).unwrap_or(0)
}
