//! The bits of coded data, up to the next marker (ITU-T T.81, B.1.1.5 and F.2.2.5).

/// Reads bits; a marker ends them.
#[derive(Debug)]
pub(crate) struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
    held: u64,
    count: u32,
}

const EARLY: &str = "the data end before the picture is complete";

/// Whole bytes that may be left before a marker: some cameras fill up.
const LEFT: usize = 8;

impl<'a> Bits<'a> {
    pub(crate) fn new(bytes: &'a [u8], at: usize) -> Self {
        Self {
            bytes,
            at,
            held: 0,
            count: 0,
        }
    }

    fn fill(&mut self) {
        // Four bytes at once where none of them needs a look.
        if self.count <= 32
            && let Some(four) = self.bytes.get(self.at..self.at + 4)
            && let [a, b, c, d] = *four
            && a < 255
            && b < 255
            && c < 255
            && d < 255
        {
            self.held = self.held << 32 | u64::from(u32::from_be_bytes([a, b, c, d]));
            self.count += 32;
            self.at += 4;
        }
        while self.count <= 48 {
            let Some(&byte) = self.bytes.get(self.at) else {
                return;
            };
            if byte == 0xff {
                if self.bytes.get(self.at + 1) != Some(&0) {
                    return;
                }
                self.at += 1;
            }
            self.at += 1;
            self.held = self.held << 8 | u64::from(byte);
            self.count += 8;
        }
    }

    /// The next 16 bits, with zeros where there are no more.
    pub(crate) fn ahead(&mut self) -> u32 {
        if self.count < 16 {
            self.fill();
        }
        let held = if self.count >= 16 {
            self.held >> (self.count - 16)
        } else {
            self.held << (16 - self.count)
        };
        (held & 0xffff) as u32
    }

    /// The next 16 bits when 32 or more are held, after which no more than 32 may be dropped.
    pub(crate) fn plenty(&mut self) -> Option<u32> {
        if self.count < 32 {
            self.fill();
        }
        (self.count >= 32).then(|| (self.held >> (self.count - 16) & 0xffff) as u32)
    }

    /// Passes over bits that are known to be held.
    pub(crate) fn drop(&mut self, count: u32) {
        self.count = self.count.saturating_sub(count);
    }

    /// Passes over bits.
    pub(crate) fn skip(&mut self, mut count: u32) -> Result<(), &'static str> {
        while count > self.count {
            count -= self.count;
            self.count = 0;
            self.fill();
            if self.count == 0 {
                return Err(EARLY);
            }
        }
        self.count -= count;
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

    /// Passes over what fills the last byte, to the marker, which must be near.
    ///
    /// # Errors
    /// When data are left.
    fn skip_to_marker(&mut self) -> Result<(), &'static str> {
        let mut left = self.count as usize / 8;
        (self.held, self.count) = (0, 0);
        loop {
            match self.bytes.get(self.at..self.at + 2) {
                // The end of the file is told by another check.
                None => return Ok(()),
                Some([0xff, 0xff]) => self.at += 1,
                Some([0xff, mark]) if *mark != 0 => return Ok(()),
                Some(_) => {
                    left += 1;
                    self.at += 1;
                }
            }
            if left > LEFT {
                return Err("data are left when the picture is complete");
            }
        }
    }

    /// Passes over the restart marker of this number, 0 to 7.
    pub(crate) fn restart(&mut self, no: u8) -> Result<(), &'static str> {
        self.skip_to_marker()?;
        if self.bytes.get(self.at + 1) != Some(&(0xd0 + no)) {
            return Err("a restart marker is missing");
        }
        self.at += 2;
        Ok(())
    }

    /// Where the marker after the last block stands.
    pub(crate) fn end(mut self) -> Result<usize, &'static str> {
        self.skip_to_marker()?;
        Ok(self.at)
    }
}
