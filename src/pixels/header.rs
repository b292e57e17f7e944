//! The stored size of a picture, from its header, before anything is decoded.

use std::io::Cursor;

use heifer::heifer_isobmff::HeifFile;
use image::ImageDecoder as _;
use image::ImageError;
use image::ImageFormat;
use image::ImageReader;

use crate::Format;
use crate::Limits;
use crate::PhotoError;
use crate::jpeg;
use crate::sniff::EXPORT;

/// Reads width and height as stored; see [`crate::stored_size`].
pub(crate) fn stored_size(
    bytes: &[u8],
    format: Format,
    limits: Limits,
) -> Result<(u32, u32), PhotoError> {
    let (width, height) = match format {
        Format::Jpeg => jpeg::header(bytes).map(|it| (it.width, it.height))?,
        Format::Heic | Format::Avif => heif(bytes)?,
        Format::Png => match png(bytes) {
            // The decoder gives up on such a size before it tells it.
            Some((width, height)) if beyond(width, height, limits) => (width, height),
            _ => plain(bytes, ImageFormat::Png)?,
        },
        Format::Webp => plain(bytes, ImageFormat::WebP)?,
        Format::Tiff => plain(bytes, ImageFormat::Tiff)?,
    };
    let pixels = u64::from(width) * u64::from(height);
    if pixels == 0 {
        return Err(PhotoError::Broken("it has no pixels".to_owned()));
    }
    if beyond(width, height, limits) {
        return Err(PhotoError::TooManyPixels {
            width,
            height,
            pixels,
            limit: limits.max_pixels,
        });
    }
    Ok((width, height))
}

fn beyond(width: u32, height: u32, limits: Limits) -> bool {
    u64::from(width) * u64::from(height) > limits.max_pixels
}

/// What a PNG says of its size: IHDR comes first, width and height first in it (PNG specification, 5.6 and 11.2.1).
fn png(bytes: &[u8]) -> Option<(u32, u32)> {
    let head = bytes.get(12..24)?.strip_prefix(b"IHDR")?;
    let side = |at: usize| Some(u32::from_be_bytes(head.get(at..at + 4)?.try_into().ok()?));
    Some((side(0)?, side(4)?))
}

fn plain(bytes: &[u8], format: ImageFormat) -> Result<(u32, u32), PhotoError> {
    let reader = ImageReader::with_format(Cursor::new(bytes), format);
    let decoder = reader.into_decoder().map_err(unread)?;
    Ok(decoder.dimensions())
}

fn heif(bytes: &[u8]) -> Result<(u32, u32), PhotoError> {
    let file = HeifFile::parse(bytes).map_err(broken)?;
    let id = file.primary_id;
    let stated = file.image_size(id).map_err(broken)?;
    let grid = file
        .grid(id)
        .ok()
        .map(|it| (it.output_width, it.output_height));
    // Both are claims of the file; the greater one is the dangerous one.
    stated
        .into_iter()
        .chain(grid)
        .max_by_key(|(width, height)| u64::from(*width) * u64::from(*height))
        .ok_or_else(|| PhotoError::Broken("its size is missing".to_owned()))
}

/// Tells a coding that is not supported from a file that is broken.
pub(crate) fn unread(why: ImageError) -> PhotoError {
    match why {
        ImageError::Unsupported(_) => PhotoError::NotYet {
            kind: "a picture coded in this rare way",
            advice: EXPORT,
        },
        other => broken(other),
    }
}

/// Makes an error of what a decoder said.
pub(crate) fn broken(why: impl std::fmt::Display) -> PhotoError {
    let why = why.to_string();
    // What the standard library says of a file that ends too early means nothing to a reader.
    PhotoError::Broken(match why.as_str() {
        "failed to fill whole buffer" => "the file ends too early".to_owned(),
        _ => why,
    })
}
