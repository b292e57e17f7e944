//! The small box with a number beside an outline.

use serde::Serialize;

use crate::model::region::Point;

/// Height of the small box, CSS pixels.
const TAG_HIGH: i32 = 20;

/// The box with the number; its corner in percent, its offset in CSS pixels.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct TagView {
    /// Left to right, percent.
    pub(in crate::report) x: String,
    /// Top to bottom, percent.
    pub(in crate::report) y: String,
    /// Offset of the box, pixels.
    pub(in crate::report) dx: i32,
    /// Offset of the box, pixels.
    pub(in crate::report) dy: i32,
    /// Width of the box, pixels.
    pub(in crate::report) width: i32,
    /// Middle of the text, pixels.
    pub(in crate::report) middle: i32,
    /// Foot of the text, pixels.
    pub(in crate::report) foot: i32,
    /// The number.
    pub(in crate::report) text: String,
}

impl TagView {
    /// Above the outline's left end, or below it near the upper edge; kept off the right edge.
    pub(in crate::report) fn new(
        text: &str,
        [left, top]: Point,
        [right, bottom]: Point,
        clear: i32,
    ) -> Self {
        let letters = i32::try_from(text.chars().count()).unwrap_or(0);
        let width = 10 + 9 * letters;
        let (y, dy) = match top < 14.0 {
            true => (bottom.min(88.0), clear),
            false => (top, -TAG_HIGH - clear),
        };
        let (x, dx) = match left > 80.0 {
            true => (right.min(100.0), -width),
            false => (left.max(0.0), 0),
        };
        Self {
            x: percent(x),
            y: percent(y),
            dx,
            dy,
            width,
            middle: dx + width / 2,
            foot: dy + 15,
            text: text.to_owned(),
        }
    }
}

/// A number for a coordinate: two decimals at most.
pub(in crate::report) fn percent(number: f64) -> String {
    let text = format!("{number:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}
