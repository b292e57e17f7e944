//! The one place that decodes, resizes and encodes; another back-end would replace only this file.

use std::io::Cursor;

use image::DynamicImage;
use image::ImageDecoder as _;
use image::ImageFormat;
use image::ImageReader;
use jpeg_encoder::ChromaSubsamplingMethod;
use jpeg_encoder::ColorType;
use jpeg_encoder::Encoder;
use jpeg_encoder::EncodingError;
use jpeg_encoder::SamplingFactor;
use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use crate::Format;
use crate::Limits;
use crate::PhotoError;
use crate::area::Filter;
use crate::area::Window;
use crate::area::average;
use crate::colour;
use crate::colour::Colours;
use crate::header;
use crate::header::HEAVIEST;
use crate::header::broken;
use crate::jpeg::shrunk;
use crate::jpeg::ycc::Ycc;
use crate::raw;
use crate::rows;
use crate::upright::Rgb;

/// A decoded picture, which lies in a buffer beside it.
#[derive(Clone, Debug)]
pub(crate) struct Plate {
    /// Width, pixels.
    pub(crate) width: u32,
    /// Height, pixels.
    pub(crate) height: u32,
    /// Width and height in the file; a very great picture is made smaller while it is read.
    pub(crate) stored: (u32, u32),
    /// Bytes a pixel: 3 for RGB, 4 for RGB and a byte to ignore.
    depth: usize,
    /// In which colours it is written.
    pub(crate) colours: Colours,
    /// Why decoding stopped before the end, if it did; what lies below is grey.
    pub(crate) stopped: Option<PhotoError>,
}

/// A rectangle in whole pixels.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cut {
    /// First column.
    pub(crate) left: u32,
    /// First row.
    pub(crate) top: u32,
    /// Columns.
    pub(crate) width: u32,
    /// Rows.
    pub(crate) height: u32,
}

/// What an undecoded part of a cut-off picture shows; a used buffer would show the photo before.
const UNDECODED: u8 = 128;
/// A buffer greater than this is given back after the photo, bytes (24 megapixels).
const KEEP: usize = 72_000_000;

/// Decodes a picture into `buffer`, without turning it, except HEIC, whose boxes turn it.
pub(crate) fn decode(
    bytes: &[u8],
    format: Format,
    limits: Limits,
    buffer: &mut Vec<u8>,
) -> Result<Plate, PhotoError> {
    header::stored_size(bytes, format, limits)?;
    match format {
        Format::Jpeg | Format::Raw => jpeg(raw::shown(bytes, format)?, buffer),
        Format::Heic | Format::Avif => heic(bytes, limits, buffer),
        Format::Png => plain(bytes, ImageFormat::Png, limits, buffer),
        Format::Webp => plain(bytes, ImageFormat::WebP, limits, buffer),
        Format::Tiff => plain(bytes, ImageFormat::Tiff, limits, buffer),
    }
}

/// Gives back a buffer that a very large photo left behind.
pub(crate) fn tidy(buffer: &mut Vec<u8>) {
    if buffer.capacity() > KEEP {
        *buffer = Vec::new();
    }
}

fn jpeg_decoder(bytes: &[u8]) -> Result<JpegDecoder<ZCursor<&[u8]>>, PhotoError> {
    let side = usize::from(u16::MAX);
    let options = DecoderOptions::new_fast()
        .set_max_width(side)
        .set_max_height(side)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(broken)?;
    Ok(decoder)
}

/// In which colours a JPEG is written whose planes are brightness, or that, blueness and redness; `None` of any other.
pub(crate) fn planar_colours(bytes: &[u8]) -> Result<Option<Colours>, PhotoError> {
    let decoder = jpeg_decoder(bytes)?;
    let planar = [ColorSpace::YCbCr, ColorSpace::Luma].map(Some);
    let plain = planar.contains(&decoder.input_colorspace());
    Ok(plain.then(|| Colours::of(decoder.icc_profile())))
}

fn jpeg(bytes: &[u8], buffer: &mut Vec<u8>) -> Result<Plate, PhotoError> {
    let mut decoder = jpeg_decoder(bytes)?;
    let (width, height) = decoder
        .dimensions()
        .ok_or_else(|| broken("its size is missing"))?;
    let length = width * height * 3;
    let stored = (width as u32, height as u32);
    let whole = (bytes.len() + length) as u64;
    if whole > HEAVIEST {
        drop(decoder);
        return half_as_large(bytes, stored, buffer)?.ok_or_else(|| header::too_heavy(whole));
    }
    buffer.clear();
    if buffer.capacity() < length {
        // Growing would copy the old photo; the old memory goes first.
        *buffer = Vec::new();
        buffer.reserve_exact(length);
    }
    buffer.resize(length, UNDECODED);
    let profile = decoder.icc_profile();
    let stopped = decoder.decode_into(buffer).map_err(broken).err();
    Ok(Plate {
        width: width as u32,
        height: height as u32,
        stored,
        depth: 3,
        colours: Colours::of(profile),
        stopped,
    })
}

/// The same at half its size; `None` where it cannot be read so.
fn half_as_large(
    bytes: &[u8],
    stored: (u32, u32),
    buffer: &mut Vec<u8>,
) -> Result<Option<Plate>, PhotoError> {
    let Some(colours) = planar_colours(bytes)? else {
        return Ok(None);
    };
    *buffer = Vec::new();
    let (width, height) = (stored.0.div_ceil(2), stored.1.div_ceil(2));
    let (_, shrunk) = shrunk::read(bytes, stored, stored.0.max(stored.1) / 2);
    // What it was made of goes before the next is made.
    let small = shrunk.map(|it| Ycc::of(&it, (width, height)));
    Ok(small.map(|it| {
        *buffer = it.rgb().pixels;
        Plate {
            width,
            height,
            stored,
            depth: 3,
            colours,
            stopped: None,
        }
    }))
}

fn heic(bytes: &[u8], limits: Limits, buffer: &mut Vec<u8>) -> Result<Plate, PhotoError> {
    let options = heifer::Options {
        // Each core has a photo of its own.
        max_threads: 1,
        max_pixels: limits.max_pixels,
    };
    let image = heifer::decode_rgba8(bytes, &options).map_err(broken)?;
    let (width, height) = (image.width, image.height);
    let depth = if image.has_alpha { 3 } else { 4 };
    *buffer = image.data;
    if image.has_alpha {
        flatten(buffer);
    }
    Ok(Plate {
        width,
        height,
        stored: (width, height),
        depth,
        colours: colour::of_heif(bytes),
        stopped: None,
    })
}

fn plain(
    bytes: &[u8],
    format: ImageFormat,
    limits: Limits,
    buffer: &mut Vec<u8>,
) -> Result<Plate, PhotoError> {
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut bounds = image::Limits::default();
    // The widest pixel is 16-bit RGBA.
    bounds.max_alloc = Some(limits.max_pixels.saturating_mul(8));
    reader.limits(bounds.clone());
    let mut decoder = reader.into_decoder().map_err(header::unread)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    let anew = match decoder.color_type() {
        image::ColorType::Rgb8 | image::ColorType::Rgba8 => 0,
        it if it.has_alpha() => 4 * pixels,
        _ => 3 * pixels,
    };
    // The reader of TIFF holds its strips beside what it makes of them.
    let times = if format == ImageFormat::Tiff { 2 } else { 1 };
    let whole = bytes.len() as u64 + times * decoder.total_bytes() + anew;
    if whole > HEAVIEST && format != ImageFormat::WebP {
        let profile = decoder.icc_profile().ok().flatten();
        drop(decoder);
        let rows = match format {
            ImageFormat::Png => rows::png(bytes, whole),
            _ => rows::tiff(bytes, whole),
        }?;
        *buffer = rows.pixels;
        return Ok(Plate {
            width: rows.width,
            height: rows.height,
            stored: (width, height),
            depth: 3,
            colours: Colours::of(profile),
            stopped: None,
        });
    }
    bounds
        .reserve(decoder.total_bytes())
        .and_then(|()| decoder.set_limits(bounds))
        .map_err(header::unread)?;
    // A profile that cannot be read must not cost the picture.
    let profile = decoder.icc_profile().ok().flatten();
    let picture = DynamicImage::from_decoder(decoder).map_err(header::unread)?;
    if picture.color().has_alpha() {
        *buffer = picture.into_rgba8().into_raw();
        flatten(buffer);
    } else {
        *buffer = match picture {
            DynamicImage::ImageRgb8(it) => it.into_raw(),
            other => other.into_rgb8().into_raw(),
        };
    }
    Ok(Plate {
        width,
        height,
        stored: (width, height),
        depth: 3,
        colours: Colours::of(profile),
        stopped: None,
    })
}

/// Lays RGBA pixels on white, in place; three bytes a pixel are left.
fn flatten(buffer: &mut Vec<u8>) {
    let count = buffer.len() / 4;
    for n in 0..count {
        let alpha = u32::from(buffer[4 * n + 3]);
        for channel in 0..3 {
            let colour = u32::from(buffer[4 * n + channel]);
            let mixed = (colour * alpha + 255 * (255 - alpha) + 127) / 255;
            buffer[3 * n + channel] = mixed as u8;
        }
    }
    buffer.truncate(3 * count);
}

/// Resizes a part of a decoded picture to `width` x `height`, in sRGB.
pub(crate) fn resize(
    buffer: &[u8],
    plate: &Plate,
    cut: Cut,
    (width, height): (u32, u32),
) -> Result<Rgb, PhotoError> {
    let window = Window {
        left: cut.left as usize,
        top: cut.top as usize,
        width: cut.width as usize,
        height: cut.height as usize,
    };
    let (stride, to) = (plate.width as usize, (width as usize, height as usize));
    let mut pixels = match plate.depth {
        3 => average::<3>(buffer, stride, window, to, Filter::Area),
        _ => average::<4>(buffer, stride, window, to, Filter::Area),
    };
    if plate.depth == 4 {
        for n in 0..pixels.len() / 4 {
            pixels.copy_within(4 * n..4 * n + 3, 3 * n);
        }
        pixels.truncate(pixels.len() / 4 * 3);
    }
    let mut rgb = Rgb {
        width,
        height,
        pixels,
    };
    plate.colours.to_srgb(&mut rgb);
    Ok(rgb)
}

/// Resizes a small upright picture.
pub(crate) fn resize_rgb(rgb: &Rgb, size: (u32, u32)) -> Result<Rgb, PhotoError> {
    let plate = Plate {
        width: rgb.width,
        height: rgb.height,
        stored: (rgb.width, rgb.height),
        depth: 3,
        colours: Colours::Standard,
        stopped: None,
    };
    let whole = Cut {
        left: 0,
        top: 0,
        width: rgb.width,
        height: rgb.height,
    };
    resize(&rgb.pixels, &plate, whole, size)
}

/// Resizes a grey picture.
pub(crate) fn resize_grey(
    grey: &[u8],
    (width, height): (u32, u32),
    (to_width, to_height): (u32, u32),
    filter: Filter,
) -> Vec<u8> {
    let window = Window {
        left: 0,
        top: 0,
        width: width as usize,
        height: height as usize,
    };
    let to = (to_width as usize, to_height as usize);
    average::<1>(grey, width as usize, window, to, filter)
}

/// Encodes a JPEG with 4:2:0 colour and no metadata but that it is sRGB.
pub(crate) fn encode(rgb: &Rgb, quality: u8) -> Result<Vec<u8>, PhotoError> {
    let side = |it: u32| u16::try_from(it).map_err(broken);
    let (width, height) = (side(rgb.width)?, side(rgb.height)?);
    encoded(rgb.pixels.len() / 3, quality, |mut it| {
        // The default takes one pixel of four, which turns fine patterns into other colours.
        it.set_chroma_subsampling_method(ChromaSubsamplingMethod::Average);
        it.encode(&rgb.pixels, width, height, ColorType::Rgb)
    })
}

/// The same of a picture that has the colours of a JPEG already.
pub(crate) fn encode_ycc(ycc: &Ycc, quality: u8) -> Result<Vec<u8>, PhotoError> {
    encoded(ycc.luma.len(), quality, |it| it.encode_image(ycc))
}

fn encoded(
    pixels: usize,
    quality: u8,
    encode: impl FnOnce(Encoder<&mut Vec<u8>>) -> Result<(), EncodingError>,
) -> Result<Vec<u8>, PhotoError> {
    let mut jpeg = Vec::with_capacity(pixels / 3);
    let mut encoder = Encoder::new(&mut jpeg, quality.clamp(1, 100));
    encoder.set_sampling_factor(SamplingFactor::R_4_2_0);
    encoder.add_icc_profile(colour::srgb()).map_err(broken)?;
    encode(encoder).map_err(broken)?;
    Ok(jpeg)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_jpeg_of_half_the_size_is_the_same_picture() {
        let photo = samples::jpeg_bare(643, 480);
        let mut whole = Vec::new();
        let plate = super::jpeg(&photo, &mut whole).unwrap();
        let cut = super::Cut {
            left: 0,
            top: 0,
            width: 643,
            height: 480,
        };
        let want = super::resize(&whole, &plate, cut, (322, 240)).unwrap();
        let mut half = Vec::new();
        let plate = super::half_as_large(&photo, (643, 480), &mut half);
        let plate = plate.unwrap().unwrap();
        assert_eq!((plate.width, plate.height), (322, 240));
        let apart = half.iter().zip(&want.pixels).map(|it| it.0.abs_diff(*it.1));
        let apart: u32 = apart.map(u32::from).sum();
        assert!(apart < 3 * want.pixels.len() as u32, "{apart}");
    }
}
