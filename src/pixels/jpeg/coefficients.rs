//! The numbers of one block after its first, as they are coded in sequence or in bands (ITU-T T.81, F.2.2.2 and G.1.2).
//!
//! What they say is read of those in sequence alone; of the others only how long they are.

use std::ops::RangeInclusive;

use crate::jpeg::bits::Bits;
use crate::jpeg::huffman::Huffman;

/// F.1.2: 11 bits for the difference of first numbers, 10 for the others, at 8 bits a sample.
pub(crate) const TOO_LONG: &str = "a number is longer than any can be";
const TOO_MANY: &str = "a block holds too many numbers";

/// The numbers of a block after its first (F.2.2.2): `take` is given the place of each in their order, 1 to 63, and itself.
#[inline(always)]
pub(crate) fn sequential(
    table: &Huffman,
    bits: &mut Bits<'_>,
    mut take: impl FnMut(usize, i32),
) -> Result<(), &'static str> {
    let (mut at, mut here) = (1, *bits);
    while at < 64 {
        let (symbol, value) = table.number(&mut here)?;
        let (run, size) = (usize::from(symbol >> 4), symbol & 15);
        match (run, size) {
            (15, 0) => at += 16,
            (_, 0) => break,
            (_, 11..) => return Err(TOO_LONG),
            _ => {
                at += run;
                if at > 63 {
                    return Err(TOO_MANY);
                }
                take(at, value);
                at += 1;
            }
        }
    }
    *bits = here;
    if at > 64 { Err(TOO_MANY) } else { Ok(()) }
}

/// A band of numbers told for the first time (G.1.2.2).
pub(crate) fn progressive(
    table: &Huffman,
    bits: &mut Bits<'_>,
    band: RangeInclusive<u32>,
    known: &mut u64,
    run: &mut u32,
) -> Result<(), &'static str> {
    if *run > 0 {
        *run -= 1;
        return Ok(());
    }
    let mut at = *band.start();
    while at <= *band.end() {
        let (symbol, _) = table.number(bits)?;
        let (zeros, size) = (u32::from(symbol >> 4), symbol & 15);
        match (zeros, size) {
            (15, 0) => at += 16,
            (_, 0) => {
                *run = (1 << zeros) - 1 + bits.take(zeros)?;
                return Ok(());
            }
            _ => {
                at += zeros;
                if at > *band.end() {
                    return Err(TOO_MANY);
                }
                *known |= 1 << at;
                at += 1;
            }
        }
    }
    if at > *band.end() + 1 {
        Err(TOO_MANY)
    } else {
        Ok(())
    }
}

/// A band of numbers told one bit finer (G.1.2.3).
pub(crate) fn refined(
    table: &Huffman,
    bits: &mut Bits<'_>,
    band: RangeInclusive<u32>,
    known: &mut u64,
    run: &mut u32,
) -> Result<(), &'static str> {
    let mut at = *band.start();
    if *run == 0 {
        while at <= *band.end() {
            let symbol = table.next(bits)?;
            let (mut zeros, size) = (u32::from(symbol >> 4), symbol & 15);
            match size {
                0 if zeros < 15 => {
                    *run = (1 << zeros) + bits.take(zeros)?;
                    break;
                }
                0 => {}
                1 => bits.skip(1)?,
                _ => return Err("a finer number has more than one bit"),
            }
            // A bit for each number that is known; the new one comes after so many that stay zero.
            while at <= *band.end() {
                if *known >> at & 1 == 1 {
                    bits.skip(1)?;
                } else if zeros == 0 {
                    break;
                } else {
                    zeros -= 1;
                }
                at += 1;
            }
            if size == 1 {
                if at > *band.end() {
                    return Err(TOO_MANY);
                }
                *known |= 1 << at;
            }
            at += 1;
        }
    }
    if *run > 0 {
        let rest = (at..=*band.end())
            .filter(|it| *known >> it & 1 == 1)
            .count();
        bits.skip(rest as u32)?;
        *run -= 1;
    }
    Ok(())
}
