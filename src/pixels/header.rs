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
use crate::raw;
use crate::sniff::EXPORT;

/// Reads width and height as stored; see [`crate::stored_size`].
pub(crate) fn stored_size(
    bytes: &[u8],
    format: Format,
    limits: Limits,
) -> Result<(u32, u32), PhotoError> {
    let (width, height) = match format {
        Format::Jpeg => jpeg::header(bytes).map(|it| (it.width, it.height))?,
        Format::Raw => jpeg::header(raw::shown(bytes, format)?).map(|it| (it.width, it.height))?,
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
    let least = bytes.len() as u64 + least(bytes, format, pixels);
    if least > HEAVIEST {
        return Err(too_heavy(least));
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

/// Bytes that a picture and its file may take together while it is read; with the program itself that is 400 MB.
pub(crate) const HEAVIEST: u64 = 370_000_000;

/// The bytes that reading a picture takes at the least, beside its file; of what can be read in rows none are counted here.
fn least(bytes: &[u8], format: Format, pixels: u64) -> u64 {
    // The reader of the camera's facts takes a copy of such a file.
    let copy = bytes.len() as u64;
    match format {
        Format::Jpeg => of_jpeg(bytes, pixels),
        Format::Raw => copy.max(raw::shown(bytes, format).map_or(0, |it| of_jpeg(it, pixels))),
        Format::Heic | Format::Avif => 4 * pixels,
        // One for brightness and a half for colours, beside what comes out.
        Format::Webp => 9 * pixels / 2,
        Format::Tiff => copy,
        Format::Png => 0,
    }
}

/// Of one that is coded in sequence as much as it takes read at half its size, in brightness and colours first, then in red, green and blue.
fn of_jpeg(bytes: &[u8], pixels: u64) -> u64 {
    match jpeg::header(bytes).map_or(0, |it| it.held) {
        0 => 9 * pixels / 8,
        held => 3 * pixels + held,
    }
}

/// What is said of a picture that takes so many bytes.
pub(crate) fn too_heavy(bytes: u64) -> PhotoError {
    PhotoError::TooHeavy(bytes.div_ceil(1_000_000))
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

#[cfg(test)]
mod tests {
    use super::stored_size;
    use crate::Format;
    use crate::Limits;
    use crate::PhotoError;

    /// A JPEG that says it has so many pixels, at once or in passes.
    fn claiming(width: u16, height: u16, frame: u8) -> Vec<u8> {
        let mut bytes = samples::jpeg_bare(16, 16);
        let at = bytes.windows(2).position(|it| it == [0xff, 0xc0]).unwrap();
        bytes[at + 1] = frame;
        bytes[at + 5..at + 7].copy_from_slice(&height.to_be_bytes());
        bytes[at + 7..at + 9].copy_from_slice(&width.to_be_bytes());
        bytes
    }

    #[test]
    fn what_does_not_fit_into_the_memory_is_refused_from_the_header() {
        let read = |frame| {
            let bytes = claiming(12_000, 9_000, frame);
            stored_size(&bytes, Format::Jpeg, Limits::default())
        };
        assert_eq!(read(0xc0), Ok((12_000, 9_000)));
        let phone = claiming(16_320, 12_240, 0xc0);
        let size = stored_size(&phone, Format::Jpeg, Limits::default());
        assert_eq!(size, Ok((16_320, 12_240)));
        // In passes all coefficients are held as well: two bytes for each of the three colours of a pixel.
        let said = read(0xc2).unwrap_err();
        assert_eq!(said, PhotoError::TooHeavy(973));
        assert!(said.to_string().contains("973 MB"), "{said}");
    }
}
