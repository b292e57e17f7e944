//! The stored size of a picture, from its header, before anything is decoded.

use std::io::Cursor;

use heifer::heifer_isobmff::HeifFile;
use image::ImageDecoder as _;
use image::ImageFormat;
use image::ImageReader;

use crate::model::facts::Format;
use crate::photo::Limits;
use crate::photo::PhotoError;
use crate::photo::jpeg;

/// Reads width and height as stored; see [`crate::photo::pixels`].
pub(crate) fn pixels(
    bytes: &[u8],
    format: Format,
    limits: Limits,
) -> Result<(u32, u32), PhotoError> {
    let (width, height) = match format {
        Format::Jpeg => jpeg::header(bytes).map(|it| (it.width, it.height))?,
        Format::Heic | Format::Avif => heif(bytes)?,
        Format::Png => plain(bytes, ImageFormat::Png)?,
        Format::Webp => plain(bytes, ImageFormat::WebP)?,
        Format::Tiff => plain(bytes, ImageFormat::Tiff)?,
    };
    let pixels = u64::from(width) * u64::from(height);
    if pixels == 0 {
        return Err(PhotoError::Broken("it has no pixels".to_owned()));
    }
    if pixels > limits.max_pixels {
        return Err(PhotoError::TooManyPixels {
            width,
            height,
            pixels,
            limit: limits.max_pixels,
        });
    }
    Ok((width, height))
}

fn plain(bytes: &[u8], format: ImageFormat) -> Result<(u32, u32), PhotoError> {
    let reader = ImageReader::with_format(Cursor::new(bytes), format);
    let decoder = reader.into_decoder().map_err(broken)?;
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

/// Makes an error of what a decoder said.
pub(crate) fn broken(why: impl std::fmt::Display) -> PhotoError {
    PhotoError::Broken(why.to_string())
}
