//! The bits of coded data, up to the next marker (ITU-T T.81, B.1.1.5 and F.2.2.5).

/// Reads bits; a marker ends them. What reads many works on a copy of its own, which then lies in registers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bits<'a> {
    bytes: &'a [u8],
    /// The first byte that is not counted among those held.
    at: usize,
    /// The next bits, the first of them the highest; behind those counted stand bits of the byte at `at`, or zeros.
    held: u64,
    count: u32,
}

const EARLY: &str = "the data end before the picture is complete";

/// Whole bytes that may be left before a marker: some cameras fill up.
pub(crate) const LEFT: usize = 8;

impl<'a> Bits<'a> {
    pub(crate) fn new(bytes: &'a [u8], at: usize) -> Self {
        Self {
            bytes,
            at,
            held: 0,
            count: 0,
        }
    }

    #[inline(always)]
    fn fill(&mut self) {
        // Eight bytes at once where none of them needs a look.
        let eight = self.bytes.get(self.at..).and_then(|it| it.first_chunk());
        if let Some(eight) = eight.map(|it| u64::from_be_bytes(*it))
            && !has_marker_byte(eight)
        {
            let more = (63 - self.count) / 8;
            self.held |= eight >> self.count;
            self.count += 8 * more;
            self.at += more as usize;
        } else {
            *self = self.filled();
        }
    }

    /// Filled byte by byte.
    #[cold]
    fn filled(mut self) -> Self {
        while self.count <= 56 {
            let Some(&byte) = self.bytes.get(self.at) else {
                break;
            };
            if byte == 0xff {
                if self.bytes.get(self.at + 1) != Some(&0) {
                    break;
                }
                self.at += 1;
            }
            self.at += 1;
            self.held |= u64::from(byte) << (56 - self.count);
            self.count += 8;
        }
        self
    }

    /// The next 16 bits, with zeros where there are no more.
    pub(crate) fn ahead(&mut self) -> u32 {
        if self.count < 16 {
            self.fill();
        }
        (self.held >> 48) as u32
    }

    /// All that is held, the next bit the highest, when that is 32 bits or more, after which no more than 32 may be dropped.
    #[inline(always)]
    pub(crate) fn plenty(&mut self) -> Option<u64> {
        if self.count < 32 {
            self.fill();
        }
        (self.count >= 32).then_some(self.held)
    }

    /// Passes over up to 32 bits that are known to be held.
    #[inline(always)]
    pub(crate) fn drop(&mut self, count: u32) {
        self.held <<= count;
        self.count -= count;
    }

    /// Passes over bits.
    pub(crate) fn skip(&mut self, mut count: u32) -> Result<(), &'static str> {
        while count > self.count {
            count -= self.count;
            self.drop(self.count);
            self.fill();
            if self.count == 0 {
                return Err(EARLY);
            }
        }
        self.drop(count);
        Ok(())
    }

    /// A number of up to 16 bits.
    pub(crate) fn take(&mut self, count: u32) -> Result<u32, &'static str> {
        let ahead = self.ahead();
        self.skip(count)?;
        Ok(if count == 0 { 0 } else { ahead >> (16 - count) })
    }

    /// A number with its sign (F.2.2.1, EXTEND).
    pub(crate) fn signed(&mut self, size: u8) -> Result<i32, &'static str> {
        let size = u32::from(size);
        let value = self.take(size)? as i32;
        let negative = size > 0 && value < 1 << (size - 1);
        Ok(if negative {
            value - (1 << size) + 1
        } else {
            value
        })
    }

    /// Passes over what fills the last byte, to the marker, which must be at most `most` bytes on.
    ///
    /// # Errors
    /// When data are left.
    fn skip_to_marker(&mut self, most: usize) -> Result<(), &'static str> {
        let mut left = self.count as usize / 8;
        (self.held, self.count) = (0, 0);
        loop {
            match self.bytes.get(self.at..self.at + 2) {
                // The end of the file is told by another check.
                None => return Ok(()),
                Some([0xff, 0xff]) => self.at += 1,
                Some([0xff, mark]) if *mark != 0 && left <= most => return Ok(()),
                Some(_) => {
                    left += 1;
                    self.at += 1;
                }
            }
            if left > most {
                return Err("data are left when the picture is complete");
            }
        }
    }

    /// Passes over the restart marker of this number, 0 to 7.
    pub(crate) fn restart(&mut self, no: u8, most: usize) -> Result<(), &'static str> {
        self.skip_to_marker(most)?;
        if self.bytes.get(self.at + 1) != Some(&(0xd0 + no)) {
            return Err("a restart marker is missing");
        }
        self.at += 2;
        Ok(())
    }

    /// Where the marker after the last block stands.
    pub(crate) fn end(mut self, most: usize) -> Result<usize, &'static str> {
        self.skip_to_marker(most)?;
        Ok(self.at)
    }
}

/// Whether a byte of the eight is `ff`.
#[inline(always)]
fn has_marker_byte(eight: u64) -> bool {
    // Of a byte of ff nothing is left when it is turned over; below the lowest such byte no bit is borrowed.
    let turned = !eight;
    turned.wrapping_sub(0x0101_0101_0101_0101) & eight & 0x8080_8080_8080_8080 != 0
}
