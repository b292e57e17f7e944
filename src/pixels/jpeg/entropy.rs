//! Whether the coded data of a JPEG fit together (ITU-T T.81, annexes F and G): every code is in its table, every
//! block ends where it must, and the last one where the picture does.
//!
//! A decoder shows something whatever it is given. One flipped bit makes it read other codes from there on, which
//! it can go on doing to the end; what gives it away is that the numbers come out wrong: a code that no table has, a
//! block of more than 64 numbers, a brightness that no picture has, data that end before the blocks or go on after
//! them. Most damage does one of these; what does none of them is not noticed.

use std::ops::RangeInclusive;

use crate::jpeg::bits;
use crate::jpeg::bits::Bits;
use crate::jpeg::coefficients;
use crate::jpeg::component::Component;
use crate::jpeg::component::Divisors;
use crate::jpeg::component::Nothing;
use crate::jpeg::component::Sink;
use crate::jpeg::huffman::Huffman;
use crate::jpeg::next_marker;
use crate::jpeg::segment;

/// What the data of a picture are found to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fit {
    /// They fit together.
    Whole,
    /// They contradict their own tables or size.
    Damaged(&'static str),
    /// Coded in a way that is not looked into: arithmetic, lossless, 12 bits, hierarchical.
    Unjudged,
}

/// The frame, and all that stands before a scan.
#[derive(Debug, Default)]
struct Picture {
    progressive: bool,
    components: Vec<Component>,
    /// Units of an interleaved scan: across, down.
    units: (usize, usize),
    dc: [Option<Huffman>; 4],
    ac: [Option<Huffman>; 4],
    quantisers: [Option<Divisors>; 4],
    /// Units between restart markers; 0 for none.
    restart: usize,
}

/// What a scan says of itself.
struct Scan {
    /// For each component: its place in the frame, its tables of first and of other numbers.
    parts: Vec<(usize, usize, usize)>,
    from: u32,
    to: u32,
    high: u8,
    low: u8,
}

impl Scan {
    /// Which numbers of each block it tells.
    fn band(&self) -> RangeInclusive<u32> {
        self.from..=self.to
    }
}

/// Looks through the data of the first picture in `bytes`.
pub(crate) fn fit(bytes: &[u8]) -> Fit {
    read(bytes, &mut Nothing::<{ bits::LEFT }>)
}

/// Whether they fit together and nothing else lies among them, not a byte.
pub(crate) fn is_exact(bytes: &[u8]) -> bool {
    read(bytes, &mut Nothing::<0>) == Fit::Whole
}

/// The same as [`fit`], and gives the numbers of a picture coded in sequence to `sink`.
pub(crate) fn read(bytes: &[u8], sink: &mut impl Sink) -> Fit {
    match look_through(bytes, sink) {
        Ok(()) => Fit::Whole,
        Err(fit) => fit,
    }
}

/// An error that says where the data do not fit.
const fn damaged(why: &'static str) -> Fit {
    Fit::Damaged(why)
}

fn look_through<S: Sink>(bytes: &[u8], sink: &mut S) -> Result<(), Fit> {
    let mut picture = Picture::default();
    let (mut at, mut scans) = (2, 0);
    loop {
        // What lies between the segments is filling, if anything.
        let (marker, start) = next_marker(bytes, at).ok_or(Fit::Unjudged)?;
        let is_alone = matches!(marker, 0x01 | 0xd0..=0xd8);
        if S::LEFT == 0 && (start > at + 2 || is_alone) {
            return Err(damaged("something lies between the segments"));
        }
        at = start;
        match marker {
            0xd9 if scans > 0 => return Ok(()),
            0xd9 => return Err(Fit::Unjudged),
            _ if is_alone => continue,
            _ => {}
        }
        let body = segment(bytes, at).ok_or(Fit::Unjudged)?;
        at += 2 + body.len();
        match marker {
            0xc0..=0xc2 => picture.frame(marker == 0xc2, body).ok_or(Fit::Unjudged)?,
            0xc4 => picture.codes(body).ok_or(Fit::Unjudged)?,
            0xc3 | 0xc5..=0xcf => return Err(Fit::Unjudged),
            0xdb => picture.divisors(body),
            0xdd => picture.restart = number(body, 0).unwrap_or(0),
            0xda => {
                let scan = picture.scan(body).ok_or(Fit::Unjudged)?;
                at = picture.read(&scan, bytes, at, sink)?;
                scans += 1;
            }
            _ => {}
        }
    }
}

/// Two bytes, the greater first.
fn number(body: &[u8], at: usize) -> Option<usize> {
    let pair = body.get(at..at + 2)?;
    Some(usize::from(u16::from_be_bytes([pair[0], pair[1]])))
}

impl Picture {
    /// Takes a frame header (B.2.2).
    fn frame(&mut self, progressive: bool, body: &[u8]) -> Option<()> {
        let (depth, high, wide) = (*body.first()?, number(body, 1)?, number(body, 3)?);
        let parts = body.get(6..)?.chunks_exact(3);
        let sides = parts
            .clone()
            .map(|it| (usize::from(it[1] >> 4), usize::from(it[1] & 15)));
        let most = sides.clone().fold((1, 1), |most: (usize, usize), it| {
            (most.0.max(it.0), most.1.max(it.1))
        });
        let sound = sides
            .clone()
            .all(|(h, v)| (1..=4).contains(&h) && (1..=4).contains(&v));
        if depth != 8 || !sound || parts.len() == 0 || high == 0 || wide == 0 {
            return None;
        }
        self.progressive = progressive;
        self.units = (wide.div_ceil(8 * most.0), high.div_ceil(8 * most.1));
        self.components = parts
            .zip(sides)
            .map(|(it, (across, down))| {
                let stride = self.units.0 * across;
                let blocks = if progressive {
                    stride * self.units.1 * down
                } else {
                    0
                };
                Component {
                    id: it[0],
                    across,
                    down,
                    wide: (wide * across).div_ceil(most.0).div_ceil(8),
                    high: (high * down).div_ceil(most.1).div_ceil(8),
                    stride,
                    quantiser: usize::from(it[2] & 3),
                    known: vec![0; blocks],
                }
            })
            .collect();
        Some(())
    }

    /// Takes tables of codes (B.2.4.2).
    fn codes(&mut self, mut body: &[u8]) -> Option<()> {
        while let Some((kind, rest)) = body.split_first() {
            let (counts, rest) = rest.split_at_checked(16)?;
            let count = counts.iter().map(|it| usize::from(*it)).sum();
            let (symbols, rest) = rest.split_at_checked(count)?;
            let table = Huffman::new(counts, symbols)?;
            let tables = if kind >> 4 == 0 {
                &mut self.dc
            } else {
                &mut self.ac
            };
            tables[usize::from(kind & 3)] = Some(table);
            body = rest;
        }
        Some(())
    }

    /// Takes divisors (B.2.4.1); of a table that is not whole, none.
    fn divisors(&mut self, mut body: &[u8]) {
        while let Some((kind, rest)) = body.split_first() {
            let wide = if kind >> 4 == 0 { 1 } else { 2 };
            let table = rest.get(..64 * wide).map(|table| {
                let each = |n: usize| table[n * wide..(n + 1) * wide].iter();
                let join = |sum: u16, byte: &u8| sum << 8 | u16::from(*byte);
                std::array::from_fn(|n| each(n).fold(0, join))
            });
            self.quantisers[usize::from(kind & 3)] = table;
            body = rest.get(64 * wide..).unwrap_or(&[]);
        }
    }

    /// Takes a scan header (B.2.3).
    fn scan(&self, body: &[u8]) -> Option<Scan> {
        let count = usize::from(*body.first()?);
        let parts = body.get(1..1 + 2 * count)?.chunks_exact(2).map(|it| {
            let part = self.components.iter().position(|part| part.id == it[0])?;
            Some((part, usize::from(it[1] >> 4 & 3), usize::from(it[1] & 3)))
        });
        let parts: Vec<_> = parts.collect::<Option<_>>()?;
        let rest = body.get(1 + 2 * count..4 + 2 * count)?;
        let (from, to, steps) = (u32::from(rest[0]), u32::from(rest[1]), rest[2]);
        let sound = !self.progressive || (from <= to && to < 64 && (from > 0 || to == 0));
        (sound && !parts.is_empty()).then_some(Scan {
            parts,
            from,
            to,
            high: steps >> 4,
            low: steps & 15,
        })
    }

    /// Reads the data of a scan that begins at `at`; returns where its next marker stands.
    fn read<S: Sink>(
        &mut self,
        scan: &Scan,
        bytes: &[u8],
        at: usize,
        sink: &mut S,
    ) -> Result<usize, Fit> {
        let mut bits = Bits::new(bytes, at);
        let alone = scan.parts.len() == 1;
        let (across, down) = match scan.parts[..] {
            [(part, ..)] => (self.components[part].wide, self.components[part].high),
            _ => self.units,
        };
        if !self.progressive {
            let told = |part: usize| scan.parts.iter().filter(|it| it.0 == part).count() == 1;
            let plain = (scan.from, scan.high, scan.low) == (0, 0, 0);
            let whole = plain && (0..self.components.len()).all(told);
            sink.begin(&self.components, &self.quantisers, whole);
        }
        let mut state = State::default();
        for unit in 0..across * down {
            if self.restart > 0 && unit > 0 && unit % self.restart == 0 {
                let no = (unit / self.restart - 1) % 8;
                bits.restart(no as u8, S::LEFT).map_err(damaged)?;
                state = State::default();
            }
            let (column, row) = (unit % across, unit / across);
            for (n, &part) in scan.parts.iter().enumerate() {
                let component = &self.components[part.0];
                let (wide, high) = if alone {
                    (1, 1)
                } else {
                    (component.across, component.down)
                };
                for y in row * high..(row + 1) * high {
                    for x in column * wide..(column + 1) * wide {
                        self.block(scan, (n, part), (x, y), &mut bits, &mut state, sink)?;
                    }
                }
            }
        }
        bits.end(S::LEFT).map_err(damaged)
    }

    /// Reads one block.
    #[inline]
    fn block(
        &mut self,
        scan: &Scan,
        (n, (part, dc, ac)): (usize, (usize, usize, usize)),
        (x, y): (usize, usize),
        bits: &mut Bits<'_>,
        state: &mut State,
        sink: &mut impl Sink,
    ) -> Result<(), Fit> {
        let first = scan.from == 0;
        if first && scan.high == 0 {
            let table = self.dc[dc].as_ref().ok_or(Fit::Unjudged)?;
            let (size, value) = table.number(bits).map_err(damaged)?;
            if size > 11 {
                return Err(damaged(coefficients::TOO_LONG));
            }
            let last = state.last.get_mut(n).ok_or(Fit::Unjudged)?;
            *last += value;
            let divisors = &self.quantisers[self.components[part].quantiser];
            let divisor = divisors.as_ref().map_or(1, |it| i64::from(it[0]));
            if (i64::from(*last) << scan.low).abs() * divisor > BRIGHTEST + divisor {
                return Err(damaged("a brightness lies outside what a picture can have"));
            }
            sink.number(part, 0, *last);
        } else if first {
            bits.skip(1).map_err(damaged)?;
        }
        if self.progressive && first {
            return Ok(());
        }
        let table = self.ac[ac].as_ref().ok_or(Fit::Unjudged)?;
        if !self.progressive {
            let take = |at, value| sink.number(part, at, value);
            coefficients::sequential(table, bits, take).map_err(damaged)?;
            sink.block(part, x, y);
            return Ok(());
        }
        let component = &mut self.components[part];
        let block = y * component.stride + x;
        let known = component.known.get_mut(block).ok_or(Fit::Unjudged)?;
        let done = if scan.high == 0 {
            coefficients::progressive(table, bits, scan.band(), known, &mut state.run)
        } else {
            coefficients::refined(table, bits, scan.band(), known, &mut state.run)
        };
        done.map_err(damaged)
    }
}

/// What goes on from block to block until a restart.
#[derive(Default)]
struct State {
    /// The last first number of each component of the scan.
    last: [i32; 4],
    /// Blocks that end without a code.
    run: u32,
}

/// The greatest first number times its divisor: eight times the 128 steps between grey and black, and a hair's breadth
/// for programs that work on coded numbers. Rounding adds at most one divisor.
const BRIGHTEST: i64 = 1024 + 32;

#[cfg(test)]
mod tests {
    use samples::Exif;

    use super::Fit;
    use super::fit;

    #[test]
    fn whole_pictures_fit() {
        for side in [1, 8, 9, 64, 301] {
            let photo = samples::jpeg_seeded(side, side, side, &Exif::default());
            assert_eq!(fit(&photo), Fit::Whole, "{side}");
            // What another program put behind the end is not looked at.
            let more = [photo.as_slice(), b"\0\0\xff\xd8more"].concat();
            assert_eq!(fit(&more), Fit::Whole, "{side}");
        }
    }

    /// Of pictures in which a run of bytes was overwritten, most are found.
    #[test]
    fn overwritten_data_do_not_fit() {
        let photo = samples::jpeg(640, 480, &Exif::default());
        let scan = photo.windows(2).position(|it| it == [0xff, 0xda]).unwrap();
        let found = (0..64_usize).filter(|n| {
            let mut hurt = photo.clone();
            let at = scan + 100 + n * (photo.len() - scan - 400) / 64;
            for (byte, with) in hurt[at..at + 64].iter_mut().zip(n * 7..) {
                *byte = (with * 37 % 251) as u8;
            }
            matches!(fit(&hurt), Fit::Damaged(_))
        });
        let found = found.count();
        assert!(found >= 39, "{found} of 64");
    }

    #[test]
    fn what_is_missing_or_left_over_is_told() {
        let photo = samples::jpeg(64, 48, &Exif::default());
        let scan = photo.windows(2).position(|it| it == [0xff, 0xda]).unwrap();
        let middle = (scan + photo.len()) / 2;
        let short = [&photo[..middle], &photo[photo.len() - 2..]].concat();
        assert!(matches!(fit(&short), Fit::Damaged(_)));
        let more = [0x55; 40];
        let long = [&photo[..photo.len() - 2], &more, &photo[photo.len() - 2..]].concat();
        let left = "data are left when the picture is complete";
        assert_eq!(fit(&long), Fit::Damaged(left));
        assert_eq!(fit(&photo[..scan]), Fit::Unjudged);
        assert_eq!(fit(b""), Fit::Unjudged);
    }
}
