//! Photo bytes -> facts and previews.
//!
//! In: the bytes of one photo. Out: its facts, small pictures, crops. May not know: paths, pieces.
//!
//! `sniff` tells the coding, `header` the stored size, `camera` the Exif facts; `raster` is the only
//! place that decodes, resizes and encodes; `upright` turns; `measure` takes numbers; `darkroom` joins them.

use std::panic;

use crate::kit::clock::CameraTime;
use crate::model::facts::Facts;
use crate::model::facts::Format;

mod camera;
mod darkroom;
mod header;
mod jpeg;
mod measure;
mod raster;
mod sniff;
mod upright;

#[cfg(test)]
#[path = "../../tests/it/samples.rs"]
mod samples;

pub use darkroom::Darkroom;

/// Longest side of a preview, pixels.
pub const PREVIEW_SIDE: u32 = 1600;
/// Longest side of a thumbnail, pixels.
pub const THUMB_SIDE: u32 = 320;

/// Why a photo cannot be taken in.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// No bytes at all.
    #[error("the file is empty")]
    Empty,
    /// Something else than a picture; what it looks like.
    #[error("this is not a picture; it looks like {0}")]
    NotAPicture(&'static str),
    /// A picture of a kind that cannot be read yet; its kind, and what to do.
    #[error("{kind} cannot be read yet; {advice}")]
    NotYet {
        /// The kind of picture.
        kind: &'static str,
        /// What the user can do about it.
        advice: &'static str,
    },
    /// More pixels than the limit allows.
    #[error(
        "{width} x {height} is {} megapixels; the limit is {}",
        .pixels.div_ceil(1_000_000),
        .limit / 1_000_000
    )]
    TooManyPixels {
        /// Stored width, pixels.
        width: u32,
        /// Stored height, pixels.
        height: u32,
        /// Width times height.
        pixels: u64,
        /// The limit, pixels.
        limit: u64,
    },
    /// The bytes are of a known kind, but damaged or cut off; the reason.
    #[error("the picture is broken: {0}")]
    Broken(String),
    /// The decoder panicked.
    #[error("the decoder gave up on this picture; export it as JPEG and take that one in")]
    GaveUp,
}

/// What a photo may cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most pixels a photo may have, width times height.
    pub max_pixels: u64,
}

/// 120 million pixels.
impl Default for Limits {
    fn default() -> Self {
        Self {
            max_pixels: 120_000_000,
        }
    }
}

/// A small upright picture, without metadata.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Small {
    /// The picture as a JPEG.
    pub jpeg: Vec<u8>,
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
}

/// All that one look at a photo gives.
#[derive(Clone, Debug)]
pub struct Look {
    /// The facts.
    pub facts: Facts,
    /// At most [`PREVIEW_SIDE`] pixels on the long side, quality 82.
    pub preview: Small,
    /// At most [`THUMB_SIDE`] pixels on the long side, quality 80.
    pub thumb: Small,
}

/// Tells the coding of a picture from its bytes, never from a name.
///
/// # Errors
/// When there are no bytes, they are no picture, or a kind of picture that cannot be read yet.
pub fn sniff(bytes: &[u8]) -> Result<Format, PhotoError> {
    sniff::format(bytes)
}

/// Reads width and height as stored, in pixels, from the header alone.
///
/// # Errors
/// When [`sniff`] refuses, the header is broken, or the picture has more pixels than `limits` allow.
pub fn pixels(bytes: &[u8], limits: Limits) -> Result<(u32, u32), PhotoError> {
    let format = sniff(bytes)?;
    guarded(|| header::pixels(bytes, format, limits))
}

/// Reads the camera's own time from the Exif block; decodes nothing.
#[must_use]
pub fn camera_time(bytes: &[u8]) -> Option<CameraTime> {
    let format = sniff(bytes).ok()?;
    guarded(|| Ok(camera::read(bytes, format).time))
        .ok()
        .flatten()
}

/// Runs `job`, and makes an error of a panic of a decoder.
fn guarded<T>(job: impl FnOnce() -> Result<T, PhotoError>) -> Result<T, PhotoError> {
    panic::catch_unwind(panic::AssertUnwindSafe(job)).unwrap_or(Err(PhotoError::GaveUp))
}
