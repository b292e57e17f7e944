//! Faces of a piece and what is drawn on them, in millimetres.

use crate::tongue::Saying;
use crate::trade::entry::kind::Face;

/// A rectangle in millimetres on its face: left, top, width, height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rect {
    /// From the left edge of the face.
    pub(crate) x: f64,
    /// From the upper edge of the face.
    pub(crate) y: f64,
    /// Width.
    pub(crate) w: f64,
    /// Height.
    pub(crate) h: f64,
}

/// With what line something is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    /// The outer edge of a body.
    Edge,
    /// Something on it.
    Line,
    /// Something that lies behind or is only hinted at.
    Hint,
}

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shape {
    /// Its corners.
    pub(crate) points: Vec<[f64; 2]>,
    /// Whether the last corner is joined to the first.
    pub(crate) closed: bool,
    /// Its line.
    pub(crate) ink: Ink,
}

/// A face laid flat.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Sheet {
    /// Which.
    pub(crate) face: Face,
    /// Width, mm.
    pub(crate) w: f64,
    /// Height, mm.
    pub(crate) h: f64,
    /// What is drawn on it, in order.
    pub(crate) shapes: Vec<Shape>,
    /// Round things such as knobs: middle and radius, mm.
    pub(crate) dots: Vec<[f64; 3]>,
    /// Short words on it, such as `D3`: left end and foot, mm.
    pub(crate) words: Vec<([f64; 2], Saying)>,
    /// Where parts are, by a name such as `drawer-3` or `leg-front-left`.
    pub(crate) slots: Vec<(String, Rect)>,
}

impl Rect {
    /// From its four numbers.
    pub(crate) fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    /// Its middle.
    pub(crate) fn middle(self) -> [f64; 2] {
        [self.x + self.w / 2.0, self.y + self.h / 2.0]
    }

    /// Whether a point lies on it.
    pub(crate) fn holds(self, [x, y]: [f64; 2]) -> bool {
        x >= self.x && x <= self.x + self.w && y >= self.y && y <= self.y + self.h
    }

    /// How far a point lies from it; 0 on it.
    pub(crate) fn distance(self, [x, y]: [f64; 2]) -> f64 {
        let beyond = |at: f64, from: f64, size: f64| (from - at).max(at - from - size).max(0.0);
        beyond(x, self.x, self.w).hypot(beyond(y, self.y, self.h))
    }

    /// The smallest that holds points.
    pub(crate) fn around(points: &[[f64; 2]]) -> Self {
        let of = |n: usize, start: f64, pick: fn(f64, f64) -> f64| {
            points.iter().map(|it| it[n]).fold(start, pick)
        };
        let [x, y] = [0, 1].map(|n| of(n, f64::INFINITY, f64::min));
        let [right, foot] = [0, 1].map(|n| of(n, f64::NEG_INFINITY, f64::max));
        Self::new(x, y, right - x, foot - y)
    }

    /// Smaller by `by` on every side, never less than nothing.
    pub(crate) fn inset(self, by: f64) -> Self {
        let (w, h) = ((self.w - 2.0 * by).max(0.0), (self.h - 2.0 * by).max(0.0));
        Self::new(self.x + by, self.y + by, w, h)
    }
}

impl Sheet {
    /// A blank face.
    pub(crate) fn new(face: Face, w: f64, h: f64) -> Self {
        Self {
            face,
            w,
            h,
            shapes: Vec::new(),
            dots: Vec::new(),
            words: Vec::new(),
            slots: Vec::new(),
        }
    }

    /// Draws a rectangle.
    pub(crate) fn rect(&mut self, rect: Rect, ink: Ink) {
        let Rect { x, y, w, h } = rect;
        self.closed(&[[x, y], [x + w, y], [x + w, y + h], [x, y + h]], ink);
    }

    /// Draws a closed outline.
    pub(crate) fn closed(&mut self, points: &[[f64; 2]], ink: Ink) {
        self.shapes.push(Shape {
            points: points.to_vec(),
            closed: true,
            ink,
        });
    }

    /// Draws a line.
    pub(crate) fn line(&mut self, from: [f64; 2], to: [f64; 2], ink: Ink) {
        self.shapes.push(Shape {
            points: vec![from, to],
            closed: false,
            ink,
        });
    }

    /// Says where a part is.
    pub(crate) fn slot(&mut self, name: impl Into<String>, rect: Rect) {
        self.slots.push((name.into(), rect));
    }

    /// Draws a rectangle and says that it is a part.
    pub(crate) fn part(&mut self, name: impl Into<String>, rect: Rect, ink: Ink) {
        self.rect(rect, ink);
        self.slot(name, rect);
    }
}
