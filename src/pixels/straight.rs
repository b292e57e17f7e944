//! Sets a flat thing straight: a picture as it would be if the camera had looked squarely at it.

use crate::upright::Rgb;

/// The rows of a projective map from the straight picture to the one that was taken; both are 1 wide and 1 high.
pub(crate) type Rows = [[f64; 3]; 3];

/// What lies outside the picture that was taken.
const OUTSIDE: u8 = 208;

/// The smallest upright area that holds all that is wanted: left, top, width and height in percent. `None` where a corner
/// lies behind the camera.
pub(crate) fn area(rows: &Rows) -> Option<[f64; 4]> {
    let corners = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let mut bounds = [
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    ];
    for corner in corners {
        let [x, y] = map(rows, corner)?.map(|it| it.clamp(0.0, 1.0) * 100.0);
        bounds = [
            bounds[0].min(x),
            bounds[1].min(y),
            bounds[2].max(x),
            bounds[3].max(y),
        ];
    }
    let [left, top, right, bottom] = bounds;
    Some([left, top, right - left, bottom - top])
}

/// How many pixels of a picture of `size` come to lie on one of the straight one, which has `to`: along its longer edges.
pub(crate) fn density(rows: &Rows, size: (u32, u32), to: (u32, u32)) -> Option<f64> {
    let [w, h] = [size.0, size.1].map(f64::from);
    let px = |at| map(rows, at).map(|[x, y]| [x * w, y * h]);
    let long = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let middle_across = long(px([0.0, 0.5])?, px([1.0, 0.5])?) / f64::from(to.0);
    let middle_down = long(px([0.5, 0.0])?, px([0.5, 1.0])?) / f64::from(to.1);
    Some(middle_across.max(middle_down))
}

/// Draws the straight picture of `to` pixels from `print`, which shows the `area` of the whole, in percent.
pub(crate) fn drawn(print: &Rgb, area: [f64; 4], rows: &Rows, to: (u32, u32)) -> Rgb {
    let [left, top, wide, high] = area.map(|it| it / 100.0);
    let [w, h] = [print.width, print.height].map(f64::from);
    let mut pixels = Vec::with_capacity(to.0 as usize * to.1 as usize * 3);
    for row in 0..to.1 {
        for column in 0..to.0 {
            let at = [
                (f64::from(column) + 0.5) / f64::from(to.0),
                (f64::from(row) + 0.5) / f64::from(to.1),
            ];
            let inside = map(rows, at).filter(|it| it.iter().all(|it| (0.0..=1.0).contains(it)));
            let pixel = inside.map(|[x, y]| {
                let x = (x - left) / wide * w - 0.5;
                let y = (y - top) / high * h - 0.5;
                between(print, x, y)
            });
            pixels.extend(pixel.unwrap_or([OUTSIDE; 3]));
        }
    }
    Rgb {
        width: to.0,
        height: to.1,
        pixels,
    }
}

/// The colour between the four pixels round a place.
fn between(print: &Rgb, x: f64, y: f64) -> [u8; 3] {
    let side = |at: f64, most: u32| {
        let at = at.clamp(0.0, f64::from(most - 1));
        let first = (at.floor() as u32).min(most.saturating_sub(2));
        (
            first as usize,
            ((first + 1).min(most - 1)) as usize,
            at - f64::from(first),
        )
    };
    let (x0, x1, dx) = side(x, print.width);
    let (y0, y1, dy) = side(y, print.height);
    let value = |x: usize, y: usize, channel: usize| {
        f64::from(print.pixels[(y * print.width as usize + x) * 3 + channel])
    };
    [0, 1, 2].map(|n| {
        let above = value(x0, y0, n) * (1.0 - dx) + value(x1, y0, n) * dx;
        let below = value(x0, y1, n) * (1.0 - dx) + value(x1, y1, n) * dx;
        (above * (1.0 - dy) + below * dy).round() as u8
    })
}

fn map(rows: &Rows, [x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let [u, v, w] = rows.map(|[a, b, c]| a * x + b * y + c);
    (w > 0.0)
        .then(|| [u / w, v / w])
        .filter(|it| it.iter().all(|it| it.is_finite()))
}

#[cfg(test)]
mod tests {
    use super::OUTSIDE;
    use super::area;
    use super::drawn;
    use crate::upright::Rgb;

    /// A picture whose red grows to the right and whose green grows downwards, one a pixel.
    fn slopes(width: u32, height: u32) -> Rgb {
        let pixels = (0..height).flat_map(|y| (0..width).flat_map(move |x| [x as u8, y as u8, 7]));
        Rgb {
            width,
            height,
            pixels: pixels.collect(),
        }
    }

    #[test]
    fn what_changes_nothing_gives_the_picture_back() {
        let print = slopes(40, 30);
        let same = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        assert_eq!(area(&same), Some([0.0, 0.0, 100.0, 100.0]));
        let made = drawn(&print, [0.0, 0.0, 100.0, 100.0], &same, (40, 30));
        assert_eq!(made.pixels, print.pixels);
    }

    #[test]
    fn each_pixel_comes_from_where_the_map_says() {
        // A plane that leans away: (x, y) -> (x, y) / (1 + x).
        let leaning = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0, 0.0, 1.0]];
        assert_eq!(area(&leaning), Some([0.0, 0.0, 50.0, 100.0]));
        let print = slopes(200, 100);
        let made = drawn(&print, [0.0, 0.0, 100.0, 100.0], &leaning, (50, 50));
        for (n, pixel) in made.pixels.chunks_exact(3).enumerate() {
            let [x, y] = [(n % 50) as f64, (n / 50) as f64].map(|it| (it + 0.5) / 50.0);
            let wanted = [x / (1.0 + x) * 200.0 - 0.5, y / (1.0 + x) * 100.0 - 0.5];
            for (is, wanted) in pixel.iter().zip(wanted) {
                assert!(
                    (f64::from(*is) - wanted.max(0.0)).abs() <= 0.5001,
                    "{x} {y}: {is} {wanted}"
                );
            }
        }
    }

    #[test]
    fn what_lies_outside_is_grey_and_never_made_up() {
        let right = [[1.0, 0.0, 0.5], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        let made = drawn(&slopes(20, 20), [50.0, 0.0, 50.0, 100.0], &right, (20, 20));
        assert_eq!(made.pixels[57..60], [OUTSIDE; 3]);
        assert_ne!(made.pixels[0..3], [OUTSIDE; 3]);
    }
}
