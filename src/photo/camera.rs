//! What the camera wrote into the Exif block (CIPA DC-008 / JEITA CP-3451).

use std::io::Cursor;

use exif::Exif;
use exif::Reader;
use exif::Tag;

use crate::kit::clock::CameraTime;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::model::facts::Place;
use crate::photo::block::Block;
use crate::photo::block::STORED;
use crate::photo::block::TAKEN;
use crate::photo::programs;
use crate::pixels::Stated;
use crate::pixels::exif_blocks;
use crate::pixels::shown;

/// InteroperabilityIndex of a DCF option file, whose colours are Adobe RGB (CIPA DC-008, tag 1 of the interoperability
/// directory).
const OPTION_FILE: &str = "R03";

/// The camera's part of the facts.
#[derive(Debug, Default)]
pub(crate) struct Camera {
    /// How the pixels are meant.
    pub(crate) stated: Stated,
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
    /// The small picture that the camera put beside its facts, as it lies there.
    pub(crate) thumbnail: Option<Vec<u8>>,
    /// What is odd about the block.
    pub(crate) oddities: Vec<Oddity>,
}

/// Reads the Exif block of a picture; whatever is wrong with it becomes an oddity.
///
/// Of a raw file it is the file's own. How its picture lies is said by the picture where that says so, and what the file leaves out
/// is taken from there.
pub(crate) fn read(bytes: &[u8], format: Format) -> Camera {
    let mut camera = block_of(bytes, format);
    if format == Format::Raw
        && let Ok(picture) = shown(bytes)
    {
        let its = block_of(picture, Format::Jpeg);
        camera.stated.orientation = its.stated.orientation.or(camera.stated.orientation);
        camera.time = camera.time.or(its.time);
        camera.place = camera.place.or(its.place);
    }
    camera
}

fn block_of(bytes: &[u8], format: Format) -> Camera {
    let mut oddities = Vec::new();
    let blocks = exif_blocks(bytes, format);
    if blocks.count > 1 {
        oddities.push(Oddity::SeveralExif);
    }
    let block = match (blocks.first, format) {
        (Some(block), _) => reader().read_raw(block).map(Some),
        (None, Format::Jpeg | Format::Webp | Format::Raw) => Ok(None),
        (None, Format::Heic | Format::Avif | Format::Png | Format::Tiff) => from_container(bytes),
    };
    let mut wounds = Vec::new();
    let exif = block.or_else(|why| why.distill_partial_result(|all| wounds = all).map(Some));
    let named = |exif: Option<&Exif>| programs::named(exif.map(Block).as_ref(), bytes);
    let programs: Vec<Oddity> = named(exif.as_ref().ok().and_then(Option::as_ref));
    oddities.extend(programs);
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

impl Block<'_> {
    fn camera(&self, mut oddities: Vec<Oddity>) -> Camera {
        let time = self.time(&mut oddities);
        oddities.extend(time.iter().flat_map(|it| self.contradictions(*it)));
        let name = match (self.text(Tag::Make), self.text(Tag::Model)) {
            (Some(make), Some(model)) if !model.starts_with(&make) => {
                Some(format!("{make} {model}"))
            }
            (make, model) => model.or(make),
        };
        let orientation = self.number(Tag::Orientation);
        Camera {
            stated: Stated {
                orientation: orientation.and_then(|it| u16::try_from(it).ok()),
                adobe_rgb: self.text(Tag::InteroperabilityIndex).as_deref() == Some(OPTION_FILE),
            },
            time,
            name,
            serial: self
                .text(Tag::BodySerialNumber)
                .or_else(|| self.text(Tag::LensSerialNumber)),
            place: self.place(),
            focal_35mm: self.number(Tag::FocalLengthIn35mmFilm).filter(|it| *it > 0),
            thumbnail: self.thumbnail().map(<[u8]>::to_vec),
            oddities,
        }
    }

    /// DateTimeOriginal, else DateTimeDigitized; never DateTime, which is when the file was changed.
    fn time(&self, oddities: &mut Vec<Oddity>) -> Option<CameraTime> {
        let time = self.moment(TAKEN).or_else(|| self.moment(STORED));
        if time.is_none() {
            let written = self
                .raw_text(Tag::DateTimeOriginal)
                .or_else(|| self.raw_text(Tag::DateTimeDigitized));
            oddities.extend(written.map(Oddity::NoDate));
        }
        time
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
            ..Exif::default()
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
                assert_eq!(camera.stated.orientation, Some(6));
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
        assert_eq!(
            read(&marked, Format::Webp).stated.orientation,
            None,
            "cut short"
        );
        let mut longer = marked;
        longer[at + 4] += 6;
        assert_eq!(read(&longer, Format::Webp).stated.orientation, Some(6));
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
    fn a_program_that_is_no_cameras_is_told() {
        let of = |software: &str| {
            of_jpeg(&Exif {
                software: Some(software.to_owned()),
                ..full()
            })
        };
        let told = [Oddity::Edited("paint box".to_owned())];
        assert_eq!(of("paint box").oddities, told);
        assert_eq!(of("Box 2 Ver1.20").oddities, []);
        let xmp = [
            &b"http://ns.adobe.com/xap/1.0/\0"[..],
            &samples::xmp("xmp:CreatorTool=\"paint box\" stEvt:softwareAgent=\"paint box\""),
        ]
        .concat();
        let marked = samples::with_segment(&samples::jpeg(16, 9, &full()), 0xe1, &xmp);
        assert_eq!(read(&marked, Format::Jpeg).oddities, told);
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
