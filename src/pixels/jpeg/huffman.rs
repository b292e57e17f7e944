//! A table of codes (ITU-T T.81, annex C), ready to read with.

use crate::jpeg::bits::Bits;

/// Bits that are looked up at once; longer codes are rare.
const QUICK: u32 = 9;

/// A table of codes of 1 to 16 bits.
#[derive(Debug)]
pub(crate) struct Huffman {
    /// For each beginning of `QUICK` bits: length and symbol of its code, or 0.
    quick: Box<[u16; 1 << QUICK]>,
    /// For each length: the first code that is longer, with zeros behind it to 16 bits.
    beyond: [u32; 17],
    /// For each length: what to add to a code for its place in `symbols`.
    place: [i32; 17],
    symbols: Vec<u8>,
}

impl Huffman {
    /// From how many codes there are of each length, and their symbols in order; `None` when they do not fit.
    pub(crate) fn new(counts: &[u8], symbols: &[u8]) -> Option<Self> {
        let mut table = Self {
            quick: Box::new([0; 1 << QUICK]),
            beyond: [0; 17],
            place: [0; 17],
            symbols: symbols.to_vec(),
        };
        let (mut code, mut first) = (0_u32, 0_usize);
        for (length, count) in (1..=16_u32).zip(counts) {
            let at = length as usize;
            table.place[at] = first as i32 - code as i32;
            for _ in 0..*count {
                if length <= QUICK {
                    let from = (code << (QUICK - length)) as usize;
                    let entry = (length as u16) << 8 | u16::from(*symbols.get(first)?);
                    table
                        .quick
                        .get_mut(from..from + (1 << (QUICK - length)))?
                        .fill(entry);
                }
                code += 1;
                first += 1;
            }
            if code > 1 << length {
                return None;
            }
            table.beyond[at] = code << (16 - length);
            code <<= 1;
        }
        Some(table)
    }

    /// Reads the next symbol, and the number behind it of as many bits as the lower half of the symbol says (F.2.2.1, EXTEND).
    #[inline(always)]
    pub(crate) fn number(&self, bits: &mut Bits<'_>) -> Result<(u8, i32), &'static str> {
        if let Some(held) = bits.plenty() {
            let entry = self.quick[(held >> (64 - QUICK)) as usize];
            if entry != 0 {
                let (length, size) = (u32::from(entry >> 8), u32::from(entry & 15));
                let behind = held << length;
                let value = (behind >> 1 >> (63 - size)) as i32;
                // A number that begins with a zero is negative.
                let negative = !((behind as i64) >> 63) as i32;
                bits.drop(length + size);
                return Ok((entry as u8, value + (negative & ((-1 << size) + 1))));
            }
        }
        let (after, symbol, value) = self.slowly(*bits)?;
        *bits = after;
        Ok((symbol, value))
    }

    /// The same near the end of the data, or of a long code; with what is left of the bits.
    #[cold]
    fn slowly<'a>(&self, mut bits: Bits<'a>) -> Result<(Bits<'a>, u8, i32), &'static str> {
        let symbol = self.next(&mut bits)?;
        let value = bits.signed(symbol & 15)?;
        Ok((bits, symbol, value))
    }

    /// Reads the next symbol.
    pub(crate) fn next(&self, bits: &mut Bits<'_>) -> Result<u8, &'static str> {
        let ahead = bits.ahead();
        let entry = self.quick[(ahead >> (16 - QUICK)) as usize];
        if entry != 0 {
            bits.skip(u32::from(entry >> 8))?;
            return Ok(entry as u8);
        }
        let length = (QUICK + 1..=16).find(|it| ahead < self.beyond[*it as usize]);
        let length = length.ok_or("a code is in no table")?;
        bits.skip(length)?;
        let code = (ahead >> (16 - length)) as i32;
        let place = usize::try_from(code + self.place[length as usize]);
        let symbol = place.ok().and_then(|it| self.symbols.get(it));
        symbol.copied().ok_or("a code is in no table")
    }
}
