//! The size of the picture that is measured in.

/// The size of an upright picture in px.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
}

impl Picture {
    pub(crate) fn px(self) -> [f64; 2] {
        [f64::from(self.width), f64::from(self.height)]
    }
}
