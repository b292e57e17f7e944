//! The place where one thread makes facts and small pictures out of photos, one after the other.

use fast_image_resize::Resizer;

use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::photo::Limits;
use crate::photo::Look;
use crate::photo::PREVIEW_SIDE;
use crate::photo::PhotoError;
use crate::photo::Small;
use crate::photo::THUMB_SIDE;
use crate::photo::camera;
use crate::photo::camera::Camera;
use crate::photo::guarded;
use crate::photo::jpeg;
use crate::photo::measure;
use crate::photo::raster;
use crate::photo::raster::Cut;
use crate::photo::raster::Plate;
use crate::photo::sniff;
use crate::photo::upright;
use crate::photo::upright::Rgb;

/// Long side of the picture in which sharpness is measured, pixels; smaller pictures keep their size.
const SHARPNESS_SIDE: u32 = 1024;
const PREVIEW_QUALITY: u8 = 82;
const THUMB_QUALITY: u8 = 80;
/// The longest side a JPEG can have.
const LONGEST: u32 = 65_535;

/// Makes facts and small pictures out of photos; one a thread, it keeps its buffers between photos.
pub struct Darkroom {
    limits: Limits,
    buffer: Vec<u8>,
    resizer: Resizer,
}

impl Darkroom {
    /// A darkroom that refuses photos beyond `limits`.
    #[must_use]
    pub fn new(limits: Limits) -> Self {
        Self {
            limits,
            buffer: Vec::new(),
            resizer: Resizer::new(),
        }
    }

    /// Takes all facts of a photo, and its preview and thumbnail. Never panics.
    ///
    /// # Errors
    /// When the bytes are no picture that can be read, or it is too large or broken.
    pub fn develop(&mut self, bytes: &[u8]) -> Result<Look, PhotoError> {
        self.safely(|room| room.look(bytes))
    }

    /// Cuts an area out of a photo, or out of a preview: left, top, width and height in percent of the
    /// upright picture, clamped to it, at least one pixel; never enlarged. Never panics.
    ///
    /// # Errors
    /// As [`Darkroom::develop`].
    pub fn crop(
        &mut self,
        bytes: &[u8],
        area: [f64; 4],
        long_side: u32,
        quality: u8,
    ) -> Result<Small, PhotoError> {
        self.safely(|room| {
            let format = sniff::format(bytes)?;
            let turned = orientation(&camera::read(bytes, format), format);
            let rgb = room.upright(bytes, format, turned, area, long_side)?;
            small(&rgb, quality)
        })
    }

    /// Makes a photo smaller, at most `long_side` pixels; never enlarges. Never panics.
    ///
    /// # Errors
    /// As [`Darkroom::develop`].
    pub fn shrink(
        &mut self,
        bytes: &[u8],
        long_side: u32,
        quality: u8,
    ) -> Result<Small, PhotoError> {
        self.crop(bytes, WHOLE, long_side, quality)
    }

    /// Runs a job; after a panic the buffers are new.
    fn safely<T>(
        &mut self,
        job: impl FnOnce(&mut Self) -> Result<T, PhotoError>,
    ) -> Result<T, PhotoError> {
        let done = guarded(|| job(self));
        if matches!(done, Err(PhotoError::GaveUp)) {
            *self = Self::new(self.limits);
        }
        raster::tidy(&mut self.buffer);
        done
    }

    fn look(&mut self, bytes: &[u8]) -> Result<Look, PhotoError> {
        let format = sniff::format(bytes)?;
        let mut camera = camera::read(bytes, format);
        let turned = orientation(&camera, format);
        if let Some(odd) = camera.orientation.filter(|it| !(1..=8).contains(it)) {
            camera.oddities.push(Oddity::OrientationOdd(odd));
        }
        if format == Format::Jpeg && !jpeg::header(bytes)?.reaches_its_end(bytes) {
            camera.oddities.push(Oddity::CutOff);
        }
        let plate = raster::decode(bytes, format, self.limits, &mut self.buffer)?;
        let rgb = self.print(plate, turned, WHOLE, PREVIEW_SIDE)?;
        let (width, height) = swapped(turned, (plate.width, plate.height));
        let size = fit((rgb.width, rgb.height), THUMB_SIDE);
        let thumb = raster::resize_rgb(&mut self.resizer, &rgb, size)?;
        let facts = self.facts(format, (width, height), camera, &rgb)?;
        Ok(Look {
            facts,
            preview: small(&rgb, PREVIEW_QUALITY)?,
            thumb: small(&thumb, THUMB_QUALITY)?,
        })
    }

    fn facts(
        &mut self,
        format: Format,
        (width, height): (u32, u32),
        camera: Camera,
        preview: &Rgb,
    ) -> Result<Facts, PhotoError> {
        let grey = measure::grey(&preview.pixels);
        let size = (preview.width, preview.height);
        let working = fit(size, SHARPNESS_SIDE);
        let resizer = &mut self.resizer;
        let sharp = raster::resize_grey(resizer, &grey, size, working)?;
        let look = raster::resize_grey(resizer, &grey, size, (9, 8))?;
        Ok(Facts {
            format,
            width,
            height,
            orientation: camera.orientation,
            camera_time: camera.time,
            camera: camera.name,
            serial: camera.serial,
            place: camera.place,
            focal_35mm: camera.focal_35mm,
            sharpness: measure::laplacian_variance(&sharp, working.0, working.1),
            sharpness_width: working.0.max(working.1),
            brightness: measure::brightness(&grey),
            black_share: measure::black_share(&grey),
            look: measure::difference_hash(&look),
            oddities: camera.oddities,
        })
    }

    fn upright(
        &mut self,
        bytes: &[u8],
        format: Format,
        turned: u16,
        area: [f64; 4],
        long_side: u32,
    ) -> Result<Rgb, PhotoError> {
        let plate = raster::decode(bytes, format, self.limits, &mut self.buffer)?;
        self.print(plate, turned, area, long_side)
    }

    /// Makes a small upright picture of an area of the decoded photo; it is cheaper to turn it last.
    fn print(
        &mut self,
        plate: Plate,
        turned: u16,
        area: [f64; 4],
        long_side: u32,
    ) -> Result<Rgb, PhotoError> {
        let cut = cut(plate, turned, area);
        let size = fit((cut.width, cut.height), long_side);
        let rgb = raster::resize(&mut self.resizer, &self.buffer, plate, cut, size)?;
        Ok(upright::turn(rgb, turned))
    }
}

/// The whole picture, in percent.
const WHOLE: [f64; 4] = [0.0, 0.0, 100.0, 100.0];

/// The orientation to apply; a HEIC is turned by its own boxes already (ISO/IEC 23008-12).
fn orientation(camera: &Camera, format: Format) -> u16 {
    match format {
        Format::Heic | Format::Avif => 1,
        Format::Jpeg | Format::Png | Format::Webp | Format::Tiff => {
            let written = camera.orientation.unwrap_or(1);
            if (1..=8).contains(&written) {
                written
            } else {
                1
            }
        }
    }
}

fn swapped(orientation: u16, (width, height): (u32, u32)) -> (u32, u32) {
    if orientation >= 5 {
        (height, width)
    } else {
        (width, height)
    }
}

fn small(rgb: &Rgb, quality: u8) -> Result<Small, PhotoError> {
    Ok(Small {
        jpeg: raster::encode(rgb, quality)?,
        width: rgb.width,
        height: rgb.height,
    })
}

/// The size with its long side at most `long_side`, in proportion; never larger, never without pixels.
fn fit((width, height): (u32, u32), long_side: u32) -> (u32, u32) {
    let (long, most) = (width.max(height), long_side.clamp(1, LONGEST));
    if long <= most {
        return (width, height);
    }
    let scale = |side: u32| {
        let (side, most, long) = (u64::from(side), u64::from(most), u64::from(long));
        ((side * most + long / 2) / long).max(1) as u32
    };
    (scale(width), scale(height))
}

/// The area of the upright picture, given in percent, as whole pixels of the stored one.
fn cut(plate: Plate, orientation: u16, [left, top, width, height]: [f64; 4]) -> Cut {
    let share = |it: f64| {
        if it.is_finite() {
            it.clamp(0.0, 100.0) / 100.0
        } else {
            0.0
        }
    };
    let (right, bottom) = (share(left + width), share(top + height));
    let area = [share(left), share(top), right, bottom];
    let [left, top, right, bottom] = upright::stored_area(area, orientation);
    // A hair's breadth of rounding must not fetch another row.
    let span = |from: f64, to: f64, side: u32| {
        let first = (from * f64::from(side) + 1e-6).floor() as u32;
        let first = first.min(side - 1);
        let end = (to * f64::from(side) - 1e-6).ceil() as u32;
        (first, end.clamp(first + 1, side) - first)
    };
    let (left, wide) = span(left, right, plate.width);
    let (top, high) = span(top, bottom, plate.height);
    Cut {
        left,
        top,
        width: wide,
        height: high,
    }
}
