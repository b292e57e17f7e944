//! The waves of a block into the means of its pixels, two by two or more.

use std::array::from_fn;
use std::f64::consts::FRAC_1_SQRT_2;
use std::f64::consts::PI;

/// As which wave a wave of 8 points is seen in the means of neighbours, of which there are so many `points`, and how strong; nothing where
/// they cancel out.
pub(super) fn seen(wave: usize, points: usize) -> Option<(usize, f64)> {
    let (turns, rest) = (wave / (2 * points), wave % (2 * points));
    let (place, turned) = match rest {
        it if it < points => (it, turns),
        it if it > points => (2 * points - it, turns + 1),
        _ => return None,
    };
    let step = (8 / points) as f64;
    let angle = wave as f64 * PI / 16.0;
    let (kept, own) = match wave {
        0 => (1.0, FRAC_1_SQRT_2),
        _ => ((step * angle).sin() / (step * angle.sin()), 1.0),
    };
    // The middle wave has one strength on all points, and so is counted with it.
    let middle = if 2 * place == points {
        FRAC_1_SQRT_2
    } else {
        1.0
    };
    let sign = if turned % 2 == 0 { 1.0 } else { -1.0 };
    Some((place, 0.5 * own * kept * middle * sign))
}

/// The pixels of so many values around the middle, to the nearest.
#[inline]
pub(super) fn bytes<const N: usize>(values: [f32; N]) -> [u8; N] {
    values.map(|it| {
        let it = it + 128.0;
        let it = if it > 0.0 { it } else { 0.0 };
        let it = if it < 255.0 { it } else { 255.0 };
        // So great a number has whole steps: its last byte is the value, rounded.
        (it + 8_388_608.0).to_bits() as u8
    })
}

/// Values in lanes beside each other.
type Lanes<const N: usize> = [f32; N];

/// The pixels of the waves of a block, row by row; `across` and `down` make so many points of its waves.
#[inline(always)]
pub(super) fn square<const N: usize>(
    waves: &[f32; 64],
    across: impl Fn([Lanes<8>; 8]) -> [Lanes<8>; N],
    down: impl Fn([Lanes<N>; 8]) -> [Lanes<N>; N],
) -> [[u8; N]; N] {
    let points = across(from_fn(|u| from_fn(|v| waves[8 * u + v])));
    down(from_fn(|v| from_fn(|x| points[x][v]))).map(bytes)
}

#[inline(always)]
fn sum<const N: usize>(one: Lanes<N>, other: Lanes<N>) -> Lanes<N> {
    from_fn(|n| one[n] + other[n])
}

/// Two points; which waves are seen as which is told by [`seen`].
#[inline(always)]
pub(super) fn two<const N: usize>([w0, w1, _, w3, _, w5, _, w7]: [Lanes<N>; 8]) -> [Lanes<N>; 2] {
    let w1 = sum(sum(w1, w7), sum(w3, w5));
    [sum(w0, w1), from_fn(|n| w0[n] - w1[n])]
}

/// Four points.
#[inline(always)]
pub(super) fn four<const N: usize>(
    [w0, w1, w2, w3, _, w5, w6, w7]: [Lanes<N>; 8],
) -> [Lanes<N>; 4] {
    // cos(pi / 8) and sin(pi / 8).
    const COS: f32 = 0.923_879_5;
    const SIN: f32 = 0.382_683_43;
    let (w1, w2, w3) = (sum(w1, w7), sum(w2, w6), sum(w3, w5));
    let odd: Lanes<N> = from_fn(|n| w0[n] - w2[n]);
    let near: Lanes<N> = from_fn(|n| COS * w1[n] + SIN * w3[n]);
    let far: Lanes<N> = from_fn(|n| SIN * w1[n] - COS * w3[n]);
    let even = sum(w0, w2);
    [
        sum(even, near),
        sum(odd, far),
        from_fn(|n| odd[n] - far[n]),
        from_fn(|n| even[n] - near[n]),
    ]
}
