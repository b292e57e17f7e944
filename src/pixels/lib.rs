//! Picture bytes -> numbers and small pictures.
//!
//! In: the bytes of one picture. Out: its coding, its size, its Exif block, what is measured in its pixels, small
//! pictures. May not know: what is in the picture, paths, pieces.
//!
//! A crate of its own, so that it alone is compiled with full optimisation in tests.
//!
//! `sniff` tells the coding, `header` the stored size, `exif_block` finds the camera's block; `raster` is the only
//! place that decodes, resizes and encodes; `raw` finds the picture in a raw file; `jpeg::shrunk` reads a JPEG smaller while it is
//! looked through for damage, and `shown` makes the small pictures of that; `upright` turns; `measure` takes numbers; `decoder` joins them.

#![cfg_attr(
    test,
    allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")
)]

use std::panic;

use serde::Deserialize;
use serde::Serialize;

mod area;
mod colour;
mod decoder;
mod directories;
mod exif_block;
mod header;
mod jpeg;
mod measure;
mod raster;
mod raw;
mod rows;
mod shown;
mod sniff;
mod straight;
mod upright;

pub use decoder::Decoder;
pub use exif_block::ExifBlocks;

/// Longest side of a preview, pixels.
pub const PREVIEW_SIDE: u32 = 1600;
/// Longest side of a thumbnail, pixels.
pub const THUMB_SIDE: u32 = 320;

/// The coding of a photo, told from its bytes, never from its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Format {
    Jpeg,
    Heic,
    Png,
    Webp,
    Tiff,
    Avif,
    /// A camera's raw file; what is shown of it is the picture that the camera put into it.
    Raw,
}

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
        "{width} x {height} is {} megapixels; the limit is {}: \
         export it smaller and take that one in; `asfound keep` puts the file by",
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
    /// It cannot be read in the memory that the program allows itself.
    #[error(
        "it would take {0} MB of memory to read, and the limit is 370; \
         export it smaller, or as a plain JPEG, and take that one in; `asfound keep` puts the file by"
    )]
    TooHeavy(u64),
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

/// 200 million pixels, the most that phones make.
impl Default for Limits {
    fn default() -> Self {
        Self {
            max_pixels: 200_000_000,
        }
    }
}

/// What the camera says, beside the pixels, of how they are meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stated {
    /// Orientation (CIPA DC-008, tag 274), as written.
    pub orientation: Option<u16>,
    /// Whether it states Adobe RGB (the option file of DCF, JEITA CP-3461).
    pub adobe_rgb: bool,
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

/// An upright picture in grey.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grey {
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// One byte a pixel, row by row; 0 is black.
    pub values: Vec<u8>,
}

/// What the pixels of one photo give.
#[derive(Clone, Debug)]
pub struct Picture {
    /// The coding.
    pub format: Format,
    /// Width of the upright picture, pixels.
    pub width: u32,
    /// Height of the upright picture, pixels.
    pub height: u32,
    /// Whether the file ends before the picture does; only a JPEG is still shown then.
    pub cut_off: bool,
    /// Why its coded data do not fit together, if they do not; JPEG alone is looked into.
    pub damaged: Option<&'static str>,
    /// Variance of the 4-neighbour Laplacian of the grey picture at the working size `sharpness_width`.
    pub sharpness: f64,
    /// Long side of the picture in which sharpness was measured, pixels.
    pub sharpness_width: u32,
    /// Mean grey, 0 to 255.
    pub brightness: f64,
    /// Share of pixels darker than 16 of 255, 0 to 1.
    pub black_share: f64,
    /// 64-bit difference hash of the upright picture; near pictures differ in few bits.
    pub difference_hash: u64,
    /// The upright picture averaged to 16 by 16 greys, row by row.
    pub greys: [u8; 256],
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
/// When [`sniff()`] refuses, the header is broken, or the picture has more pixels than `limits` allow.
pub fn stored_size(bytes: &[u8], limits: Limits) -> Result<(u32, u32), PhotoError> {
    let format = sniff(bytes)?;
    guarded(|| header::stored_size(bytes, format, limits))
}

/// The picture that is shown of a file, as it lies there: of a camera's raw file the greatest JPEG inside it, of any other the file.
///
/// # Errors
/// When [`sniff()`] refuses, or a raw file holds no picture.
pub fn shown(bytes: &[u8]) -> Result<&[u8], PhotoError> {
    raw::shown(bytes, sniff(bytes)?)
}

/// Finds the Exif blocks of a picture; decodes nothing.
#[must_use]
pub fn exif_blocks(bytes: &[u8], format: Format) -> ExifBlocks {
    exif_block::blocks(bytes, format)
}

/// Copies a JPEG without what was written beside its picture, whose coded data stay as they are; only the orientation given
/// is written anew.
///
/// # Errors
/// When it ends before its picture does.
pub fn stripped_jpeg(bytes: &[u8], orientation: Option<u16>) -> Result<Vec<u8>, PhotoError> {
    jpeg::strip::stripped(bytes, orientation)
}

/// Puts an XMP packet into a JPEG; `None` when that is not whole, or the packet is longer than some 65,000 bytes.
#[must_use]
pub fn with_xmp(bytes: &[u8], packet: &str) -> Option<Vec<u8>> {
    jpeg::strip::with_xmp(bytes, packet)
}

/// Runs `job`, and makes an error of a panic of a decoder.
///
/// # Errors
/// Those of the job, and [`PhotoError::GaveUp`] when it panics.
pub fn guarded<T>(job: impl FnOnce() -> Result<T, PhotoError>) -> Result<T, PhotoError> {
    panic::catch_unwind(panic::AssertUnwindSafe(job)).unwrap_or(Err(PhotoError::GaveUp))
}
