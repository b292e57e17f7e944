//! A JPEG that is coded in sequence, read at a part of its size while its coded data are looked through.
//!
//! A block of 8 x 8 pixels is told as waves (ITU-T T.81, A.3.3). The means of its pixels, two by two or more, are waves on fewer points:
//! a wave that is too short for them is seen as a longer one, weaker (aliasing), and added to that. So the means are those of a picture
//! decoded whole, and cost a quarter or less. The brightness keeps at least twice as many a side as are shown where there are so many,
//! since sharpness is measured in it.

use std::array::from_fn;
use std::slice::ChunksMut;

use crate::jpeg::component::Component;
use crate::jpeg::component::Divisors;
use crate::jpeg::component::Sink;
use crate::jpeg::entropy;
use crate::jpeg::entropy::Fit;
use crate::jpeg::points::bytes;
use crate::jpeg::points::four;
use crate::jpeg::points::seen;
use crate::jpeg::points::square;
use crate::jpeg::points::two;

/// One colour of a picture, 8 bits a pixel.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plane {
    /// Pixels in a row that are shown.
    pub(crate) width: usize,
    /// Rows.
    pub(crate) height: usize,
    /// Pixels in a row.
    pub(crate) stride: usize,
    /// The pixels.
    pub(crate) pixels: Vec<u8>,
}

/// A picture made smaller in its own colours: brightness, or that, blueness and redness (ITU-T T.871).
#[derive(Clone, Debug)]
pub(crate) struct Shrunk {
    /// Width and height in the file, pixels.
    pub(crate) stored: (u32, u32),
    /// One or three planes; each with how many pixels of it lie on the width and the height of the picture.
    pub(crate) planes: Vec<(Plane, [f64; 2])>,
}

/// Looks through a JPEG of `stored` pixels as [`entropy::fit`] does; what it shows, still `long_side` pixels long or more and its
/// brightness twice that, is given with it, where it is whole and of the kind that can be read so.
pub(crate) fn read(bytes: &[u8], stored: (u32, u32), long_side: u32) -> (Fit, Option<Shrunk>) {
    let long = stored.0.max(stored.1);
    let Some(step) = [8, 4, 2].into_iter().find(|it| long / it >= long_side) else {
        return (entropy::fit(bytes), None);
    };
    let mut shrinker = Shrinker::new(step as usize);
    let fit = entropy::read(bytes, &mut shrinker);
    let shrunk = (fit == Fit::Whole && shrinker.whole).then(|| shrinker.done(stored));
    (fit, shrunk)
}

/// The order of a block's numbers in the file (ITU-T T.81, figure 5): 8 times across, and down.
const PLACES: [u8; 64] = {
    let mut places = [0; 64];
    let (mut across, mut down, mut at) = (0, 0, 0);
    while at < 64 {
        places[at] = 8 * across + down;
        let up = (across + down) % 2 == 0;
        match (up, across, down) {
            (true, 7, _) => down += 1,
            (true, _, 0) => across += 1,
            (false, _, 7) => across += 1,
            (false, 0, _) => down += 1,
            (true, ..) => (across, down) = (across + 1, down - 1),
            (false, ..) => (across, down) = (across - 1, down + 1),
        }
        at += 1;
    }
    places
};

/// One colour as it is read.
struct Part {
    plane: Plane,
    /// How many units of it lie on the picture's: of so many across and down.
    share: [f64; 2],
    /// Points of a block a side.
    points: usize,
    /// For each wave: how strong it is seen.
    weights: [f32; 64],
}

struct Shrinker {
    /// How many pixels of a colour become one, a side; of the brightness half as many.
    step: usize,
    whole: bool,
    parts: Vec<Part>,
    /// The waves of the block that is read, those down beside each other.
    waves: [f32; 64],
    /// Whether the block has one brightness.
    flat: bool,
}

impl Shrinker {
    fn new(step: usize) -> Self {
        Self {
            step,
            whole: false,
            parts: Vec::new(),
            waves: [0.0; 64],
            flat: true,
        }
    }

    fn done(self, (width, height): (u32, u32)) -> Shrunk {
        let of = |it: Part| {
            let (mut plane, side) = (it.plane, it.points as f64 / 8.0);
            let span = [0, 1].map(|n| f64::from([width, height][n]) * side * it.share[n]);
            plane.width = (span[0].ceil() as usize).clamp(1, plane.stride);
            plane.height = (span[1].ceil() as usize).clamp(1, plane.height);
            (plane, span)
        };
        Shrunk {
            stored: (width, height),
            planes: self.parts.into_iter().map(of).collect(),
        }
    }
}

impl Sink for Shrinker {
    fn begin(&mut self, components: &[Component], divisors: &[Option<Divisors>; 4], whole: bool) {
        // A second scan, or colours that are no three, are left to another decoder.
        self.whole = whole && self.parts.is_empty() && matches!(components.len(), 1 | 3);
        let most = |side: fn(&Component) -> usize| components.iter().map(side).max().unwrap_or(1);
        let (across, down) = (most(|it| it.across), most(|it| it.down));
        self.parts.clear();
        for (n, component) in components.iter().enumerate() {
            let points = if n == 0 {
                4.min(16 / self.step)
            } else {
                8 / self.step
            };
            let Some(divisors) = &divisors[component.quantiser] else {
                self.whole = false;
                continue;
            };
            let mut weights = [0.0; 64];
            for (place, divisor) in PLACES.iter().zip(divisors) {
                let (u, v) = (usize::from(place / 8), usize::from(place % 8));
                let both = seen(u, points).zip(seen(v, points));
                let strength = both.map_or(0.0, |(across, down)| across.1 * down.1);
                weights[8 * u + v] = (strength * f64::from(*divisor)) as f32;
            }
            let share = |its: usize, most: usize| its as f64 / most as f64;
            let (stride, height) = (component.stride * points, component.high * points);
            let long = if self.whole { stride * height } else { 0 };
            self.parts.push(Part {
                plane: Plane {
                    width: stride,
                    height,
                    stride,
                    pixels: vec![0; long],
                },
                share: [share(component.across, across), share(component.down, down)],
                points,
                weights,
            });
        }
    }

    #[inline(always)]
    fn number(&mut self, _: usize, at: usize, value: i32) {
        self.waves[usize::from(PLACES[at & 63] & 63)] = value as f32;
        self.flat &= at == 0;
    }

    #[inline]
    fn block(&mut self, component: usize, column: usize, row: usize) {
        let waves = std::mem::replace(&mut self.waves, [0.0; 64]);
        let flat = std::mem::replace(&mut self.flat, true);
        let Some(part) = self.parts.get_mut(component).filter(|_| self.whole) else {
            return;
        };
        let waves = from_fn(|n| waves[n] * part.weights[n]);
        let (points, plane) = (part.points, &mut part.plane);
        let start = row * points * plane.stride + column * points;
        let rows = plane.pixels.get_mut(start..).unwrap_or(&mut []);
        let rows = rows.chunks_mut(plane.stride);
        match points {
            4 if !flat => put(rows, square(&waves, four, four)),
            2 if !flat => put(rows, square(&waves, two, two)),
            _ => {
                let [value] = bytes([waves[0]]);
                rows.take(points).for_each(|it| it[..points].fill(value));
            }
        }
    }
}

#[inline]
fn put<const N: usize>(rows: ChunksMut<'_, u8>, square: [[u8; N]; N]) {
    for (to, from) in rows.zip(square) {
        to[..N].copy_from_slice(&from);
    }
}

#[cfg(test)]
mod tests {
    use jpeg_encoder::ColorType;
    use jpeg_encoder::Encoder;
    use jpeg_encoder::SamplingFactor;
    use zune_core::bytestream::ZCursor;
    use zune_core::colorspace::ColorSpace;
    use zune_core::options::DecoderOptions;
    use zune_jpeg::JpegDecoder;

    use super::PLACES;
    use super::read;
    use crate::jpeg::entropy::Fit;
    use crate::jpeg::ycc::Ycc;

    /// ITU-T T.81, figure 5.
    #[test]
    fn numbers_are_in_the_order_of_the_standard() {
        let both = PLACES.map(|it| (it / 8, it % 8));
        assert_eq!(both[..5], [(0, 0), (1, 0), (0, 1), (0, 2), (1, 1)]);
        assert_eq!(both[24], (3, 3));
        assert_eq!(both[35..37], [(0, 7), (1, 7)]);
        assert_eq!(both[61..], [(7, 6), (6, 7), (7, 7)]);
    }

    /// A soft picture loses nothing that a small one could show: the pixels are the means of the squares they stand for.
    #[test]
    fn each_pixel_is_the_mean_of_its_square() {
        let (width, height) = (203_usize, 149_usize);
        let soft = |x: f32, y: f32| {
            let (x, y) = (x / 31.0, y / 23.0);
            [x.sin() + y.cos(), (x + y).sin(), (x - y).cos()].map(|it| 128.0 + 55.0 * it)
        };
        let all = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let pixels = all.flat_map(|(x, y)| soft(x as f32, y as f32).map(|it| it.round() as u8));
        let pixels: Vec<u8> = pixels.collect();
        for (sampling, restart) in [
            (SamplingFactor::R_4_4_4, 0),
            (SamplingFactor::R_4_2_2, 5),
            (SamplingFactor::R_4_2_0, 0),
            (SamplingFactor::R_4_4_0, 7),
        ] {
            let mut bytes = Vec::new();
            let mut encoder = Encoder::new(&mut bytes, 95);
            encoder.set_sampling_factor(sampling);
            if restart > 0 {
                encoder.set_restart_interval(restart);
            }
            let size = (width as u16, height as u16);
            encoder
                .encode(&pixels, size.0, size.1, ColorType::Rgb)
                .unwrap();
            for step in [2, 4, 8] {
                let stored = (width as u32, height as u32);
                let (fit, shrunk) = read(&bytes, stored, stored.0 / step);
                assert_eq!(fit, Fit::Whole);
                let small = (stored.0 / step, stored.1 / step);
                let made = Ycc::of(&shrunk.unwrap(), small);
                let rgb = made.rgb();
                let (mut dark, mut colour) = (0.0, 0.0);
                for (n, (luma, pixel)) in
                    made.luma.iter().zip(rgb.pixels.chunks_exact(3)).enumerate()
                {
                    let (x, y) = (n % small.0 as usize, n / small.0 as usize);
                    let at = |it: usize, side: usize, of: u32| {
                        (it as f32 + 0.5) * side as f32 / of as f32 - 0.5
                    };
                    let want = soft(at(x, width, small.0), at(y, height, small.1));
                    let grey = 0.299 * want[0] + 0.587 * want[1] + 0.114 * want[2];
                    dark += (f32::from(*luma) - grey).abs();
                    let apart = pixel.iter().zip(want);
                    colour += apart.map(|(a, b)| (f32::from(*a) - b).abs()).sum::<f32>() / 3.0;
                }
                let count = made.luma.len() as f32;
                let told = format!(
                    "{sampling:?}, 1 / {step}: {} {}",
                    dark / count,
                    colour / count
                );
                // Four pixels share a colour: where the picture is small, that is far across.
                assert!(dark / count < 1.5 && colour / count < 8.0, "{told}");
            }
        }
    }

    #[test]
    fn the_brightness_is_the_means_of_what_another_decoder_makes() {
        let photo = samples::jpeg_bare(643, 480);
        let options = DecoderOptions::new_fast().jpeg_set_out_colorspace(ColorSpace::Luma);
        let mut decoder = JpegDecoder::new_with_options(ZCursor::new(&photo), options);
        let whole = decoder.decode().unwrap();
        for (long_side, group) in [(320, 2), (160, 2), (80, 4)] {
            let (_, shrunk) = read(&photo, (643, 480), long_side);
            let (plane, _) = &shrunk.unwrap().planes[0];
            assert_eq!(
                (plane.width, plane.height),
                (643_usize.div_ceil(group), 480 / group)
            );
            for y in 0..480 / group {
                for x in 0..643 / group {
                    let square =
                        |n: usize| whole[(y * group + n / group) * 643 + x * group + n % group];
                    let sum: u32 = (0..group * group).map(|n| u32::from(square(n))).sum();
                    let mean = (sum as f32 / (group * group) as f32) as f64;
                    let ours = f64::from(plane.pixels[y * plane.stride + x]);
                    // That decoder reckons in whole numbers.
                    assert!(
                        (ours - mean).abs() <= 1.6,
                        "1 / {group}, {x}, {y}: {ours} for {mean}"
                    );
                }
            }
        }
    }

    #[test]
    fn what_is_damaged_small_or_coded_in_passes_is_left_to_another() {
        let photo = samples::jpeg_bare(640, 480);
        assert!(read(&photo, (640, 480), 320).1.is_some());
        assert!(read(&photo, (640, 480), 321).1.is_none());
        let mut hurt = photo.clone();
        let middle = photo.len() / 2;
        hurt[middle..middle + 200].fill(0x55);
        let (fit, shrunk) = read(&hurt, (640, 480), 320);
        assert!(matches!(fit, Fit::Damaged(_)) && shrunk.is_none());
        let mut passes = Vec::new();
        let mut encoder = Encoder::new(&mut passes, 90);
        encoder.set_progressive(true);
        let pixels = samples::pixels(640, 480, 0);
        encoder.encode(&pixels, 640, 480, ColorType::Rgb).unwrap();
        let (fit, shrunk) = read(&passes, (640, 480), 320);
        assert!(fit == Fit::Whole && shrunk.is_none());
    }
}
