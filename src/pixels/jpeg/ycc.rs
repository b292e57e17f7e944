//! A picture in the colours in which JPEGs are coded: brightness, and for each two by two pixels blueness and redness
//! (ITU-T T.871). What comes so out of one JPEG and goes into another is never turned into other colours in between.

use jpeg_encoder::ImageBuffer;
use jpeg_encoder::JpegColorType;

use crate::area::Filter;
use crate::area::Window;
use crate::area::average_of;
use crate::jpeg::shrunk::Plane;
use crate::jpeg::shrunk::Shrunk;
use crate::upright;
use crate::upright::Rgb;

/// A picture of brightness, blueness and redness.
#[derive(Clone, Debug)]
pub(crate) struct Ycc {
    /// Width, pixels.
    pub(crate) width: u32,
    /// Height, pixels.
    pub(crate) height: u32,
    /// Brightness, a byte a pixel; the same as its grey by ITU-R BT.601.
    pub(crate) luma: Vec<u8>,
    /// Blueness and redness, a byte for each two by two pixels; those at the right and lower edge may stand for fewer.
    chroma: [Vec<u8>; 2],
}

/// What has no colour.
const GREY: u8 = 128;

/// How many bytes two pixels a byte take.
fn half(side: u32) -> usize {
    side.div_ceil(2) as usize
}

/// `size` pixels of rows of `stride`, whose picture ends `spans` on, made as small as `to`.
fn averaged(
    (pixels, stride): (&[u8], usize),
    size: (usize, usize),
    spans: [f64; 2],
    to: (usize, usize),
    filter: Filter,
) -> Vec<u8> {
    let window = Window {
        left: 0,
        top: 0,
        width: size.0,
        height: size.1,
    };
    average_of::<1>(pixels, stride, window, spans, to, filter)
}

fn of_plane(plane: &Plane, spans: [f64; 2], to: (usize, usize), filter: Filter) -> Vec<u8> {
    let size = (plane.width, plane.height);
    averaged((&plane.pixels, plane.stride), size, spans, to, filter)
}

/// How far so many bytes reach on a plane that spans `span` under a picture of `side` pixels.
fn reach(span: f64, side: u32) -> f64 {
    span * 2.0 * half(side) as f64 / f64::from(side)
}

impl Ycc {
    /// Makes a picture still smaller.
    pub(crate) fn of(shrunk: &Shrunk, (width, height): (u32, u32)) -> Self {
        let to = (half(width), half(height));
        let colour = |n: usize| match shrunk.planes.get(n) {
            Some((plane, [across, down])) => {
                let spans = [reach(*across, width), reach(*down, height)];
                of_plane(plane, spans, to, Filter::Area)
            }
            None => vec![GREY; to.0 * to.1],
        };
        let whole = (width as usize, height as usize);
        let luma =
            |(plane, spans): &(Plane, [f64; 2])| of_plane(plane, *spans, whole, Filter::Means);
        Self {
            width,
            height,
            luma: shrunk.planes.first().map_or_else(Vec::new, luma),
            chroma: [colour(1), colour(2)],
        }
    }

    /// Makes it smaller.
    pub(crate) fn smaller(&self, (width, height): (u32, u32)) -> Self {
        let average = |pixels, from: (usize, usize), spans, to| {
            averaged((pixels, from.0), from, spans, to, Filter::Area)
        };
        let sides = [f64::from(self.width), f64::from(self.height)];
        let spans = [reach(sides[0] / 2.0, width), reach(sides[1] / 2.0, height)];
        let (from, to) = (
            (half(self.width), half(self.height)),
            (half(width), half(height)),
        );
        let whole = (self.width as usize, self.height as usize);
        Self {
            width,
            height,
            luma: average(&self.luma, whole, sides, (width as usize, height as usize)),
            chroma: [0, 1].map(|n| average(&self.chroma[n], from, spans, to)),
        }
    }

    /// Turns it upright.
    pub(crate) fn turned(self, orientation: u16) -> Self {
        let halves = (half(self.width), half(self.height));
        let turn = |pixels, size| upright::turned::<1>(pixels, size, orientation);
        let (width, height) = upright::size(orientation, (self.width, self.height));
        let [blue, red] = self.chroma;
        Self {
            luma: turn(self.luma, (self.width as usize, self.height as usize)),
            chroma: [turn(blue, halves), turn(red, halves)],
            width,
            height,
        }
    }

    /// The same in red, green and blue (ITU-T T.871, 7).
    pub(crate) fn rgb(&self) -> Rgb {
        let (wide, halves) = (self.width as usize, half(self.width));
        let mut pixels = Vec::with_capacity(self.luma.len() * 3);
        for (y, row) in self.luma.chunks_exact(wide).enumerate() {
            let colour = |n: usize| &self.chroma[n][y / 2 * halves..][..halves];
            let both = colour(0).iter().zip(colour(1));
            for (two, (blue, red)) in row.chunks(2).zip(both) {
                let [blue, red] = [blue, red].map(|it| f32::from(*it) - 128.0);
                let more = [
                    1.402 * red,
                    -0.344_136 * blue - 0.714_136 * red,
                    1.772 * blue,
                ];
                for luma in two {
                    let value = |it: f32| (f32::from(*luma) + it + 0.5) as u8;
                    pixels.extend(more.map(value));
                }
            }
        }
        Rgb {
            width: self.width,
            height: self.height,
            pixels,
        }
    }
}

/// How an encoder takes it: of two by two bytes of colour it takes one, and all four are the same here.
impl ImageBuffer for &Ycc {
    fn get_jpeg_color_type(&self) -> JpegColorType {
        JpegColorType::Ycbcr
    }

    fn width(&self) -> u16 {
        u16::try_from(self.width).unwrap_or(u16::MAX)
    }

    fn height(&self) -> u16 {
        u16::try_from(self.height).unwrap_or(u16::MAX)
    }

    fn fill_buffers(&self, y: u16, buffers: &mut [Vec<u8>; 4]) {
        let (y, wide, halves) = (usize::from(y), self.width as usize, half(self.width));
        let [luma, blue, red, _] = buffers;
        luma.extend_from_slice(&self.luma[y * wide..][..wide]);
        for (to, from) in [blue, red].into_iter().zip(&self.chroma) {
            let end = to.len() + wide;
            for eight in from[y / 2 * halves..][..halves].chunks(8) {
                let mut twice = [0; 16];
                for (two, value) in twice.chunks_exact_mut(2).zip(eight) {
                    two.fill(*value);
                }
                to.extend_from_slice(&twice[..2 * eight.len()]);
            }
            to.truncate(end);
        }
    }
}
