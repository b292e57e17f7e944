//! A small picture, as it is kept and printed.

/// A small upright picture, without metadata.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmallPicture {
    /// The picture as a JPEG.
    pub jpeg: Vec<u8>,
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
}
