//! Makes pictures smaller by averaging: each new pixel is the mean of the area it covers.
//!
//! A library does this in two thirds of the time, but it compiles hundreds of variants of itself into this crate:
//! minutes of building and 3 MB of program for 8 ms a photo.

/// For each new pixel a run of source pixels, all of one length, with their shares, which sum to 1.
struct Covers {
    /// The first source pixel of each.
    firsts: Vec<usize>,
    /// How many source pixels each has.
    taps: usize,
    /// The shares, one run after the other.
    shares: Vec<f32>,
}

/// How much a source pixel counts for a new one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Filter {
    /// By the area it shares with the new pixel: fast, and good enough to look at.
    Area,
    /// By that area where each source pixel is a mean already: what it is the mean of is taken to rise or fall from the one neighbour to the
    /// other, else pixels that lie across two new ones would make both too soft.
    Means,
    /// By a windowed sinc of three lobes, as reference tools do before they measure.
    Lanczos3,
}

/// A rectangle of a picture in whole pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Window {
    /// Pixels left of it.
    pub(super) left: usize,
    /// Pixels above it.
    pub(super) top: usize,
    /// Its width.
    pub(super) width: usize,
    /// Its height.
    pub(super) height: usize,
}

/// Averages the `window` of a picture of `DEPTH` bytes a pixel and `stride` pixels a row down to `to` = (width, height).
///
/// The window must lie in the picture. A side that is asked to grow repeats its pixels.
pub(super) fn average<const DEPTH: usize>(
    pixels: &[u8],
    stride: usize,
    window: Window,
    to: (usize, usize),
    filter: Filter,
) -> Vec<u8> {
    let spans = [window.width as f64, window.height as f64];
    average_of::<DEPTH>(pixels, stride, window, spans, to, filter)
}

/// The same of a window whose picture ends within its last pixels: it is `spans` pixels wide and high.
pub(super) fn average_of<const DEPTH: usize>(
    pixels: &[u8],
    stride: usize,
    window: Window,
    spans: [f64; 2],
    to: (usize, usize),
    filter: Filter,
) -> Vec<u8> {
    let across = covers(window.width, spans[0], to.0, filter);
    let down = covers(window.height, spans[1], to.1, filter);
    let row: fn(&[f32], &Covers, &mut Vec<u8>) = match across.taps {
        1 => means::<DEPTH, 1>,
        2 => means::<DEPTH, 2>,
        3 => means::<DEPTH, 3>,
        4 => means::<DEPTH, 4>,
        5 => means::<DEPTH, 5>,
        _ => means::<DEPTH, 0>,
    };
    let mut made = Vec::with_capacity(to.0 * to.1 * DEPTH);
    let mut sums = vec![0.0_f32; window.width * DEPTH];
    for (first, shares) in down.each() {
        sums.fill(0.0);
        for (n, share) in shares.iter().enumerate().filter(|it| *it.1 != 0.0) {
            let start = ((window.top + first + n) * stride + window.left) * DEPTH;
            let row = &pixels[start..start + window.width * DEPTH];
            for (sum, value) in sums.iter_mut().zip(row) {
                *sum += share * f32::from(*value);
            }
        }
        row(&sums, &across, &mut made);
    }
    made
}

/// Adds a row of means; `TAPS` is how many pixels each covers, or 0 where that is told by `across` alone.
fn means<const DEPTH: usize, const TAPS: usize>(sums: &[f32], across: &Covers, made: &mut Vec<u8>) {
    for (first, shares) in across.each() {
        let mut mean = [0.5_f32; DEPTH];
        let shares = if TAPS > 0 { &shares[..TAPS] } else { shares };
        let taps = &sums[first * DEPTH..][..shares.len() * DEPTH];
        for (share, tap) in shares.iter().zip(taps.chunks_exact(DEPTH)) {
            for (mean, value) in mean.iter_mut().zip(tap) {
                *mean += share * value;
            }
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a mean of bytes is a byte"
        )]
        made.extend(mean.map(|it| it as u8));
    }
}

impl Covers {
    /// The first source pixel and the shares of each new one.
    fn each(&self) -> impl Iterator<Item = (usize, &[f32])> {
        let firsts = self.firsts.iter().copied();
        firsts.zip(self.shares.chunks_exact(self.taps))
    }
}

/// Which of `from` source pixels each of `to` new pixels covers, which lie on `span` of them.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "sides of pictures are small whole numbers"
)]
fn covers(from: usize, span: f64, to: usize, filter: Filter) -> Covers {
    let scale = span / to as f64;
    let cover = |n: usize| {
        let middle = (n as f64 + 0.5) * scale;
        let reach = match filter {
            Filter::Area | Filter::Means => 0.5 * scale,
            Filter::Lanczos3 => 3.0 * scale.max(1.0),
        };
        let (start, end) = ((middle - reach).max(0.0), (middle + reach).min(from as f64));
        let first = (start as usize).min(from - 1);
        let last = ((end - 1e-9).ceil() as usize).clamp(first + 1, from);
        let (first, last) = match filter {
            Filter::Means => (first.saturating_sub(1), (last + 1).min(from)),
            Filter::Area | Filter::Lanczos3 => (first, last),
        };
        let bounds = |it: usize| (start.max(it as f64), end.min((it + 1) as f64));
        let shared = |it: usize| (bounds(it).1 - bounds(it).0).max(0.0);
        // By how much more one neighbour counts, and the other less, since the shared part lies nearer to it.
        let lean = |it: usize| {
            let part = f64::midpoint(bounds(it).0, bounds(it).1);
            shared(it) * (part - it as f64 - 0.5) / 2.0
        };
        let part = |it: usize| match filter {
            Filter::Area => shared(it),
            Filter::Means => {
                let before = if it > 0 { lean(it - 1) } else { -lean(0) };
                let after = if it + 1 < from {
                    lean(it + 1)
                } else {
                    -lean(it)
                };
                shared(it) + before - after
            }
            Filter::Lanczos3 => lanczos3((it as f64 + 0.5 - middle) / scale.max(1.0)),
        };
        let parts: Vec<f64> = (first..last).map(part).collect();
        (first, parts)
    };
    let all: Vec<(usize, Vec<f64>)> = (0..to).map(cover).collect();
    let taps = all.iter().map(|it| it.1.len()).max().unwrap_or(1);
    let (mut firsts, mut shares) = (Vec::with_capacity(to), Vec::with_capacity(to * taps));
    for (first, parts) in all {
        // What is shorter than the longest is filled up with pixels that have no share.
        let start = first.min(from - taps);
        let sum: f64 = parts.iter().sum();
        firsts.push(start);
        shares.extend(std::iter::repeat_n(0.0, first - start));
        shares.extend(parts.iter().map(|it| (it / sum) as f32));
        shares.resize(firsts.len() * taps, 0.0);
    }
    Covers {
        firsts,
        taps,
        shares,
    }
}

fn lanczos3(x: f64) -> f64 {
    let sinc = |x: f64| {
        let x = x * std::f64::consts::PI;
        if x == 0.0 { 1.0 } else { x.sin() / x }
    };
    if x.abs() < 3.0 {
        sinc(x) * sinc(x / 3.0)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Filter;
    use super::Window;
    use super::average;

    fn whole(width: usize, height: usize) -> Window {
        Window {
            left: 0,
            top: 0,
            width,
            height,
        }
    }

    #[test]
    fn whole_blocks_give_their_mean() {
        let pixels: Vec<u8> = (0..64).collect();
        assert_eq!(
            average::<1>(&pixels, 8, whole(8, 8), (2, 2), Filter::Area),
            [14, 18, 46, 50]
        );
        let window = Window {
            left: 2,
            top: 1,
            width: 2,
            height: 2,
        };
        assert_eq!(average::<1>(&pixels, 8, window, (1, 1), Filter::Area), [15]);
        assert_eq!(
            average::<1>(&pixels, 8, whole(8, 8), (8, 8), Filter::Area),
            pixels
        );
    }

    #[test]
    fn a_pixel_cut_in_two_counts_on_both_sides() {
        // 3 pixels to 2: (0 + 30/2) / 1.5 and (30/2 + 90) / 1.5.
        assert_eq!(
            average::<1>(&[0, 30, 90], 3, whole(3, 1), (2, 1), Filter::Area),
            [10, 70]
        );
    }

    proptest! {
        #[test]
        fn one_colour_stays_one_colour(w in 1_usize..70, h in 1_usize..70, tw in 1_usize..70, th in 1_usize..70, c: [u8; 3]) {
            let made = average::<3>(&c.repeat(w * h), w, whole(w, h), (tw, th), Filter::Area);
            prop_assert_eq!(made, c.repeat(tw * th));
        }
    }
}
