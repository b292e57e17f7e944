//! Great pictures read row by row: in 8 bits, and made smaller on the way where they would not fit into the memory otherwise.

use std::io::Cursor;

use png::ColorType;
use png::Transformations;
use tiff::decoder::ChunkType;
use tiff::decoder::DecodingResult;
use tiff::tags::Tag;

use crate::PhotoError;
use crate::header::HEAVIEST;
use crate::header::broken;
use crate::header::too_heavy;

/// The most bytes of one strip.
const STRIP: u64 = 64_000_000;
const CHUNKY: u32 = 1;

/// A picture in 8 bits, three values a pixel, one row after the other.
#[derive(Debug)]
pub(crate) struct Rows {
    /// Width of what is kept, pixels.
    pub(crate) width: u32,
    /// Height of what is kept, pixels.
    pub(crate) height: u32,
    /// The pixels.
    pub(crate) pixels: Vec<u8>,
}

/// A PNG that is not interlaced.
///
/// # Errors
/// When it is broken, or interlaced: then it takes `whole` bytes at once.
pub(crate) fn png(bytes: &[u8], whole: u64) -> Result<Rows, PhotoError> {
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    decoder.set_transformations(Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(broken)?;
    let info = reader.info();
    let (width, height) = (info.width, info.height);
    if info.interlaced {
        return Err(too_heavy(whole));
    }
    let (colour, depth) = reader.output_color_type();
    let values = match colour {
        ColorType::Grayscale | ColorType::Indexed => 1,
        ColorType::GrayscaleAlpha => 2,
        ColorType::Rgb => 3,
        ColorType::Rgba => 4,
    };
    let mut shrunk = Shrunk::new((width, height), values, bytes.len())?;
    while let Some(row) = reader.next_row().map_err(broken)? {
        let row = row.data();
        match depth {
            png::BitDepth::Sixteen => {
                let pairs = row.chunks_exact(2);
                shrunk.row(pairs.map(|it| eight(u16::from_be_bytes([it[0], it[1]]))));
            }
            _ => shrunk.row(row.iter().copied()),
        }
    }
    shrunk.done()
}

/// A TIFF in strips, its values of a pixel side by side.
///
/// # Errors
/// When it is broken, or laid out otherwise: then it takes `whole` bytes at once.
pub(crate) fn tiff(bytes: &[u8], whole: u64) -> Result<Rows, PhotoError> {
    let mut decoder = tiff::decoder::Decoder::new(Cursor::new(bytes)).map_err(broken)?;
    let (width, height) = decoder.dimensions().map_err(broken)?;
    let (values, wide) = match decoder.colortype().map_err(broken)? {
        tiff::ColorType::Gray(it @ (8 | 16)) => (1, it),
        tiff::ColorType::GrayA(it @ (8 | 16)) => (2, it),
        tiff::ColorType::RGB(it @ (8 | 16)) => (3, it),
        tiff::ColorType::RGBA(it @ (8 | 16)) => (4, it),
        _ => return Err(too_heavy(whole)),
    };
    let planes = decoder.find_tag_unsigned::<u32>(Tag::PlanarConfiguration);
    let is_chunky = planes.map_err(broken)?.unwrap_or(CHUNKY) == CHUNKY;
    let rows = decoder.chunk_dimensions().1.min(height);
    let strip = u64::from(width) * u64::from(rows) * values as u64 * u64::from(wide / 8);
    if !is_chunky || decoder.get_chunk_type() != ChunkType::Strip || strip > STRIP {
        return Err(too_heavy(whole));
    }
    let mut shrunk = Shrunk::new((width, height), values, bytes.len())?;
    let length = width as usize * values;
    for n in 0..decoder.strip_count().map_err(broken)? {
        match decoder.read_chunk(n).map_err(broken)? {
            DecodingResult::U8(all) => {
                for row in all.chunks_exact(length) {
                    shrunk.row(row.iter().copied());
                }
            }
            DecodingResult::U16(all) => {
                for row in all.chunks_exact(length) {
                    shrunk.row(row.iter().copied().map(eight));
                }
            }
            _ => return Err(too_heavy(whole)),
        }
    }
    shrunk.done()
}

/// 16 bits in 8, to the nearest.
fn eight(value: u16) -> u8 {
    ((u32::from(value) + 128) / 257) as u8
}

/// Takes rows and keeps the mean of each square of `step` x `step` pixels; those at the right and lower edge may be smaller.
struct Shrunk {
    height: u32,
    values: usize,
    step: usize,
    across: usize,
    /// Of the squares in the making: the sum of each colour.
    sums: Vec<u32>,
    /// How many rows these have, and how many came in all.
    rows: usize,
    came: u32,
    width: usize,
    pixels: Vec<u8>,
}

impl Shrunk {
    fn new((width, height): (u32, u32), values: usize, file: usize) -> Result<Self, PhotoError> {
        let pixels = u64::from(width) * u64::from(height);
        let room = HEAVIEST.saturating_sub(file as u64);
        let step = (1..=8).find(|step| 3 * pixels / (step * step) <= room);
        let step = step.ok_or_else(|| too_heavy(3 * pixels + file as u64))? as usize;
        let (width, across) = (width as usize, (width as usize).div_ceil(step));
        Ok(Self {
            height,
            values,
            step,
            across,
            sums: vec![0; 3 * across],
            rows: 0,
            came: 0,
            width,
            pixels: Vec::with_capacity(3 * across * (height as usize).div_ceil(step)),
        })
    }

    /// One row: so many values of 8 bits a pixel; what is see-through is laid on white.
    fn row(&mut self, row: impl Iterator<Item = u8>) {
        if self.came == self.height {
            return;
        }
        let (mut pixel, mut at) = ([0_u8; 4], 0);
        for (n, value) in row.take(self.width * self.values).enumerate() {
            let place = n % self.values;
            pixel[place] = value;
            if place + 1 < self.values {
                continue;
            }
            let (colours, alpha) = match self.values {
                1 => ([pixel[0]; 3], 255),
                2 => ([pixel[0]; 3], u32::from(pixel[1])),
                3 => ([pixel[0], pixel[1], pixel[2]], 255),
                _ => ([pixel[0], pixel[1], pixel[2]], u32::from(pixel[3])),
            };
            let square = 3 * (at / self.step);
            for (sum, colour) in self.sums[square..square + 3].iter_mut().zip(colours) {
                *sum += (u32::from(colour) * alpha + 255 * (255 - alpha) + 127) / 255;
            }
            at += 1;
        }
        self.came += 1;
        self.rows += 1;
        if self.rows == self.step || self.came == self.height {
            self.put();
        }
    }

    fn put(&mut self) {
        for (n, sums) in self.sums.chunks_exact(3).enumerate() {
            let wide = self.step.min(self.width - n * self.step);
            let count = (wide * self.rows) as u32;
            let mean = |sum: &u32| ((sum + count / 2) / count) as u8;
            self.pixels.extend(sums.iter().map(mean));
        }
        self.sums.fill(0);
        self.rows = 0;
    }

    fn done(self) -> Result<Rows, PhotoError> {
        if self.came < self.height {
            return Err(broken("the file ends too early"));
        }
        let width = self.across as u32;
        Ok(Rows {
            width,
            height: self.height.div_ceil(self.step as u32),
            pixels: self.pixels,
        })
    }
}

#[cfg(test)]
mod tests {
    use image::ExtendedColorType;
    use image::ImageEncoder as _;

    use super::HEAVIEST;
    use super::Shrunk;

    /// Values of so many a pixel, deep as in a file of 16 bits.
    fn deep(values: usize) -> Vec<u8> {
        let pixels = samples::pixels(60, 40, 3);
        let each = (0..60 * 40 * values).map(|n| u16::from(pixels[n % pixels.len()]) * 251 + 7);
        each.flat_map(u16::to_ne_bytes).collect()
    }

    /// Row by row the same comes out as from a decoder that takes all at once.
    #[test]
    fn rows_give_what_a_whole_picture_gives() {
        for (values, kind) in [
            (1, ExtendedColorType::L16),
            (2, ExtendedColorType::La16),
            (3, ExtendedColorType::Rgb16),
            (4, ExtendedColorType::Rgba16),
        ] {
            let mut png = Vec::new();
            let encoder = image::codecs::png::PngEncoder::new(&mut png);
            encoder.write_image(&deep(values), 60, 40, kind).unwrap();
            let rows = super::png(&png, 0).unwrap();
            assert_eq!((rows.width, rows.height), (60, 40));
            assert!(rows.pixels == whole(&png), "{values} values");
            if values == 2 {
                continue;
            }
            let mut tiff = std::io::Cursor::new(Vec::new());
            let encoder = image::codecs::tiff::TiffEncoder::new(&mut tiff);
            encoder.write_image(&deep(values), 60, 40, kind).unwrap();
            let rows = super::tiff(tiff.get_ref(), 0).unwrap();
            assert!(rows.pixels == whole(tiff.get_ref()), "{values} values");
        }
    }

    fn whole(bytes: &[u8]) -> Vec<u8> {
        let picture = image::load_from_memory(bytes).unwrap().into_rgba8();
        let on_white = |it: &image::Rgba<u8>| {
            let alpha = u32::from(it[3]);
            [it[0], it[1], it[2]].map(|it| {
                let mixed = u32::from(it) * alpha + 255 * (255 - alpha);
                ((mixed + 127) / 255) as u8
            })
        };
        picture.pixels().flat_map(on_white).collect()
    }

    #[test]
    fn what_does_not_fit_is_made_smaller_by_whole_steps() {
        // 7 x 5 pixels, beside a file that leaves room for a quarter of them.
        let file = HEAVIEST as usize - 3 * 9;
        let mut shrunk = Shrunk::new((7, 5), 1, file).unwrap();
        for row in 0..5_u8 {
            shrunk.row((0..7).map(|at| 10 * row + at));
        }
        let rows = shrunk.done().unwrap();
        assert_eq!((rows.width, rows.height), (4, 3));
        let grey: Vec<u8> = rows.pixels.iter().step_by(3).copied().collect();
        // Means of (0 1 10 11), of the last column (6 16), of the last row (40 41), of the corner (46).
        assert_eq!([grey[0], grey[3], grey[8], grey[11]], [6, 11, 41, 46]);
        assert!(Shrunk::new((7, 5), 1, HEAVIEST as usize).is_err());
    }
}
