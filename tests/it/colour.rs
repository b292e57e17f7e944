//! How far two colours are apart for the eye: CIEDE2000.
//!
//! Sharma, Wu, Dalal: The CIEDE2000 color-difference formula, Color Research and Application 30(1), 2005; the pairs of
//! the test are of its table 1.

use asfound::photo::Limits;
use asfound::photo::PhotoProcessor;
use samples::Exif;

/// L*, a*, b*.
type Lab = [f64; 3];

/// The mean difference of two pictures of the same size, sRGB of 0 to 255.
pub(crate) fn mean_difference(one: &[f64], other: &[f64]) -> f64 {
    assert_eq!(one.len(), other.len());
    let (ones, others) = (one.chunks_exact(3), other.chunks_exact(3));
    let apart: Vec<f64> = ones
        .zip(others)
        .map(|(a, b)| difference(lab(a), lab(b)))
        .collect();
    apart.iter().sum::<f64>() / apart.len() as f64
}

/// CIELAB of an sRGB colour (IEC 61966-2-1), D65.
fn lab(rgb: &[f64]) -> Lab {
    let light = |it: f64| {
        let it = it / 255.0;
        if it <= 0.04045 {
            it / 12.92
        } else {
            ((it + 0.055) / 1.055).powf(2.4)
        }
    };
    let [r, g, b] = [light(rgb[0]), light(rgb[1]), light(rgb[2])];
    let x = (0.412_456 * r + 0.357_576 * g + 0.180_438 * b) / 0.950_47;
    let y = 0.212_673 * r + 0.715_152 * g + 0.072_175 * b;
    let z = (0.019_334 * r + 0.119_192 * g + 0.950_304 * b) / 1.088_83;
    let f = |t: f64| {
        if t > 216.0 / 24389.0 {
            t.cbrt()
        } else {
            (24389.0 / 27.0 * t + 16.0) / 116.0
        }
    };
    let (x, y, z) = (f(x), f(y), f(z));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// CIEDE2000 with all weights 1.
fn difference([l1, a1, b1]: Lab, [l2, a2, b2]: Lab) -> f64 {
    let seventh = |it: f64| (it.powi(7) / (it.powi(7) + 25.0_f64.powi(7))).sqrt();
    let mean = f64::midpoint(a1.hypot(b1), a2.hypot(b2));
    let stretch = 1.0 + 0.5 * (1.0 - seventh(mean));
    let (a1, a2) = (a1 * stretch, a2 * stretch);
    let (c1, c2) = (a1.hypot(b1), a2.hypot(b2));
    let hue = |a: f64, b: f64| b.atan2(a).to_degrees().rem_euclid(360.0);
    let (h1, h2) = (hue(a1, b1), hue(a2, b2));
    let grey = c1 * c2 == 0.0;
    let turn = match h2 - h1 {
        _ if grey => 0.0,
        it if it > 180.0 => it - 360.0,
        it if it < -180.0 => it + 360.0,
        it => it,
    };
    let (dl, dc) = (l2 - l1, c2 - c1);
    let dh = 2.0 * (c1 * c2).sqrt() * (turn / 2.0).to_radians().sin();
    let (l, c) = (f64::midpoint(l1, l2), f64::midpoint(c1, c2));
    let h = match h1 + h2 {
        sum if grey => sum,
        sum if (h1 - h2).abs() <= 180.0 => sum / 2.0,
        sum if sum < 360.0 => (sum + 360.0) / 2.0,
        sum => (sum - 360.0) / 2.0,
    };
    let cos = |degrees: f64| degrees.to_radians().cos();
    let t = 1.0 - 0.17 * cos(h - 30.0) + 0.24 * cos(2.0 * h) + 0.32 * cos(3.0 * h + 6.0)
        - 0.20 * cos(4.0 * h - 63.0);
    let sl = 1.0 + 0.015 * (l - 50.0).powi(2) / (20.0 + (l - 50.0).powi(2)).sqrt();
    let (sc, sh) = (1.0 + 0.045 * c, 1.0 + 0.015 * c * t);
    let rotation = 30.0 * (-((h - 275.0) / 25.0).powi(2)).exp();
    let rt = -(2.0 * rotation).to_radians().sin() * 2.0 * seventh(c);
    let (l, c, h) = (dl / sl, dc / sc, dh / sh);
    (l * l + c * c + h * h + rt * c * h).sqrt()
}

#[test]
fn it_gives_the_published_values() {
    for (one, other, want) in [
        ([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485], 2.0425),
        ([50.0, 2.5, 0.0], [50.0, 0.0, -2.5], 4.3065),
        ([50.0, 2.5, 0.0], [73.0, 25.0, -18.0], 27.1492),
        (
            [2.0776, 0.0795, -1.1350],
            [0.9033, -0.0636, -0.5514],
            0.9082,
        ),
    ] {
        let got = difference(one, other);
        assert!((got - want).abs() < 5e-5, "{got} for {want}");
    }
}

/// A preview is made of a JPEG read at a part of its size; made of the whole of it, it is the same to the eye, upright too.
#[test]
fn a_jpeg_read_smaller_looks_like_the_whole_of_it() {
    let mut processor = PhotoProcessor::new(Limits::default());
    for (width, height, orientation) in [(3_333, 2_501, 1), (2_400, 3_600, 6), (6_411, 1_203, 7)] {
        let photo = samples::jpeg(width, height, &Exif::held(orientation));
        let small = processor.process(&photo).unwrap().preview;
        let whole = processor.shrink(&photo, 1_600, 82).unwrap();
        assert_eq!((small.width, small.height), (whole.width, whole.height));
        let values = |jpeg: &[u8]| {
            let pixels = image::load_from_memory(jpeg)
                .unwrap()
                .into_rgb8()
                .into_raw();
            pixels.into_iter().map(f64::from).collect::<Vec<f64>>()
        };
        let apart = mean_difference(&values(&small.jpeg), &values(&whole.jpeg));
        assert!(apart < 1.0, "{width} x {height}, {orientation}: {apart:.2}");
    }
}
