//! Photos made in code: a picture that cannot be mistaken for its mirror, and chosen Exif.
//!
//! Shared by the tests of the rooms and by those that use the program as a user does.

mod raw;

pub use raw::LAYOUTS;
pub use raw::Layout as RawLayout;
pub use raw::Said as RawSaid;
pub use raw::raw_of;

use std::io::Cursor;

use image::ExtendedColorType;
use image::ImageEncoder as _;
use image::codecs::png::PngEncoder;
use image::codecs::webp::WebPEncoder;
use jpeg_encoder::ColorType;
use jpeg_encoder::Encoder;

/// What the Exif block of a sample says; a field left out is not written.
#[derive(Clone, Debug, Default)]
pub struct Exif {
    /// Orientation, any number.
    pub orientation: Option<u16>,
    /// DateTimeOriginal, such as `2026:05:03 10:02:11`.
    pub time: Option<String>,
    /// SubSecTimeOriginal, such as `302`.
    pub fraction: Option<String>,
    /// OffsetTimeOriginal, such as `+01:00`.
    pub offset: Option<String>,
    /// DateTime, when the file was changed.
    pub changed: Option<String>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// Software.
    pub software: Option<String>,
    /// BodySerialNumber.
    pub serial: Option<String>,
    /// FocalLengthIn35mmFilm, mm.
    pub focal_35mm: Option<u16>,
    /// Latitude (north positive), longitude (east positive), altitude in metres.
    pub place: Option<(f64, f64, f64)>,
    /// DateTimeDigitized, when it was stored.
    pub stored: Option<String>,
    /// GPSDateStamp, and GPSTimeStamp in hours, minutes and seconds.
    pub satellite: Option<(String, [u32; 3])>,
    /// ExifVersion, such as `0231`.
    pub edition: Option<String>,
    /// Artist.
    pub artist: Option<String>,
    /// CameraOwnerName.
    pub owner: Option<String>,
    /// A JPEG as the small picture of the second directory.
    pub thumbnail: Option<Vec<u8>>,
    /// The pointer to the directory of places is of the type SHORT.
    pub short_pointer: bool,
    /// Byte order `MM` in place of `II`.
    pub big_endian: bool,
}

impl Exif {
    /// A block that says only when the photo was taken.
    pub fn taken(time: &str) -> Self {
        Self {
            time: Some(time.to_owned()),
            ..Self::default()
        }
    }

    /// A block that says only how the camera was held.
    pub fn held(orientation: u16) -> Self {
        Self {
            orientation: Some(orientation),
            ..Self::default()
        }
    }

    /// The block, from its TIFF header on.
    pub fn block(&self) -> Vec<u8> {
        self.file(&[], &[])
    }

    /// A TIFF with these fields, further ones in the first directory, and `data` at its end.
    fn file(&self, more: &[(u16, Value)], data: &[u8]) -> Vec<u8> {
        let mut first: Vec<(u16, Value)> = more.to_vec();
        first.extend(self.orientation.map(|it| (0x0112, Value::Short(vec![it]))));
        for (tag, text) in [
            (0x010f, &self.make),
            (0x0110, &self.model),
            (0x0131, &self.software),
            (0x0132, &self.changed),
            (0x013b, &self.artist),
        ] {
            first.extend(text.clone().map(|it| (tag, Value::Text(it))));
        }
        let mut inner: Vec<(u16, Value)> = Vec::new();
        for (tag, text) in [
            (0x9003, &self.time),
            (0x9011, &self.offset),
            (0x9291, &self.fraction),
            (0x9004, &self.stored),
            (0xa430, &self.owner),
            (0xa431, &self.serial),
        ] {
            inner.extend(text.clone().map(|it| (tag, Value::Text(it))));
        }
        inner.extend(self.focal_35mm.map(|it| (0xa405, Value::Short(vec![it]))));
        inner.extend(
            self.edition
                .as_ref()
                .map(|it| (0x9000, Value::Letters(it.clone()))),
        );
        let mut place = self.place.map(place_fields).unwrap_or_default();
        if let Some((day, time)) = &self.satellite {
            place.push((7, Value::Rational(time.map(|it| (it, 1)).to_vec())));
            place.push((29, Value::Text(day.clone())));
        }
        Layout {
            big_endian: self.big_endian,
            short_pointer: self.short_pointer,
        }
        .write(first, inner, place, self.thumbnail.as_deref(), data)
    }
}

fn place_fields((latitude, longitude, altitude): (f64, f64, f64)) -> Vec<(u16, Value)> {
    let angle = |it: f64| {
        let seconds = (it.abs() * 3600.0 * 10_000.0).round() as u64;
        let (degrees, rest) = (seconds / 36_000_000, seconds % 36_000_000);
        let (minutes, rest) = (rest / 600_000, rest % 600_000);
        Value::Rational(vec![
            (degrees as u32, 1),
            (minutes as u32, 1),
            (rest as u32, 10_000),
        ])
    };
    let side = |it: f64, sides: [&str; 2]| sides[usize::from(it < 0.0)].to_owned();
    vec![
        (1, Value::Text(side(latitude, ["N", "S"]))),
        (2, angle(latitude)),
        (3, Value::Text(side(longitude, ["E", "W"]))),
        (4, angle(longitude)),
        (5, Value::Byte(u8::from(altitude < 0.0))),
        (
            6,
            Value::Rational(vec![((altitude.abs() * 100.0).round() as u32, 100)]),
        ),
    ]
}

/// The value of a TIFF field (TIFF 6.0, section 2).
#[derive(Clone, Debug)]
enum Value {
    Byte(u8),
    Text(String),
    Short(Vec<u16>),
    Long(u32),
    Rational(Vec<(u32, u32)>),
    /// Text without an end, of the type UNDEFINED.
    Letters(String),
    /// An offset into the data at the end of the file.
    Data(u32),
}

struct Layout {
    big_endian: bool,
    short_pointer: bool,
}

impl Layout {
    fn write(
        &self,
        mut first: Vec<(u16, Value)>,
        inner: Vec<(u16, Value)>,
        place: Vec<(u16, Value)>,
        thumbnail: Option<&[u8]>,
        data: &[u8],
    ) -> Vec<u8> {
        let (has_inner, has_place) = (!inner.is_empty(), !place.is_empty());
        if has_inner {
            first.push((0x8769, Value::Long(0)));
        }
        if has_place {
            first.push((0x8825, Value::Long(0)));
        }
        let pointer = |it: u32| match self.short_pointer {
            true => Value::Short(vec![it as u16]),
            false => Value::Long(it),
        };
        let small = |at: u32| {
            let length = thumbnail.map_or(0, <[u8]>::len) as u32;
            vec![(0x0201, Value::Long(at)), (0x0202, Value::Long(length))]
        };
        let length = |fields: &[(u16, Value)]| self.directory(fields, 0, 0, 0).len() as u32;
        let inner_at = 8 + length(&first);
        let place_at = inner_at + if has_inner { length(&inner) } else { 0 };
        let small_at = place_at + if has_place { length(&place) } else { 0 };
        let small_data_at = small_at + thumbnail.map_or(0, |_| length(&small(0)));
        let data_at = small_data_at + thumbnail.map_or(0, |it| it.len() as u32);
        for (tag, value) in &mut first {
            match tag {
                0x8769 => *value = Value::Long(inner_at),
                0x8825 => *value = pointer(place_at),
                _ => {}
            }
        }
        let mut file = if self.big_endian { *b"MM" } else { *b"II" }.to_vec();
        file.extend(self.short(42));
        file.extend(self.long(8));
        let next = thumbnail.map_or(0, |_| small_at);
        file.extend(self.directory(&first, 8, data_at, next));
        if has_inner {
            file.extend(self.directory(&inner, inner_at, data_at, 0));
        }
        if has_place {
            file.extend(self.directory(&place, place_at, data_at, 0));
        }
        if let Some(bytes) = thumbnail {
            file.extend(self.directory(&small(small_data_at), small_at, data_at, 0));
            file.extend(bytes);
        }
        file.extend(data);
        file
    }

    /// One directory that starts at `start`, with the values that do not fit behind it; the next one stands at `next`.
    fn directory(&self, fields: &[(u16, Value)], start: u32, data_at: u32, next: u32) -> Vec<u8> {
        let mut fields = fields.to_vec();
        fields.sort_by_key(|(tag, _)| *tag);
        let mut table = self.short(fields.len() as u16).to_vec();
        let mut behind = Vec::new();
        let behind_at = start + 2 + 12 * fields.len() as u32 + 4;
        for (tag, value) in &fields {
            let (kind, count, mut bytes) = self.value(value, data_at);
            table.extend(self.short(*tag));
            table.extend(self.short(kind));
            table.extend(self.long(count));
            if bytes.len() <= 4 {
                bytes.resize(4, 0);
                table.extend(bytes);
            } else {
                table.extend(self.long(behind_at + behind.len() as u32));
                behind.extend(bytes);
                behind.resize(behind.len().next_multiple_of(2), 0);
            }
        }
        table.extend(self.long(next));
        table.extend(behind);
        table
    }

    /// Type, count and bytes of a value.
    fn value(&self, value: &Value, data_at: u32) -> (u16, u32, Vec<u8>) {
        match value {
            Value::Byte(it) => (1, 1, vec![*it]),
            Value::Text(it) => {
                let mut bytes = it.clone().into_bytes();
                bytes.push(0);
                (2, bytes.len() as u32, bytes)
            }
            Value::Letters(it) => (7, it.len() as u32, it.clone().into_bytes()),
            Value::Short(all) => {
                let bytes = all.iter().flat_map(|it| self.short(*it)).collect();
                (3, all.len() as u32, bytes)
            }
            Value::Long(it) => (4, 1, self.long(*it).to_vec()),
            Value::Data(it) => (4, 1, self.long(data_at + it).to_vec()),
            Value::Rational(all) => {
                let both = |(a, b): &(u32, u32)| [self.long(*a), self.long(*b)].concat();
                (5, all.len() as u32, all.iter().flat_map(both).collect())
            }
        }
    }

    fn short(&self, it: u16) -> [u8; 2] {
        if self.big_endian {
            it.to_be_bytes()
        } else {
            it.to_le_bytes()
        }
    }

    fn long(&self, it: u32) -> [u8; 4] {
        if self.big_endian {
            it.to_be_bytes()
        } else {
            it.to_le_bytes()
        }
    }
}

/// The pixels of a sample, RGB: four different corners, a bar that leans, some texture. Another `seed`
/// gives another picture.
pub fn pixels(width: u32, height: u32, seed: u32) -> Vec<u8> {
    let mut noise = seed.wrapping_mul(2_654_435_761).wrapping_add(12_345);
    let shift = seed.wrapping_mul(37) % 100;
    let mut pixels = Vec::with_capacity((width * height * 3) as usize);
    for y in 0..height {
        for x in 0..width {
            let (u, v) = (
                x * 1000 / width,
                (y * 1000 / height + shift * 10 / 3) % 1000,
            );
            noise ^= noise << 13;
            noise ^= noise >> 17;
            noise ^= noise << 5;
            let base: [u32; 3] = match (u < 450, v < 400) {
                (true, true) => [190, 60, 50],
                (false, true) => [70, 150, 60],
                (true, false) => [60, 70, 170],
                (false, false) => [200, 190, 170],
            };
            // The bar from the upper left leans to the right and gets thinner.
            let bar = u > 100 + v / 3 && u < 220 + v / 4;
            let grain = (x * 7 / 16 + y * 3 / 16) % 5 * 4 + noise % 9;
            for colour in base {
                let shade = if bar { colour / 3 } else { colour };
                pixels.push((shade + grain).min(255) as u8);
            }
        }
    }
    pixels
}

/// The pixels as a camera held in this way stores them, so that they come out upright as drawn.
///
/// `width` and `height` are those of the upright picture; stored width, height and pixels come back.
pub fn held(width: u32, height: u32, upright: &[u8], orientation: u16) -> (u32, u32, Vec<u8>) {
    let (wide, high) = if orientation >= 5 {
        (height, width)
    } else {
        (width, height)
    };
    let mut stored = vec![0; upright.len()];
    for y in 0..high {
        for x in 0..wide {
            // CIPA DC-008: where the stored pixel (x, y) belongs in the upright picture.
            let (u, v) = match orientation {
                2 => (wide - 1 - x, y),
                3 => (wide - 1 - x, high - 1 - y),
                4 => (x, high - 1 - y),
                5 => (y, x),
                6 => (high - 1 - y, x),
                7 => (high - 1 - y, wide - 1 - x),
                8 => (y, wide - 1 - x),
                _ => (x, y),
            };
            let (to, from) = (
                (3 * (y * wide + x)) as usize,
                (3 * (v * width + u)) as usize,
            );
            stored[to..to + 3].copy_from_slice(&upright[from..from + 3]);
        }
    }
    (wide, high, stored)
}

/// A JPEG of a sample, `width` x `height` as stored, with an Exif block.
pub fn jpeg(width: u32, height: u32, exif: &Exif) -> Vec<u8> {
    jpeg_of(
        width,
        height,
        &pixels(width, height, 0),
        Some(&exif.block()),
    )
}

/// As [`jpeg`], of another picture for each `seed`.
pub fn jpeg_seeded(width: u32, height: u32, seed: u32, exif: &Exif) -> Vec<u8> {
    jpeg_of(
        width,
        height,
        &pixels(width, height, seed),
        Some(&exif.block()),
    )
}

/// A JPEG without any Exif block, as a messenger makes it.
pub fn jpeg_bare(width: u32, height: u32) -> Vec<u8> {
    jpeg_of(width, height, &pixels(width, height, 0), None)
}

/// A JPEG of given RGB pixels.
pub fn jpeg_of(width: u32, height: u32, rgb: &[u8], exif: Option<&[u8]>) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 92);
    if let Some(block) = exif {
        encoder.add_exif_metadata(block).expect("a small block");
    }
    encoder
        .encode(rgb, width as u16, height as u16, ColorType::Rgb)
        .expect("a sample encodes");
    bytes
}

/// A JPEG with one more segment, such as `0xe1`, right behind its start.
pub fn with_segment(jpeg: &[u8], marker: u8, body: &[u8]) -> Vec<u8> {
    let length = (body.len() + 2) as u16;
    let head = [&[0xff, marker][..], &length.to_be_bytes()].concat();
    [&jpeg[..2], &head, body, &jpeg[2..]].concat()
}

/// An XMP packet with one property of a description, such as `photoshop:City="Linz"`.
pub fn xmp(attribute: &str) -> Vec<u8> {
    format!(
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF><rdf:Description {attribute}/></rdf:RDF></x:xmpmeta>"
    )
    .into_bytes()
}

/// A PNG of a sample with an Exif block.
pub fn png(width: u32, height: u32, exif: &Exif) -> Vec<u8> {
    png_of(width, height, &pixels(width, height, 0), exif)
}

/// A PNG of given RGB pixels.
pub fn png_of(width: u32, height: u32, rgb: &[u8], exif: &Exif) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = PngEncoder::new(Cursor::new(&mut bytes));
    encoder
        .set_exif_metadata(exif.block())
        .expect("PNG takes Exif");
    encoder
        .write_image(rgb, width, height, ExtendedColorType::Rgb8)
        .expect("a sample encodes");
    bytes
}

/// A lossless WebP of a sample with an Exif block.
pub fn webp(width: u32, height: u32, exif: &Exif) -> Vec<u8> {
    webp_of(width, height, &pixels(width, height, 0), exif)
}

/// A lossless WebP of given RGB pixels.
pub fn webp_of(width: u32, height: u32, rgb: &[u8], exif: &Exif) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = WebPEncoder::new_lossless(Cursor::new(&mut bytes));
    encoder
        .set_exif_metadata(exif.block())
        .expect("WebP takes Exif");
    encoder
        .write_image(rgb, width, height, ExtendedColorType::Rgb8)
        .expect("a sample encodes");
    bytes
}

/// A plain TIFF of a sample; its Exif fields stand in its own directories.
pub fn tiff(width: u32, height: u32, exif: &Exif) -> Vec<u8> {
    tiff_of(width, height, &pixels(width, height, 0), exif)
}

/// A plain TIFF of given RGB pixels.
pub fn tiff_of(width: u32, height: u32, rgb: &[u8], exif: &Exif) -> Vec<u8> {
    exif.file(&image_fields(width, height, rgb), rgb)
}

/// A TIFF that says it is a camera's raw picture (DNGVersion).
pub fn raw(width: u32, height: u32) -> Vec<u8> {
    let rgb = pixels(width, height, 0);
    let mut fields = image_fields(width, height, &rgb);
    fields.push((50706, Value::Long(0x0104_0000)));
    Exif::default().file(&fields, &rgb)
}

fn image_fields(width: u32, height: u32, rgb: &[u8]) -> Vec<(u16, Value)> {
    vec![
        (256, Value::Long(width)),
        (257, Value::Long(height)),
        (258, Value::Short(vec![8, 8, 8])),
        (259, Value::Short(vec![1])),
        (262, Value::Short(vec![2])),
        (273, Value::Data(0)),
        (277, Value::Short(vec![3])),
        (278, Value::Long(height)),
        (279, Value::Long(rgb.len() as u32)),
    ]
}
