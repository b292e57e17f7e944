//! The place where one thread makes facts and small pictures out of photos, one after the other.

use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::facts::Greys;
use crate::model::facts::Oddity;
use crate::photo::Grey;
use crate::photo::Limits;
use crate::photo::Look;
use crate::photo::PhotoError;
use crate::photo::Small;
use crate::photo::camera;
use crate::photo::camera::Camera;
use crate::pixels::Decoder;
use crate::pixels::Stated;
use crate::pixels::guarded;
use crate::pixels::shown;
use crate::pixels::sniff;
use crate::pixels::stripped_jpeg;

/// Quality in which a picture that is no upright JPEG is coded anew in full size.
const COPY_QUALITY: u8 = 92;

/// Makes facts and small pictures out of photos; one a thread, it keeps its buffers between photos.
pub struct PhotoProcessor {
    decoder: Decoder,
}

impl PhotoProcessor {
    /// A processor that refuses photos beyond `limits`.
    #[must_use]
    pub fn new(limits: Limits) -> Self {
        Self {
            decoder: Decoder::new(limits),
        }
    }

    /// Takes all facts of a photo, and its preview and thumbnail. Never panics.
    ///
    /// # Errors
    /// When the bytes are no picture that can be read, or it is too large or broken.
    pub fn process(&mut self, bytes: &[u8]) -> Result<Look, PhotoError> {
        let mut camera = camera(bytes)?;
        let picture = self.decoder.picture(bytes, camera.stated)?;
        if let Some(odd) = camera.stated.orientation.filter(|it| !(1..=8).contains(it)) {
            camera.oddities.push(Oddity::OrientationOdd(odd));
        }
        if picture.cut_off {
            camera.oddities.push(Oddity::CutOff);
        }
        if let Some(why) = picture.damaged {
            camera.oddities.push(Oddity::Damaged(why.to_owned()));
        }
        if let Some(small) = &camera.thumbnail {
            let size = (picture.width, picture.height);
            let bits = self.small_looks(small, camera.stated, size, picture.difference_hash);
            let other = bits.filter(|it| *it > OTHER_LOOK);
            camera.oddities.extend(other.map(Oddity::OtherThumbnail));
        }
        let facts = Facts {
            format: picture.format,
            width: picture.width,
            height: picture.height,
            orientation: camera.stated.orientation,
            camera_time: camera.time,
            camera: camera.name,
            serial: camera.serial,
            place: camera.place,
            focal_35mm: camera.focal_35mm,
            sharpness: picture.sharpness,
            sharpness_width: picture.sharpness_width,
            brightness: picture.brightness,
            black_share: picture.black_share,
            look: picture.difference_hash,
            greys: Some(Greys(picture.greys)),
            oddities: camera.oddities,
        };
        Ok(Look {
            facts,
            preview: picture.preview,
            thumb: picture.thumb,
        })
    }

    /// Cuts an area out of a photo, or out of a preview: left, top, width and height in percent of the
    /// upright picture, clamped to it, at least one pixel; never enlarged. Never panics.
    ///
    /// # Errors
    /// As [`PhotoProcessor::process`].
    pub fn crop(
        &mut self,
        bytes: &[u8],
        area: [f64; 4],
        long_side: u32,
        quality: u8,
    ) -> Result<Small, PhotoError> {
        let stated = camera(bytes)?.stated;
        self.decoder.crop(bytes, stated, area, long_side, quality)
    }

    /// Makes a photo smaller, at most `long_side` pixels; never enlarges. Never panics.
    ///
    /// # Errors
    /// As [`PhotoProcessor::process`].
    pub fn shrink(
        &mut self,
        bytes: &[u8],
        long_side: u32,
        quality: u8,
    ) -> Result<Small, PhotoError> {
        self.crop(bytes, WHOLE, long_side, quality)
    }

    /// Sets a flat thing in a photo straight: `rows` maps the straight picture of `size` pixels to the upright photo, both 1 wide
    /// and 1 high. Never panics.
    ///
    /// # Errors
    /// As [`PhotoProcessor::process`], and when a corner of it lies behind the camera.
    pub fn straight(
        &mut self,
        bytes: &[u8],
        rows: &[[f64; 3]; 3],
        size: (u32, u32),
        quality: u8,
    ) -> Result<Small, PhotoError> {
        let stated = camera(bytes)?.stated;
        self.decoder.straight(bytes, stated, rows, size, quality)
    }

    /// The upright photo in grey, at most `long_side` pixels; never enlarged. Never panics.
    ///
    /// # Errors
    /// As [`PhotoProcessor::process`].
    pub fn grey(&mut self, bytes: &[u8], long_side: u32) -> Result<Grey, PhotoError> {
        let stated = camera(bytes)?.stated;
        self.decoder.grey(bytes, stated, long_side)
    }

    /// A copy of a photo without what the camera wrote: of a JPEG, and of that in a raw file, the same picture to the bit; of any other coding, or where its
    /// colours cannot be told without the words of a profile or the camera's block, its preview.
    /// Never panics.
    ///
    /// # Errors
    /// As [`PhotoProcessor::process`].
    pub fn stripped(&mut self, bytes: &[u8]) -> Result<Vec<u8>, PhotoError> {
        let stated = camera(bytes)?.stated;
        let picture = guarded(|| shown(bytes))?;
        if sniff(picture)? == Format::Jpeg
            && !stated.adobe_rgb
            && let Ok(copy) = guarded(|| stripped_jpeg(picture, stated.orientation))
        {
            return Ok(copy);
        }
        Ok(self.decoder.picture(bytes, stated)?.preview.jpeg)
    }

    /// The same as an upright picture that says nothing of how to turn it: of a JPEG that lies upright the same picture to the bit; of
    /// any other its upright picture in full size, coded anew. Never panics.
    ///
    /// # Errors
    /// As [`PhotoProcessor::process`].
    pub fn upright(&mut self, bytes: &[u8]) -> Result<Vec<u8>, PhotoError> {
        let stated = camera(bytes)?.stated;
        let turned = stated.orientation.is_some_and(|it| (2..=8).contains(&it));
        let picture = guarded(|| shown(bytes))?;
        if sniff(picture)? == Format::Jpeg
            && !turned
            && !stated.adobe_rgb
            && let Ok(copy) = guarded(|| stripped_jpeg(picture, None))
        {
            return Ok(copy);
        }
        Ok(self.shrink(bytes, u32::MAX, COPY_QUALITY)?.jpeg)
    }

    /// In how many of 64 bits the look of a small picture differs from that of its large one. Cameras put black bars round
    /// small pictures of another shape, so it is looked at with and without them, as it lies and turned as the large one.
    fn small_looks(
        &mut self,
        small: &[u8],
        stated: Stated,
        (width, height): (u32, u32),
        look: u64,
    ) -> Option<u32> {
        let mut least = None;
        for turned in [stated, Stated::default()] {
            let whole = self
                .decoder
                .crop(small, turned, WHOLE, SMALL_SIDE, 95)
                .ok()?;
            let [wide, high] = [whole.width, whole.height].map(f64::from);
            let (across, down) = (wide * f64::from(height), high * f64::from(width));
            let inner = match across > down {
                true => [
                    50.0 - 50.0 * down / across,
                    0.0,
                    100.0 * down / across,
                    100.0,
                ],
                false => [
                    0.0,
                    50.0 - 50.0 * across / down,
                    100.0,
                    100.0 * across / down,
                ],
            };
            for area in [WHOLE, inner] {
                let cut = self
                    .decoder
                    .crop(&whole.jpeg, Stated::default(), area, SMALL_SIDE, 95);
                let seen = cut.and_then(|it| self.decoder.picture(&it.jpeg, Stated::default()));
                let bits = seen.ok().map(|it| (it.difference_hash ^ look).count_ones());
                least = [least, bits].into_iter().flatten().min();
            }
        }
        least
    }
}

/// Longest side of a small picture, pixels; Exif knows only small ones.
const SMALL_SIDE: u32 = 640;

/// Over this a small picture shows something else, in bits of 64. Of 28 samples with a small picture 26 differ in at most 7
/// bits, the other two in 29 and 31 (`photo_reference`); unrelated pictures differ in 32 on average.
const OTHER_LOOK: u32 = 20;

/// The whole picture, in percent.
const WHOLE: [f64; 4] = [0.0, 0.0, 100.0, 100.0];

/// What the camera wrote; whatever is wrong with that is an oddity, so it only fails where [`sniff`] does or panics.
fn camera(bytes: &[u8]) -> Result<Camera, PhotoError> {
    let format = sniff(bytes)?;
    guarded(|| Ok(camera::read(bytes, format)))
}

#[cfg(test)]
mod tests {
    use image::ImageFormat;
    use samples::Exif;
    use samples::LAYOUTS;
    use samples::RawLayout;
    use samples::RawSaid;

    use super::PhotoProcessor;
    use crate::model::facts::Format;
    use crate::model::facts::Oddity;
    use crate::photo::Limits;
    use crate::photo::PhotoError;
    use crate::photo::Small;
    use crate::photo::camera_time;
    use crate::photo::disclosed;
    use crate::photo::stored_size;

    fn room() -> PhotoProcessor {
        PhotoProcessor::new(Limits::default())
    }

    fn rgb(small: &Small) -> Vec<u8> {
        let picture = image::load_from_memory_with_format(&small.jpeg, ImageFormat::Jpeg).unwrap();
        assert_eq!(
            (picture.width(), picture.height()),
            (small.width, small.height)
        );
        picture.into_rgb8().into_raw()
    }

    fn difference(a: &[u8], b: &[u8]) -> f64 {
        assert_eq!(a.len(), b.len());
        let sum: u64 = a
            .iter()
            .zip(b)
            .map(|(a, b)| u64::from(a.abs_diff(*b)))
            .sum();
        sum as f64 / a.len() as f64
    }

    /// Each coding of a picture stored as held, named.
    fn held_in_every_coding(orientation: u16) -> Vec<(Format, Vec<u8>)> {
        let upright = samples::pixels(240, 160, 0);
        let (w, h, stored) = samples::held(240, 160, &upright, orientation);
        let exif = Exif::held(orientation);
        vec![
            (
                Format::Jpeg,
                samples::jpeg_of(w, h, &stored, Some(&exif.block())),
            ),
            (Format::Png, samples::png_of(w, h, &stored, &exif)),
            (Format::Webp, samples::webp_of(w, h, &stored, &exif)),
            (Format::Tiff, samples::tiff_of(w, h, &stored, &exif)),
        ]
    }

    #[test]
    fn all_orientations_come_out_upright() {
        let want = samples::pixels(240, 160, 0);
        let mut room = room();
        for orientation in 1..=8 {
            for (format, bytes) in held_in_every_coding(orientation) {
                let look = room.process(&bytes).unwrap();
                let facts = &look.facts;
                assert_eq!(
                    (facts.format, facts.width, facts.height),
                    (format, 240, 160)
                );
                assert_eq!(facts.orientation, Some(orientation));
                assert_eq!(facts.oddities, []);
                let off = difference(&rgb(&look.preview), &want);
                assert!(off < 6.0, "{format:?} {orientation}: {off}");
            }
        }
    }

    /// The bound of the test above means something: any other orientation is far away.
    #[test]
    fn the_sample_tells_orientations_apart() {
        let upright = samples::pixels(160, 160, 0);
        for orientation in 2..=8 {
            let (_, _, stored) = samples::held(160, 160, &upright, orientation);
            let off = difference(&stored, &upright);
            assert!(off > 25.0, "{orientation}: {off}");
        }
    }

    #[test]
    fn an_impossible_orientation_is_taken_as_upright_and_told() {
        for odd in [0, 9, 300] {
            let look = room().process(&samples::jpeg(60, 40, &Exif::held(odd)));
            let facts = look.unwrap().facts;
            assert_eq!((facts.width, facts.height), (60, 40));
            assert_eq!(facts.orientation, Some(odd));
            assert_eq!(facts.oddities, [Oddity::OrientationOdd(odd)]);
        }
    }

    #[test]
    fn previews_keep_proportions_and_are_never_larger() {
        let look = room()
            .process(&samples::jpeg(2000, 1500, &Exif::held(8)))
            .unwrap();
        assert_eq!((look.preview.width, look.preview.height), (1200, 1600));
        assert_eq!((look.thumb.width, look.thumb.height), (240, 320));
        assert_eq!(look.facts.sharpness_width, 1024);
        let tiny = room()
            .process(&samples::jpeg(40, 30, &Exif::held(1)))
            .unwrap();
        assert_eq!((tiny.preview.width, tiny.thumb.width), (40, 40));
        assert_eq!(tiny.facts.sharpness_width, 40);
        assert_eq!(
            room()
                .process(&samples::png(1, 1, &Exif::held(6)))
                .map(|it| it.facts.width),
            Ok(1)
        );
    }

    #[test]
    fn small_pictures_hold_no_metadata() {
        let exif = Exif {
            place: Some((1.0, 2.0, 3.0)),
            serial: Some("A-77".to_owned()),
            ..Exif::taken("2026:05:03 10:02:11")
        };
        let look = room().process(&samples::jpeg(400, 300, &exif)).unwrap();
        for small in [&look.preview, &look.thumb] {
            let holds = |what: &[u8]| small.jpeg.windows(what.len()).any(|it| it == what);
            assert!(!holds(b"Exif") && !holds(b"A-77") && !holds(b"2026"));
        }
    }

    #[test]
    fn a_small_picture_of_something_else_is_told() {
        let small = |seed: u32| samples::jpeg_of(160, 107, &samples::pixels(160, 107, seed), None);
        let of = |thumbnail: Vec<u8>| {
            let exif = Exif {
                thumbnail: Some(thumbnail),
                ..Exif::held(1)
            };
            room().process(&samples::jpeg(600, 400, &exif)).unwrap()
        };
        assert_eq!(of(small(0)).facts.oddities, []);
        let other = samples::jpeg_of(160, 120, &mirrored(160, 120), None);
        let told = of(other).facts.oddities;
        assert!(matches!(told[..], [Oddity::OtherThumbnail(_)]), "{told:?}");
        // What is no picture is nobody's business.
        assert_eq!(of(b"no picture".to_vec()).facts.oddities, []);
    }

    /// The sample turned round, which looks otherwise.
    fn mirrored(width: u32, height: u32) -> Vec<u8> {
        let pixels = samples::pixels(width, height, 0);
        samples::held(width, height, &pixels, 3).2
    }

    #[test]
    fn the_same_bytes_look_the_same_after_another_photo() {
        let photo = samples::jpeg_seeded(300, 200, 1, &Exif::held(6));
        let cut = &photo[..photo.len() / 2];
        let first = room().process(cut).unwrap();
        let mut used = room();
        used.process(&samples::jpeg_seeded(640, 480, 2, &Exif::held(1)))
            .unwrap();
        let again = used.process(cut).unwrap();
        assert_eq!(first.preview, again.preview);
        assert_eq!(first.facts, again.facts);
        assert_eq!(first.facts.oddities, [Oddity::CutOff]);
    }

    #[test]
    fn another_coding_of_a_picture_looks_alike_and_another_picture_does_not() {
        let looks: Vec<_> = held_in_every_coding(3)
            .iter()
            .map(|(_, bytes)| room().process(bytes).unwrap().facts)
            .collect();
        let other = samples::jpeg_seeded(240, 160, 5, &Exif::held(1));
        let other = room().process(&other).unwrap().facts;
        for look in &looks {
            assert!(look.look_distance(&looks[0]) <= 2);
            assert!(
                look.look_distance(&other) > 8,
                "{}",
                look.look_distance(&other)
            );
        }
    }

    #[test]
    fn light_and_sharpness_are_measured() {
        let flat = |grey: u8| samples::jpeg_of(64, 64, &vec![grey; 64 * 64 * 3], None);
        let dark = room().process(&flat(5)).unwrap().facts;
        assert!((dark.brightness - 5.0).abs() < 1.0);
        assert_eq!((dark.black_share, dark.sharpness), (1.0, 0.0));
        let light = room().process(&flat(200)).unwrap().facts;
        assert_eq!(light.black_share, 0.0);
        let drawn = room()
            .process(&samples::jpeg(640, 480, &Exif::default()))
            .unwrap();
        assert!(drawn.facts.sharpness > 50.0, "{}", drawn.facts.sharpness);
    }

    #[test]
    fn a_crop_is_the_same_spot_in_original_and_preview() {
        for orientation in 1..=8 {
            for (_, bytes) in held_in_every_coding(orientation) {
                let mut room = room();
                let preview = room.process(&bytes).unwrap().preview;
                let area = [50.0, 25.0, 25.0, 50.0];
                let a = room.crop(&bytes, area, 500, 90).unwrap();
                let b = room.crop(&preview.jpeg, area, 500, 90).unwrap();
                assert_eq!((a.width, a.height, b.width, b.height), (60, 80, 60, 80));
                let all = samples::pixels(240, 160, 0);
                let spot: Vec<u8> = (40..120)
                    .flat_map(|y| all[3 * (y * 240 + 120)..3 * (y * 240 + 180)].to_vec())
                    .collect();
                assert!(difference(&rgb(&a), &spot) < 6.0, "{orientation}");
                assert!(difference(&rgb(&b), &spot) < 8.0, "{orientation}");
            }
        }
    }

    #[test]
    fn a_crop_stays_inside_the_picture() {
        let photo = samples::jpeg(200, 100, &Exif::held(1));
        for (area, size) in [
            ([0.0, 0.0, 100.0, 100.0], (200, 100)),
            ([-50.0, -50.0, 100.0, 100.0], (100, 50)),
            ([90.0, 90.0, 400.0, 400.0], (20, 10)),
            ([100.0, 100.0, 10.0, 10.0], (1, 1)),
            ([20.0, 20.0, 0.0, 0.0], (1, 1)),
            ([20.0, 20.0, -5.0, 10.0], (1, 10)),
            ([f64::NAN, 0.0, f64::NAN, 10.0], (1, 10)),
            ([50.0, 0.0, f64::INFINITY, 10.0], (100, 10)),
        ] {
            let small = room().crop(&photo, area, 4000, 80).unwrap();
            assert_eq!((small.width, small.height), size, "{area:?}");
        }
        let small = room().shrink(&photo, 50, 80).unwrap();
        assert_eq!((small.width, small.height), (50, 25));
        assert_eq!(room().shrink(&photo, 0, 0).unwrap().width, 1);
    }

    #[test]
    fn deep_grey_and_see_through_pictures_are_taken() {
        use image::DynamicImage;
        use image::Luma;
        use image::Rgba;
        let write = |picture: DynamicImage| {
            let mut bytes = std::io::Cursor::new(Vec::new());
            picture.write_to(&mut bytes, ImageFormat::Png).unwrap();
            room().process(&bytes.into_inner()).unwrap()
        };
        let grey16 = image::ImageBuffer::from_pixel(40, 30, Luma([0x8000_u16]));
        let middle = rgb(&write(DynamicImage::ImageLuma16(grey16)).preview);
        assert!(middle.iter().all(|it| it.abs_diff(128) <= 2));
        // Half see-through black lies on white paper.
        let veil = image::RgbaImage::from_pixel(40, 30, Rgba([0, 0, 0, 128]));
        let veiled = rgb(&write(DynamicImage::ImageRgba8(veil)).preview);
        assert!(veiled.iter().all(|it| it.abs_diff(127) <= 2));
        let grey = samples::pixels(40, 30, 0);
        let mut jpeg = Vec::new();
        jpeg_encoder::Encoder::new(&mut jpeg, 95)
            .encode(&grey[..1200], 40, 30, jpeg_encoder::ColorType::Luma)
            .unwrap();
        let shown = rgb(&room().process(&jpeg).unwrap().preview);
        let want: Vec<u8> = grey[..1200].iter().flat_map(|it| [*it; 3]).collect();
        assert!(difference(&shown, &want) < 8.0);
    }

    fn raw_of(layout: RawLayout, large: &[u8], orientation: u16) -> Vec<u8> {
        let small = samples::jpeg_bare(60, 40);
        let said = RawSaid {
            orientation,
            time: "2026:05:03 10:02:11",
            place: true,
        };
        samples::raw_of(layout, large, &small, &said)
    }

    #[test]
    fn of_a_raw_file_its_picture_is_measured_and_the_camera_read() {
        let upright = samples::pixels(240, 160, 0);
        let (w, h, stored) = samples::held(240, 160, &upright, 6);
        let bare = samples::jpeg_of(w, h, &stored, None);
        let told = samples::jpeg_of(w, h, &stored, Some(&Exif::held(6).block()));
        for (layout, name) in LAYOUTS {
            // The header of one layout says nothing of the camera; there its picture does.
            let (large, orientation) = match layout {
                RawLayout::Raf => (&told, 1),
                _ => (&bare, 6),
            };
            let raw = raw_of(layout, large, orientation);
            let look = room().process(&raw).unwrap();
            let facts = &look.facts;
            let size = (facts.format, facts.width, facts.height);
            assert_eq!(size, (Format::Raw, 240, 160), "{name}");
            assert_eq!(facts.orientation, Some(6), "{name}");
            assert_eq!(facts.oddities, [], "{name}");
            assert!(difference(&rgb(&look.preview), &upright) < 6.0, "{name}");
            if layout != RawLayout::Raf {
                let time = facts.camera_time.unwrap().to_string();
                assert_eq!(time, "2026-05-03T10:02:11", "{name}");
                assert_eq!(facts.camera.as_deref(), Some("Shed Box R"), "{name}");
                assert!(facts.place.is_some(), "{name}");
                assert!(disclosed(&raw).may_hold_a_place(), "{name}");
            }
            let copy = room().stripped(&raw).unwrap();
            assert!(!disclosed(&copy).may_hold_a_place(), "{name}");
            assert_eq!(room().process(&copy).unwrap().facts.look, facts.look);
        }
    }

    /// Its picture says how it lies; the file means the sensor's data.
    #[test]
    fn a_picture_in_a_raw_file_is_turned_once() {
        let told = samples::jpeg(240, 160, &Exif::held(1));
        let raw = raw_of(RawLayout::Dng, &told, 6);
        let facts = room().process(&raw).unwrap().facts;
        assert_eq!((facts.width, facts.height), (240, 160));
    }

    #[test]
    fn a_raw_file_without_a_picture_says_what_to_do() {
        let said = room().process(&samples::raw(16, 9)).unwrap_err();
        assert_eq!(
            said.to_string(),
            "a camera raw picture without a preview in it cannot be read yet; \
             export it from the raw converter as JPEG and take that one in"
        );
    }

    #[test]
    fn too_many_pixels_are_refused_from_the_header() {
        let limits = Limits { max_pixels: 30_000 };
        for (_, bytes) in held_in_every_coding(6) {
            let said = stored_size(&bytes, limits).unwrap_err();
            assert!(matches!(said, PhotoError::TooManyPixels { .. }));
            assert_eq!(
                PhotoProcessor::new(limits).process(&bytes).unwrap_err(),
                said
            );
            assert_eq!(stored_size(&bytes, Limits::default()), Ok((160, 240)));
        }
        // A header that claims 65535 x 65535 in a few bytes.
        let mut bomb = samples::jpeg(16, 16, &Exif::default());
        let frame = bomb.windows(2).position(|it| it == [0xff, 0xc0]).unwrap();
        bomb[frame + 5..frame + 9].fill(0xff);
        assert_eq!(
            room().process(&bomb).unwrap_err().to_string(),
            "65535 x 65535 is 4295 megapixels; the limit is 200: export it smaller and take that one in; \
             `asfound keep` puts the file by"
        );
    }

    #[test]
    fn a_heic_made_in_code_is_read_and_not_turned_twice() {
        let upright = samples::pixels(128, 64, 0);
        let options = heifer::EncodeOptions::default();
        let bytes = heifer::encode_rgb8(128, 64, &upright, &options).unwrap();
        let look = room().process(&bytes).unwrap();
        assert_eq!((look.facts.format, look.facts.width), (Format::Heic, 128));
        assert!(difference(&rgb(&look.preview), &upright) < 12.0);
        assert_eq!(look.facts.oddities, [Oddity::NoExif]);
    }

    /// Cut files and flipped bytes: an error or a whole preview, never a panic.
    #[test]
    fn damage_never_panics() {
        let mut codings = held_in_every_coding(5);
        let options = heifer::EncodeOptions::default();
        let heic = heifer::encode_rgb8(128, 64, &samples::pixels(128, 64, 0), &options).unwrap();
        codings.push((Format::Heic, heic));
        let jpeg = samples::jpeg_bare(64, 48);
        codings.extend(LAYOUTS.map(|(layout, _)| (Format::Raw, raw_of(layout, &jpeg, 1))));
        let mut room = PhotoProcessor::new(Limits {
            max_pixels: 100_000,
        });
        let mut noise = 0x2545_f491_u32;
        let mut next = |below: usize| {
            noise ^= noise << 13;
            noise ^= noise >> 17;
            noise ^= noise << 5;
            noise as usize % below
        };
        for (format, bytes) in codings {
            for n in 0..60 {
                let mut hurt = bytes.clone();
                if n % 2 == 0 {
                    hurt.truncate(next(bytes.len()));
                }
                for _ in 0..n % 7 {
                    // Most of the structure stands in the first bytes.
                    let most = if n % 3 == 0 { hurt.len() } else { 400 };
                    if !hurt.is_empty() {
                        let at = next(most.min(hurt.len()));
                        hurt[at] ^= 1 << next(8);
                    }
                }
                let _ = camera_time(&hurt);
                let _ = stored_size(&hurt, Limits::default());
                if let Ok(look) = room.process(&hurt) {
                    let shape = rgb(&look.preview);
                    assert!(!shape.is_empty(), "{format:?} {n}");
                }
            }
        }
    }

    #[test]
    fn a_picture_cut_off_is_noted_or_refused() {
        for (format, bytes) in held_in_every_coding(1) {
            let cut = room().process(&bytes[..bytes.len() * 2 / 3]);
            match format {
                Format::Jpeg => assert_eq!(cut.unwrap().facts.oddities, [Oddity::CutOff]),
                _ => assert!(matches!(cut, Err(PhotoError::Broken(_))), "{format:?}"),
            }
        }
    }

    #[test]
    fn the_camera_time_needs_no_decoding() {
        let photo = samples::jpeg(64, 48, &Exif::taken("2026:05:03 10:02:11"));
        let half = &photo[..photo.len() / 2];
        let time = camera_time(half).map(|it| it.0.to_string());
        assert_eq!(time.as_deref(), Some("2026-05-03T10:02:11"));
        assert_eq!(camera_time(b"no picture"), None);
    }
}
