//! A table of codes (ITU-T T.81, annex C), ready to read with.

use crate::jpeg::bits::Bits;

/// Bits that are looked up at once; longer codes are rare.
const QUICK: u32 = 10;

/// What the first `QUICK` bits tell, in one number, so that it is read at once. From its lowest bits on: 4 of how many bits code and
/// number have together, or 0 where these are more; 4 of how many the code has alone, or 0 where it is longer; the symbol; the number.
#[derive(Clone, Copy, Debug, Default)]
struct Quick(u32);

/// A table of codes of 1 to 16 bits.
#[derive(Debug)]
pub(crate) struct Huffman {
    /// For each beginning.
    quick: Box<[Quick; 1 << QUICK]>,
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
            quick: Box::new([Quick::default(); 1 << QUICK]),
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
                    let symbol = *symbols.get(first)?;
                    let entries = table.quick.get_mut(from..from + (1 << (QUICK - length)));
                    for (behind, entry) in (0..).zip(entries?) {
                        *entry = Quick::new(length, symbol, behind);
                    }
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
            if entry.whole() > 0 {
                bits.drop(entry.whole());
                return Ok((entry.symbol(), entry.0 as i32 >> 16));
            }
            if entry.code() > 0 {
                let (length, size) = (entry.code(), u32::from(entry.symbol() & 15));
                bits.drop(length + size);
                return Ok((entry.symbol(), signed(held << length, size)));
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
        if entry.code() > 0 {
            bits.skip(entry.code())?;
            return Ok(entry.symbol());
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

impl Quick {
    /// Of a code of so many bits, behind which stand these, up to `QUICK`.
    fn new(code: u32, symbol: u8, behind: u64) -> Self {
        let (size, left) = (u32::from(symbol & 15), QUICK - code);
        let known = u32::from(symbol) << 8 | code << 4;
        if size > left {
            return Self(known);
        }
        let value = signed(behind << 1 << (63 - left), size) as u32;
        Self(value << 16 | known | (code + size))
    }

    fn whole(self) -> u32 {
        self.0 & 15
    }

    fn code(self) -> u32 {
        self.0 >> 4 & 15
    }

    fn symbol(self) -> u8 {
        (self.0 >> 8) as u8
    }
}

/// The number of so many bits at the beginning of these; one that begins with a zero is negative (F.2.2.1, EXTEND).
#[inline(always)]
fn signed(bits: u64, size: u32) -> i32 {
    let value = (bits >> 1 >> (63 - size)) as i32;
    let negative = !((bits as i64) >> 63) as i32;
    value + (negative & ((-1 << size) + 1))
}
