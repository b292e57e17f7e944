//! A rectangle of known size on a side of the piece.

use serde::Serialize;

use crate::plane::Xy;

/// A rectangle on a side, mm from the side's top left corner as one looks straight at it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FaceRect {
    /// Its top left corner: to the right, down.
    pub at: Xy,
    /// Its width and height.
    pub size: Xy,
}

impl FaceRect {
    /// Its corners: top left, top right, bottom right, bottom left.
    #[must_use]
    pub fn corners(&self) -> [Xy; 4] {
        let ([x, y], [w, h]) = (self.at, self.size);
        [[x, y], [x + w, y], [x + w, y + h], [x, y + h]]
    }
}
