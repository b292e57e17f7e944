//! Numbers taken from a grey picture: sharpness, brightness, look.

/// Greys darker than this count as black.
const BLACK: u8 = 16;

/// Grey by ITU-R BT.601 luma weights, in the rounding most libraries use.
pub(crate) fn grey(rgb: &[u8]) -> Vec<u8> {
    let weigh = |pixel: &[u8]| {
        let [r, g, b] = [0, 1, 2].map(|n| u32::from(pixel[n]));
        ((r * 19595 + g * 38470 + b * 7471 + 0x8000) >> 16) as u8
    };
    rgb.chunks_exact(3).map(weigh).collect()
}

/// Variance of the 4-neighbour Laplacian (kernel 0 1 0 / 1 -4 1 / 0 1 0), borders mirrored without
/// repeating the edge; the higher, the sharper. Compare only at one working size.
///
/// Pech-Pacheco and others, ICPR 2000 (title from memory).
pub(crate) fn laplacian_variance(grey: &[u8], width: u32, height: u32) -> f64 {
    let (width, height) = (width as usize, height as usize);
    if width == 0 || height == 0 || grey.len() < width * height {
        return 0.0;
    }
    let row = |y: usize| &grey[y * width..(y + 1) * width];
    let (mut sum, mut squares) = (0_i64, 0_i64);
    for y in 0..height {
        let mid = row(y);
        let up = row(if y == 0 { 1.min(height - 1) } else { y - 1 });
        let down = row(if y + 1 == height {
            height.saturating_sub(2)
        } else {
            y + 1
        });
        let mut add = |left: u8, x: usize, right: u8| {
            let around = i32::from(left) + i32::from(right) + i32::from(up[x]) + i32::from(down[x]);
            let edge = i64::from(around - 4 * i32::from(mid[x]));
            sum += edge;
            squares += edge * edge;
        };
        let second = mid[1.min(width - 1)];
        add(second, 0, second);
        for (x, three) in mid.windows(3).enumerate() {
            add(three[0], x + 1, three[2]);
        }
        if width > 1 {
            let before = mid[width - 2];
            add(before, width - 1, before);
        }
    }
    let count = (width * height) as f64;
    let mean = sum as f64 / count;
    (squares as f64 / count - mean * mean).max(0.0)
}

/// Mean grey, 0 to 255.
pub(crate) fn brightness(grey: &[u8]) -> f64 {
    let sum: u64 = grey.iter().map(|it| u64::from(*it)).sum();
    sum as f64 / grey.len().max(1) as f64
}

/// Share of pixels darker than 16 of 255, 0 to 1.
pub(crate) fn black_share(grey: &[u8]) -> f64 {
    let black = grey.iter().filter(|it| **it < BLACK).count();
    black as f64 / grey.len().max(1) as f64
}

/// The 64-bit difference hash of a grey picture of 9 x 8: a bit is set where the right neighbour is
/// brighter; row by row, most significant bit first.
pub(crate) fn difference_hash(grey_9x8: &[u8]) -> u64 {
    grey_9x8
        .chunks_exact(9)
        .flat_map(|row| row.windows(2))
        .fold(0, |hash, pair| hash << 1 | u64::from(pair[1] > pair[0]))
}

#[cfg(test)]
mod tests {
    use super::black_share;
    use super::brightness;
    use super::difference_hash;
    use super::grey;
    use super::laplacian_variance;

    fn checkers(cell: usize) -> Vec<u8> {
        let at = |n: usize| {
            if (n % 64 / cell + n / 64 / cell).is_multiple_of(2) {
                0
            } else {
                255
            }
        };
        (0..64 * 64).map(at).collect()
    }

    /// OpenCV 5.0.0: Laplacian with ksize 1 and reflect101 borders on 8-bit grey 64 x 64.
    #[test]
    fn sharpness_agrees_with_opencv() {
        for (cell, want) in [
            (1, 1_040_400.0),
            (8, 34_671.533_203_125),
            (16, 13_335.205_078_125),
            (32, 4_191.064_453_125),
        ] {
            let got = laplacian_variance(&checkers(cell), 64, 64);
            assert!((got - want).abs() < 1e-6, "cell {cell}: {got}");
        }
        let ramp: Vec<u8> = (0..64 * 64_usize).map(|n| (n % 64 * 4) as u8).collect();
        assert!((laplacian_variance(&ramp, 64, 64) - 2.0).abs() < 1e-9);
    }

    #[test]
    fn tiny_pictures_have_no_sharpness() {
        assert_eq!(laplacian_variance(&[7], 1, 1), 0.0);
        assert_eq!(laplacian_variance(&[], 0, 0), 0.0);
        // Two pixels mirror each other: 2 * 2 * (b - a) and its opposite.
        assert_eq!(laplacian_variance(&[0, 10], 2, 1), 400.0);
        assert_eq!(laplacian_variance(&[0, 10], 1, 2), 400.0);
    }

    /// ImageHash 4.3.2: dhash of a ramp is all ones, of a ramp downwards all zeros.
    #[test]
    fn look_agrees_with_imagehash() {
        let ramp: Vec<u8> = (0..72_usize).map(|n| (n % 9 * 28) as u8).collect();
        assert_eq!(difference_hash(&ramp), u64::MAX);
        let down: Vec<u8> = (0..72_usize).map(|n| (n / 9 * 28) as u8).collect();
        assert_eq!(difference_hash(&down), 0);
        let mut one = vec![0; 72];
        one[1] = 9;
        assert_eq!(difference_hash(&one), 1 << 63, "the first pair comes first");
    }

    #[test]
    fn light_is_counted() {
        assert_eq!(grey(&[255, 255, 255, 0, 0, 0]), [255, 0]);
        // Pillow 13.0.0, convert to L.
        assert_eq!(grey(&[255, 0, 0, 0, 255, 0, 0, 0, 255]), [76, 150, 29]);
        assert_eq!(brightness(&[0, 100, 200]), 100.0);
        assert_eq!(black_share(&[0, 15, 16, 255]), 0.5);
    }
}
