//! A table of codes (ITU-T T.81, annex C), ready to read with.

use crate::jpeg::bits::Bits;

/// Bits that are looked up at once; longer codes are rare.
const QUICK: u32 = 9;

/// A table of codes of 1 to 16 bits.
#[derive(Debug)]
pub(crate) struct Huffman {
    /// For each beginning of `QUICK` bits: length and symbol of its code, or 0.
    quick: Vec<u16>,
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
            quick: vec![0; 1 << QUICK],
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

    /// Reads the next symbol, and passes over as many bits as its lower half says.
    pub(crate) fn pass(&self, bits: &mut Bits<'_>) -> Result<u8, &'static str> {
        if let Some(ahead) = bits.plenty() {
            let entry = self.quick[(ahead >> (16 - QUICK)) as usize];
            if entry != 0 {
                bits.drop(u32::from(entry >> 8) + u32::from(entry & 15));
                return Ok(entry as u8);
            }
        }
        let symbol = self.next(bits)?;
        bits.skip(u32::from(symbol & 15))?;
        Ok(symbol)
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
