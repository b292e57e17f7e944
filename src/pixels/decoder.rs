//! Decodes pictures, one after the other, measures them and makes small ones.

use crate::Format;
use crate::Grey;
use crate::Limits;
use crate::PREVIEW_SIDE;
use crate::PhotoError;
use crate::Picture;
use crate::Small;
use crate::Stated;
use crate::THUMB_SIDE;
use crate::area::Filter;
use crate::colour::Colours;
use crate::guarded;
use crate::header;
use crate::jpeg;
use crate::jpeg::entropy::Fit;
use crate::jpeg::shrunk;
use crate::jpeg::shrunk::Shrunk;
use crate::jpeg::ycc::Ycc;
use crate::measure;
use crate::raster;
use crate::raster::Cut;
use crate::raster::Plate;
use crate::raw;
use crate::shown::Shown;
use crate::sniff;
use crate::straight;
use crate::upright;
use crate::upright::Rgb;

/// Long side of the picture in which sharpness is measured, pixels; smaller pictures keep their size.
const SHARPNESS_SIDE: u32 = 1024;
const PREVIEW_QUALITY: u8 = 82;
const THUMB_QUALITY: u8 = 80;
/// The longest side a JPEG can have.
const LONGEST: u32 = 65_535;

/// Decodes pictures, one after the other; one a thread, it keeps its buffer between them.
pub struct Decoder {
    limits: Limits,
    buffer: Vec<u8>,
}

impl Decoder {
    /// A decoder that refuses pictures beyond `limits`.
    #[must_use]
    pub fn new(limits: Limits) -> Self {
        Self {
            limits,
            buffer: Vec::new(),
        }
    }

    /// Measures a picture, and makes its preview and thumbnail. Never panics.
    ///
    /// `stated` is what Exif says of it, if anything; an orientation that the standard does not know counts as upright.
    ///
    /// # Errors
    /// When the bytes are no picture that can be read, or it is too large or broken.
    pub fn picture(&mut self, bytes: &[u8], stated: Stated) -> Result<Picture, PhotoError> {
        self.safely(|it| it.measured(bytes, stated))
    }

    /// Cuts an area out of a picture: left, top, width and height in percent of the upright picture, clamped to
    /// it, at least one pixel; never enlarged. Never panics.
    ///
    /// # Errors
    /// As [`Decoder::picture`].
    pub fn crop(
        &mut self,
        bytes: &[u8],
        stated: Stated,
        area: [f64; 4],
        long_side: u32,
        quality: u8,
    ) -> Result<Small, PhotoError> {
        self.safely(|it| {
            let (plate, turned) = it.decoded(bytes, stated)?;
            let rgb = it.print(&plate, turned, area, long_side)?;
            small(&rgb, quality)
        })
    }

    /// Sets a flat thing in a picture straight. `rows` is the projective map from the straight picture to the upright one that
    /// was taken, both 1 wide and 1 high; `size` is what the straight one has, pixels. What lies outside is grey. Never panics.
    ///
    /// # Errors
    /// As [`Decoder::picture`], and when a corner of it lies behind the camera.
    pub fn straight(
        &mut self,
        bytes: &[u8],
        stated: Stated,
        rows: &[[f64; 3]; 3],
        (width, height): (u32, u32),
        quality: u8,
    ) -> Result<Small, PhotoError> {
        self.safely(|it| {
            let (plate, turned) = it.decoded(bytes, stated)?;
            let whole = upright::size(turned, (plate.width, plate.height));
            let size = (width.clamp(1, LONGEST), height.clamp(1, LONGEST));
            let found = straight::area(rows).zip(straight::density(rows, whole, size));
            let (area, density) =
                found.ok_or_else(|| header::broken("it lies behind the camera"))?;
            // The cut takes whole pixels: the area that it then has is the one to draw from.
            let area = whole_pixels(area, whole);
            let long = area[2] / 100.0 * f64::from(whole.0);
            let long = long.max(area[3] / 100.0 * f64::from(whole.1));
            let print = it.print(
                &plate,
                turned,
                area,
                (long / density.max(1.0)).ceil() as u32,
            )?;
            small(&straight::drawn(&print, area, rows, size), quality)
        })
    }

    /// The upright picture in grey (ITU-R BT.601), its long side at most `long_side`; never enlarged. Never panics.
    ///
    /// # Errors
    /// As [`Decoder::picture`].
    pub fn grey(
        &mut self,
        bytes: &[u8],
        stated: Stated,
        long_side: u32,
    ) -> Result<Grey, PhotoError> {
        self.safely(|it| {
            let (plate, turned) = it.decoded(bytes, stated)?;
            let rgb = it.print(&plate, turned, WHOLE, long_side)?;
            Ok(Grey {
                width: rgb.width,
                height: rgb.height,
                values: measure::grey(&rgb.pixels),
            })
        })
    }

    /// The picture as it is stored, decoded into the buffer, and how it is to be turned.
    fn decoded(&mut self, bytes: &[u8], stated: Stated) -> Result<(Plate, u16), PhotoError> {
        let format = sniff::format(bytes)?;
        let mut plate = raster::decode(bytes, format, self.limits, &mut self.buffer)?;
        plate.colours.unless_told(stated.adobe_rgb);
        Ok((plate, turned(stated.orientation, format)))
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

    fn measured(&mut self, bytes: &[u8], stated: Stated) -> Result<Picture, PhotoError> {
        let format = sniff::format(bytes)?;
        // A file with an end of its own was not cut off: a marker that is none stands in its data.
        let shown = raw::shown(bytes, format)?;
        let is_jpeg = matches!(format, Format::Jpeg | Format::Raw);
        let cut_off = is_jpeg
            && !shown.ends_with(&[0xff, 0xd9])
            && !jpeg::header(shown)?.reaches_its_end(shown);
        let stored = header::stored_size(bytes, format, self.limits)?;
        let (fit, shrunk) = match is_jpeg && !cut_off {
            true => shrunk::read(shown, stored, PREVIEW_SIDE),
            false => (Fit::Unjudged, None),
        };
        let damaged = match fit {
            Fit::Damaged(why) => Some(why),
            Fit::Whole | Fit::Unjudged => None,
        };
        let turned = turned(stated.orientation, format);
        let middle = match shrunk {
            Some(shrunk) => self.shown_of(shrunk, shown, stated)?,
            None => None,
        };
        let (middle, stored) = match middle {
            Some(middle) => (middle.turned(turned), stored),
            None => {
                let (plate, turned) = self.decoded(bytes, stated)?;
                // What stops in the middle is kept where the data say why, and is told with it.
                if let (Some(why), None) = (&plate.stopped, damaged) {
                    return Err(why.clone());
                }
                let rgb = self.print(&plate, turned, WHOLE, PREVIEW_SIDE)?;
                (Shown::Rgb(rgb), plate.stored)
            }
        };
        let (width, height) = upright::size(turned, stored);
        let size = middle.size();
        let thumb = middle.smaller(fit_in(size, THUMB_SIDE))?;
        let preview = middle.small(PREVIEW_QUALITY)?;
        let grey = middle.grey();
        let working = fit_in(size, SHARPNESS_SIDE);
        let sharp = raster::resize_grey(&grey, size, working, Filter::Lanczos3);
        let hashed = raster::resize_grey(&grey, size, (9, 8), Filter::Lanczos3);
        let greys = raster::resize_grey(&grey, size, (16, 16), Filter::Area);
        Ok(Picture {
            format,
            width,
            height,
            cut_off: cut_off || format == Format::Raw && raw::ends_early(bytes),
            damaged,
            sharpness: measure::laplacian_variance(&sharp, working.0, working.1),
            sharpness_width: working.0.max(working.1),
            brightness: measure::brightness(&grey),
            black_share: measure::black_share(&grey),
            difference_hash: measure::difference_hash(&hashed),
            greys: std::array::from_fn(|n| greys.get(n).copied().unwrap_or(0)),
            preview,
            thumb: thumb.small(THUMB_QUALITY)?,
        })
    }

    /// What is shown of a JPEG that was read smaller; `None` where its planes are other colours than those of most JPEGs.
    fn shown_of(
        &self,
        shrunk: Shrunk,
        bytes: &[u8],
        stated: Stated,
    ) -> Result<Option<Shown>, PhotoError> {
        let Some(mut colours) = raster::planar_colours(bytes)? else {
            return Ok(None);
        };
        colours.unless_told(stated.adobe_rgb);
        let ycc = Ycc::of(&shrunk, fit_in(shrunk.stored, PREVIEW_SIDE));
        Ok(Some(match colours {
            Colours::Standard => Shown::Ycc(ycc),
            other => {
                let mut rgb = ycc.rgb();
                other.to_srgb(&mut rgb);
                Shown::Rgb(rgb)
            }
        }))
    }

    /// Makes a small upright picture of an area of the decoded photo; it is cheaper to turn it last.
    fn print(
        &mut self,
        plate: &Plate,
        turned: u16,
        area: [f64; 4],
        long_side: u32,
    ) -> Result<Rgb, PhotoError> {
        let cut = cut(plate, turned, area);
        let size = fit_in((cut.width, cut.height), long_side);
        let rgb = raster::resize(&self.buffer, plate, cut, size)?;
        Ok(upright::turn(rgb, turned))
    }
}

/// The whole picture, in percent.
const WHOLE: [f64; 4] = [0.0, 0.0, 100.0, 100.0];

/// The orientation to apply; a HEIC is turned by its own boxes already (ISO/IEC 23008-12).
fn turned(written: Option<u16>, format: Format) -> u16 {
    match format {
        Format::Heic | Format::Avif => 1,
        Format::Jpeg | Format::Png | Format::Webp | Format::Tiff | Format::Raw => {
            written.filter(|it| (1..=8).contains(it)).unwrap_or(1)
        }
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
fn fit_in((width, height): (u32, u32), long_side: u32) -> (u32, u32) {
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

/// An area of the upright picture in percent, grown to whole pixels.
fn whole_pixels([left, top, wide, high]: [f64; 4], (width, height): (u32, u32)) -> [f64; 4] {
    let grown = |from: f64, long: f64, side: u32| {
        let (side, per) = (f64::from(side), f64::from(side) / 100.0);
        let first = (from * per).floor().clamp(0.0, side - 1.0);
        let end = ((from + long) * per).ceil().clamp(first + 1.0, side);
        (first / per, (end - first) / per)
    };
    let ((left, wide), (top, high)) = (grown(left, wide, width), grown(top, high, height));
    [left, top, wide, high]
}

/// The area of the upright picture, given in percent, as whole pixels of the stored one.
fn cut(plate: &Plate, orientation: u16, [left, top, width, height]: [f64; 4]) -> Cut {
    #[expect(clippy::manual_clamp, reason = "`clamp` would keep what is no number")]
    let share = |it: f64| it.max(0.0).min(100.0) / 100.0;
    let (width, height) = (width.max(0.0), height.max(0.0));
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

#[cfg(test)]
mod tests {
    use samples::Exif;

    use super::Decoder;
    use super::fit_in;
    use crate::Limits;
    use crate::PhotoError;
    use crate::Stated;

    #[test]
    fn small_pictures_keep_proportions_and_are_never_larger() {
        assert_eq!(fit_in((4032, 3024), 1600), (1600, 1200));
        assert_eq!(fit_in((3024, 4032), 320), (240, 320));
        assert_eq!(fit_in((100, 50), 1600), (100, 50));
        assert_eq!(fit_in((60_000, 1), 1600), (1600, 1));
    }

    #[test]
    fn a_panic_becomes_an_error_and_the_decoder_goes_on() {
        let mut decoder = Decoder::new(Limits::default());
        let said: Result<(), _> = decoder.safely(|_| panic!("as a decoder might"));
        assert_eq!(said, Err(PhotoError::GaveUp));
        assert!(
            decoder
                .picture(&samples::jpeg(16, 9, &Exif::default()), Stated::default())
                .is_ok()
        );
    }
}
