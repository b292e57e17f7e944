//! What the camera wrote into the Exif block (CIPA DC-008 / JEITA CP-3451).

use std::io::Cursor;

use exif::Context;
use exif::Exif;
use exif::In;
use exif::Reader;
use exif::Tag;
use exif::Value;
use heifer::heifer_isobmff::HeifFile;

use crate::kit::clock::CameraTime;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::model::facts::Place;
use crate::photo::jpeg;

/// The name of the program that processed a file (TIFF/EP); the Exif crate has no constant for it.
const PROCESSING_SOFTWARE: Tag = Tag(Context::Tiff, 0x000b);
/// Type 129 of Exif 3.0, UTF-8 text, unknown to the Exif crate (number from memory).
const UTF8_TYPE: u16 = 129;
/// A file changed this much later than it was taken was put through something, seconds.
const CHANGE_SECONDS: i64 = 60;

/// The camera's part of the facts.
#[derive(Debug, Default)]
pub(crate) struct Camera {
    /// Orientation as written, if any.
    pub(crate) orientation: Option<u16>,
    /// The camera's own time.
    pub(crate) time: Option<CameraTime>,
    /// Maker and model.
    pub(crate) name: Option<String>,
    /// Serial number of the body, else of the lens.
    pub(crate) serial: Option<String>,
    /// Position.
    pub(crate) place: Option<Place>,
    /// Focal length as on 35 mm film, mm.
    pub(crate) focal_35mm: Option<u32>,
    /// What is odd about the block.
    pub(crate) oddities: Vec<Oddity>,
}

/// Reads the Exif block of a picture; whatever is wrong with it becomes an oddity.
pub(crate) fn read(bytes: &[u8], format: Format) -> Camera {
    let mut oddities = Vec::new();
    let block = match format {
        Format::Jpeg => from_jpeg(bytes, &mut oddities),
        Format::Heic | Format::Avif => from_heif(bytes, &mut oddities),
        Format::Png | Format::Webp | Format::Tiff => from_container(bytes),
    };
    let mut wounds = Vec::new();
    let exif = block.or_else(|why| why.distill_partial_result(|all| wounds = all).map(Some));
    let camera = match exif {
        Ok(Some(exif)) => Block(&exif).camera(oddities),
        Ok(None) => {
            oddities.push(Oddity::NoExif);
            return Camera {
                oddities,
                ..Camera::default()
            };
        }
        Err(why) => {
            oddities.push(Oddity::ExifUnreadable(why.to_string()));
            return Camera {
                oddities,
                ..Camera::default()
            };
        }
    };
    // Many cameras write small slips into fields nobody needs; they matter only when the time is gone.
    match wounds.first() {
        Some(why) if camera.time.is_none() => camera.and(Oddity::ExifUnreadable(why.to_string())),
        _ => camera,
    }
}

type Found = Result<Option<Exif>, exif::Error>;

fn reader() -> Reader {
    let mut reader = Reader::new();
    reader.continue_on_error(true);
    reader
}

fn from_jpeg(bytes: &[u8], oddities: &mut Vec<Oddity>) -> Found {
    let Ok(header) = jpeg::header(bytes) else {
        return Ok(None);
    };
    if header.exif_blocks > 1 {
        oddities.push(Oddity::SeveralExif);
    }
    let block = header.exif.map(<[u8]>::to_vec);
    block.map(|it| reader().read_raw(it)).transpose()
}

fn from_heif(bytes: &[u8], oddities: &mut Vec<Oddity>) -> Found {
    let Ok(file) = HeifFile::parse(bytes) else {
        return from_container(bytes);
    };
    let blocks = file
        .items
        .iter()
        .filter(|it| it.item_type.0 == *b"Exif")
        .count();
    if blocks > 1 {
        oddities.push(Oddity::SeveralExif);
    }
    match file.exif(file.primary_id) {
        Ok(Some(block)) => reader().read_raw(block).map(Some),
        _ => from_container(bytes),
    }
}

fn from_container(bytes: &[u8]) -> Found {
    match reader().read_from_container(&mut Cursor::new(bytes)) {
        Err(exif::Error::NotFound(_)) => Ok(None),
        other => other.map(Some),
    }
}

impl Camera {
    fn and(mut self, oddity: Oddity) -> Self {
        self.oddities.push(oddity);
        self
    }
}

/// An Exif block that could be read.
struct Block<'a>(&'a Exif);

impl Block<'_> {
    fn camera(&self, mut oddities: Vec<Oddity>) -> Camera {
        let time = self.time(&mut oddities);
        oddities.extend(self.edited(time));
        let name = match (self.text(Tag::Make), self.text(Tag::Model)) {
            (Some(make), Some(model)) if !model.starts_with(&make) => {
                Some(format!("{make} {model}"))
            }
            (make, model) => model.or(make),
        };
        let orientation = self.number(Tag::Orientation);
        Camera {
            orientation: orientation.and_then(|it| u16::try_from(it).ok()),
            time,
            name,
            serial: self
                .text(Tag::BodySerialNumber)
                .or_else(|| self.text(Tag::LensSerialNumber)),
            place: self.place(),
            focal_35mm: self.number(Tag::FocalLengthIn35mmFilm).filter(|it| *it > 0),
            oddities,
        }
    }

    /// DateTimeOriginal, else DateTimeDigitized; never DateTime, which is when the file was changed.
    fn time(&self, oddities: &mut Vec<Oddity>) -> Option<CameraTime> {
        let taken = [
            Tag::DateTimeOriginal,
            Tag::SubSecTimeOriginal,
            Tag::OffsetTimeOriginal,
        ];
        let stored = [
            Tag::DateTimeDigitized,
            Tag::SubSecTimeDigitized,
            Tag::OffsetTimeDigitized,
        ];
        let time = self.moment(taken).or_else(|| self.moment(stored));
        if time.is_none() {
            let written = self
                .raw_text(Tag::DateTimeOriginal)
                .or_else(|| self.raw_text(Tag::DateTimeDigitized));
            oddities.extend(written.map(Oddity::NoDate));
        }
        time
    }

    fn moment(&self, [date, fraction, offset]: [Tag; 3]) -> Option<CameraTime> {
        let (fraction, offset) = (self.text(fraction), self.text(offset));
        CameraTime::from_exif(
            &self.raw_text(date)?,
            fraction.as_deref(),
            offset.as_deref(),
        )
    }

    fn edited(&self, time: Option<CameraTime>) -> Option<Oddity> {
        let program = self
            .text(PROCESSING_SOFTWARE)
            .or_else(|| self.text(Tag::Software))?;
        let changed = self.moment([Tag::DateTime, Tag::SubSecTime, Tag::OffsetTime])?;
        let later = changed.sort_key().saturating_sub(time?.sort_key());
        (later > CHANGE_SECONDS * 1000).then_some(Oddity::Edited(program))
    }

    fn place(&self) -> Option<Place> {
        let latitude = self.angle(Tag::GPSLatitude, Tag::GPSLatitudeRef, ["N", "S"], 90.0)?;
        let longitude = self.angle(Tag::GPSLongitude, Tag::GPSLongitudeRef, ["E", "W"], 180.0)?;
        let below = self.number(Tag::GPSAltitudeRef) == Some(1);
        let altitude = self
            .rationals(Tag::GPSAltitude)
            .and_then(|it| it.first().copied())
            .map(|metres| if below { -metres } else { metres });
        Some(Place {
            latitude,
            longitude,
            altitude,
        })
    }

    /// Degrees, minutes and seconds with their side of the zero line; an angle without a side is none.
    fn angle(&self, tag: Tag, side: Tag, sides: [&str; 2], most: f64) -> Option<f64> {
        let parts = self.rationals(tag)?;
        let scales = [1.0, 60.0, 3600.0];
        let degrees: f64 = parts.iter().zip(scales).map(|(part, by)| part / by).sum();
        let side = self.text(side)?.to_ascii_uppercase();
        let sign = if side == sides[0] {
            1.0
        } else if side == sides[1] {
            -1.0
        } else {
            return None;
        };
        (degrees <= most).then_some(sign * degrees)
    }

    /// The rationals of a field; none when one of the first three is no number.
    fn rationals(&self, tag: Tag) -> Option<Vec<f64>> {
        let Value::Rational(parts) = &self.0.get_field(tag, In::PRIMARY)?.value else {
            return None;
        };
        let numbers: Vec<f64> = parts.iter().take(3).map(exif::Rational::to_f64).collect();
        let whole = !numbers.is_empty() && numbers.iter().all(|it| it.is_finite());
        whole.then_some(numbers)
    }

    fn number(&self, tag: Tag) -> Option<u32> {
        self.0.get_field(tag, In::PRIMARY)?.value.get_uint(0)
    }

    /// The text of a field without blanks around it; none when nothing is left.
    fn text(&self, tag: Tag) -> Option<String> {
        self.raw_text(tag).filter(|it| !it.is_empty())
    }

    /// The text of a field without blanks around it, even when nothing is left.
    fn raw_text(&self, tag: Tag) -> Option<String> {
        let field = self.0.get_field(tag, In::PRIMARY)?;
        let bytes = match &field.value {
            Value::Ascii(lines) => lines.first()?.clone(),
            Value::Byte(bytes) | Value::Undefined(bytes, _) => bytes.clone(),
            Value::Unknown(UTF8_TYPE, count, at) => self.raw(*count, *at)?.to_vec(),
            _ => return None,
        };
        let text = String::from_utf8_lossy(&bytes);
        let blank = |c: char| c == '\0' || c.is_whitespace();
        Some(text.trim_matches(blank).replace(char::is_control, " "))
    }

    /// The bytes of a value of unknown type: inside the entry up to four, else where it points.
    fn raw(&self, count: u32, at: u32) -> Option<&[u8]> {
        let (count, at) = (usize::try_from(count).ok()?, usize::try_from(at).ok()?);
        let block = self.0.buf();
        if count <= 4 {
            return block.get(at..at + count);
        }
        let place = *block.get(at..)?.first_chunk()?;
        let place = if self.0.little_endian() {
            u32::from_le_bytes(place)
        } else {
            u32::from_be_bytes(place)
        };
        let place = usize::try_from(place).ok()?;
        block.get(place..place.checked_add(count)?)
    }
}
