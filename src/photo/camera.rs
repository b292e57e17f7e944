//! What the camera wrote into the Exif block (CIPA DC-008 / JEITA CP-3451).

use std::io::Cursor;

use exif::Context;
use exif::Exif;
use exif::In;
use exif::Reader;
use exif::Tag;
use exif::Value;

use crate::kit::clock::CameraTime;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::model::facts::Place;
use crate::pixels::exif_blocks;

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
    let blocks = exif_blocks(bytes, format);
    if blocks.count > 1 {
        oddities.push(Oddity::SeveralExif);
    }
    let block = match (blocks.first, format) {
        (Some(block), _) => reader().read_raw(block).map(Some),
        (None, Format::Jpeg | Format::Webp) => Ok(None),
        (None, Format::Heic | Format::Avif | Format::Png | Format::Tiff) => from_container(bytes),
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

    /// The first number of a field; some writers use the signed types.
    fn number(&self, tag: Tag) -> Option<u32> {
        let value = &self.0.get_field(tag, In::PRIMARY)?.value;
        let signed = match value {
            Value::SShort(all) => all.first().copied().map(i32::from),
            Value::SLong(all) => all.first().copied(),
            _ => return value.get_uint(0),
        };
        u32::try_from(signed?).ok()
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

#[cfg(test)]
mod tests {
    use super::Camera;
    use super::read;
    use crate::model::facts::Format;
    use crate::model::facts::Oddity;
    use samples::Exif;

    fn full() -> Exif {
        Exif {
            orientation: Some(6),
            time: Some("2026:05:03 10:02:11".to_owned()),
            fraction: Some("302".to_owned()),
            offset: Some("+01:00".to_owned()),
            changed: Some("2026:05:03 10:02:11".to_owned()),
            make: Some("Shed".to_owned()),
            model: Some("Box 2".to_owned()),
            software: Some("firmware 7".to_owned()),
            serial: Some("A-77".to_owned()),
            focal_35mm: Some(26),
            place: Some((44.850_477_8, -34.976_647_2, 29.13)),
            big_endian: false,
        }
    }

    fn of_jpeg(exif: &Exif) -> Camera {
        read(&samples::jpeg(16, 9, exif), Format::Jpeg)
    }

    #[test]
    fn every_field_is_read_in_every_container_and_byte_order() {
        for big_endian in [false, true] {
            let exif = Exif {
                big_endian,
                ..full()
            };
            for (bytes, format) in [
                (samples::jpeg(16, 9, &exif), Format::Jpeg),
                (samples::png(16, 9, &exif), Format::Png),
                (samples::webp(16, 9, &exif), Format::Webp),
                (samples::tiff(16, 9, &exif), Format::Tiff),
            ] {
                let camera = read(&bytes, format);
                let time = camera.time.unwrap().to_string();
                assert_eq!(time, "2026-05-03T10:02:11.302+01:00", "{format:?}");
                assert_eq!(camera.orientation, Some(6));
                assert_eq!(camera.name.as_deref(), Some("Shed Box 2"));
                assert_eq!(camera.serial.as_deref(), Some("A-77"));
                assert_eq!(camera.focal_35mm, Some(26));
                let place = camera.place.unwrap();
                assert!((place.latitude - 44.850_477_8).abs() < 1e-6);
                assert!((place.longitude + 34.976_647_2).abs() < 1e-6);
                assert_eq!(place.altitude, Some(29.13));
                assert_eq!(camera.oddities, []);
            }
        }
    }

    /// Seen in WebP files of several writers.
    #[test]
    fn a_webp_block_may_carry_the_mark_of_a_jpeg_segment() {
        let bytes = samples::webp(16, 9, &Exif::held(6));
        let at = bytes.windows(4).position(|it| it == b"EXIF").unwrap();
        let marked = [&bytes[..at + 8], b"Exif\0\0", &bytes[at + 8..]].concat();
        assert_eq!(read(&marked, Format::Webp).orientation, None, "cut short");
        let mut longer = marked;
        longer[at + 4] += 6;
        assert_eq!(read(&longer, Format::Webp).orientation, Some(6));
    }

    #[test]
    fn a_model_that_names_its_maker_is_not_doubled() {
        let exif = Exif {
            model: Some("Shed Box 2".to_owned()),
            ..full()
        };
        assert_eq!(of_jpeg(&exif).name.as_deref(), Some("Shed Box 2"));
    }

    #[test]
    fn silence_is_told_from_nonsense() {
        let bare = read(&samples::jpeg_bare(16, 9), Format::Jpeg);
        assert_eq!(bare.oddities, [Oddity::NoExif]);
        for (written, told) in [
            ("    :  :     :  :  ", ":  :     :  :"),
            ("0000:00:00 00:00:00", "0000:00:00 00:00:00"),
            ("yesterday", "yesterday"),
        ] {
            let camera = of_jpeg(&Exif::taken(written));
            assert_eq!(camera.time, None);
            assert_eq!(camera.oddities, [Oddity::NoDate(told.to_owned())]);
        }
        // No date field at all is no oddity: nothing was claimed.
        assert_eq!(of_jpeg(&Exif::held(1)).oddities, []);
        let junk = samples::jpeg_of(16, 9, &samples::pixels(16, 9, 0), Some(b"not a block"));
        let said = read(&junk, Format::Jpeg).oddities;
        assert!(matches!(&said[..], [Oddity::ExifUnreadable(_)]), "{said:?}");
    }

    #[test]
    fn an_edit_shows_when_a_program_changed_the_file_later() {
        let changed = |at: &str, software: Option<&str>| Exif {
            changed: Some(at.to_owned()),
            software: software.map(str::to_owned),
            ..full()
        };
        let late = of_jpeg(&changed("2026:05:04 20:00:00", Some("paint box")));
        assert_eq!(late.oddities, [Oddity::Edited("paint box".to_owned())]);
        // Exactly a minute may be the camera itself.
        let soon = of_jpeg(&changed("2026:05:03 10:03:11", Some("paint box")));
        assert_eq!(soon.oddities, []);
        assert_eq!(of_jpeg(&changed("2026:05:04 20:00:00", None)).oddities, []);
    }

    #[test]
    fn the_first_of_several_blocks_counts() {
        let first = samples::jpeg(16, 9, &Exif::taken("2026:05:03 10:02:11"));
        let second = samples::jpeg(16, 9, &Exif::taken("2020:01:01 00:00:00"));
        // The second file's segments before its picture, put behind the start marker and the block.
        let length = usize::from(u16::from_be_bytes([first[4], first[5]]));
        let at = if first[3] == 0xe1 {
            4 + length
        } else {
            let app0 = 4 + length;
            app0 + 2 + usize::from(u16::from_be_bytes([first[app0 + 2], first[app0 + 3]]))
        };
        let both = [&first[..at], &second[2..]].concat();
        let camera = read(&both, Format::Jpeg);
        assert_eq!(camera.time.unwrap().to_string(), "2026-05-03T10:02:11");
        assert_eq!(camera.oddities, [Oddity::SeveralExif]);
    }
}
