//! Turning pictures upright by Exif Orientation (CIPA DC-008), and areas the other way round.

/// A picture of 8-bit RGB pixels, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Rgb {
    /// Width, pixels.
    pub(crate) width: u32,
    /// Height, pixels.
    pub(crate) height: u32,
    /// Three bytes a pixel.
    pub(crate) pixels: Vec<u8>,
}

/// Turns a stored picture upright; any orientation but 2 to 8 leaves it as it is.
pub(crate) fn turn(stored: Rgb, orientation: u16) -> Rgb {
    let (width, height) = size(orientation, (stored.width, stored.height));
    let of = (stored.width as usize, stored.height as usize);
    Rgb {
        width,
        height,
        pixels: turned::<3>(stored.pixels, of, orientation),
    }
}

/// Width and height of a stored picture when it is upright.
pub(crate) fn size<T>(orientation: u16, (width, height): (T, T)) -> (T, T) {
    match orientation {
        5..=8 => (height, width),
        _ => (width, height),
    }
}

/// The same of pixels of `DEPTH` bytes.
pub(crate) fn turned<const DEPTH: usize>(
    stored: Vec<u8>,
    (w, h): (usize, usize),
    orientation: u16,
) -> Vec<u8> {
    if !(2..=8).contains(&orientation) {
        return stored;
    }
    let (wide, high) = size(orientation, (w, h));
    let from = |x: usize, y: usize| match orientation {
        2 => (w - 1 - x, y),
        3 => (w - 1 - x, h - 1 - y),
        4 => (x, h - 1 - y),
        5 => (y, x),
        6 => (y, h - 1 - x),
        7 => (w - 1 - y, h - 1 - x),
        _ => (w - 1 - y, x),
    };
    let mut pixels = vec![0; stored.len()];
    // Squares of 32 pixels keep both sides in the cache.
    const SQUARE: usize = 32;
    for top in (0..high).step_by(SQUARE) {
        for left in (0..wide).step_by(SQUARE) {
            for y in top..(top + SQUARE).min(high) {
                for x in left..(left + SQUARE).min(wide) {
                    let (sx, sy) = from(x, y);
                    let (to, at) = (DEPTH * (y * wide + x), DEPTH * (sy * w + sx));
                    pixels[to..to + DEPTH].copy_from_slice(&stored[at..at + DEPTH]);
                }
            }
        }
    }
    pixels
}

/// Where an area of the upright picture lies in the stored one.
///
/// In and out: left, top, right, bottom as fractions of the sides, 0 to 1.
pub(crate) fn stored_area(upright: [f64; 4], orientation: u16) -> [f64; 4] {
    let back = |u: f64, v: f64| match orientation {
        2 => (1.0 - u, v),
        3 => (1.0 - u, 1.0 - v),
        4 => (u, 1.0 - v),
        5 => (v, u),
        6 => (v, 1.0 - u),
        7 => (1.0 - v, 1.0 - u),
        8 => (1.0 - v, u),
        _ => (u, v),
    };
    let (a, b) = (back(upright[0], upright[1]), back(upright[2], upright[3]));
    [a.0.min(b.0), a.1.min(b.1), a.0.max(b.0), a.1.max(b.1)]
}

#[cfg(test)]
mod tests {
    use super::Rgb;
    use super::stored_area;
    use super::turn;

    /// Where the first stored pixel of a 5 x 3 picture must lie, by the coordinate map of Pillow's
    /// exif_transpose, and the upright size.
    #[test]
    fn first_pixel_goes_where_the_standard_says() {
        for (orientation, size, place) in [
            (1, (5, 3), (0, 0)),
            (2, (5, 3), (4, 0)),
            (3, (5, 3), (4, 2)),
            (4, (5, 3), (0, 2)),
            (5, (3, 5), (0, 0)),
            (6, (3, 5), (2, 0)),
            (7, (3, 5), (2, 4)),
            (8, (3, 5), (0, 4)),
        ] {
            let mut pixels = vec![0; 45];
            pixels[..3].copy_from_slice(&[1, 2, 3]);
            // The second pixel of the first row tells a mirror from a turn.
            pixels[3..6].copy_from_slice(&[4, 5, 6]);
            let stored = Rgb {
                width: 5,
                height: 3,
                pixels,
            };
            let upright = turn(stored, orientation);
            assert_eq!((upright.width, upright.height), size, "{orientation}");
            let find = |byte: u8| {
                let n = upright.pixels.iter().position(|it| *it == byte).unwrap() / 3;
                (n % size.0 as usize, n / size.0 as usize)
            };
            assert_eq!(find(1), place, "{orientation}");
            let next = match orientation {
                1 | 4 => (place.0 + 1, place.1),
                2 | 3 => (place.0 - 1, place.1),
                5 | 6 => (place.0, place.1 + 1),
                _ => (place.0, place.1 - 1),
            };
            assert_eq!(find(4), next, "{orientation}");
        }
    }

    #[test]
    fn areas_go_back_the_same_way() {
        let (width, height) = (40_usize, 20_usize);
        for orientation in 0..=9 {
            // A stored picture that is white in one rectangle only.
            let stored = stored_area([0.1, 0.2, 0.3, 0.6], orientation);
            let inside = |x: usize, y: usize| {
                let (u, v) = (
                    (x as f64 + 0.5) / width as f64,
                    (y as f64 + 0.5) / height as f64,
                );
                u > stored[0] && u < stored[2] && v > stored[1] && v < stored[3]
            };
            let pixels = (0..width * height)
                .flat_map(|n| [u8::from(inside(n % width, n / width)); 3])
                .collect();
            let upright = turn(
                Rgb {
                    width: width as u32,
                    height: height as u32,
                    pixels,
                },
                orientation,
            );
            for (n, pixel) in upright.pixels.chunks_exact(3).enumerate() {
                let (x, y) = (n % upright.width as usize, n / upright.width as usize);
                let u = (x as f64 + 0.5) / f64::from(upright.width);
                let v = (y as f64 + 0.5) / f64::from(upright.height);
                let want = u > 0.1 && u < 0.3 && v > 0.2 && v < 0.6;
                assert_eq!(pixel[0] == 1, want, "orientation {orientation} at {x},{y}");
            }
        }
    }
}
