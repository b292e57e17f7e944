//! The digests of a stream that is too long to hold.

use std::io;
use std::io::Read;

use sha2::Digest as _;
use sha2::Sha256;
use sha2::Sha512;

use crate::kit::digest::Digest;

/// What a stream came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checksums {
    /// Its SHA-256.
    pub sha256: Digest,
    /// Its SHA-512 (FIPS 180-4), 128 lower-case hex digits.
    pub sha512: String,
    /// Its length.
    pub bytes: u64,
}

/// A reader that digests all that is read through it.
pub struct Summing<R> {
    from: R,
    sha256: Sha256,
    sha512: Sha512,
    bytes: u64,
}

impl<R: Read> Summing<R> {
    /// Over a reader of which nothing is read yet.
    pub fn new(from: R) -> Self {
        Self {
            from,
            sha256: Sha256::new(),
            sha512: Sha512::new(),
            bytes: 0,
        }
    }

    /// What was read so far.
    #[must_use]
    pub fn sums(self) -> Checksums {
        let wide = self.sha512.finalize();
        Checksums {
            sha256: Digest(self.sha256.finalize().into()),
            sha512: wide.iter().map(|byte| format!("{byte:02x}")).collect(),
            bytes: self.bytes,
        }
    }
}

impl<R: Read> Read for Summing<R> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        let n = self.from.read(buf)?;
        self.sha256.update(&buf[..n]);
        self.sha512.update(&buf[..n]);
        self.bytes += n as u64;
        Ok(n)
    }
}

impl Checksums {
    /// Of all that a reader gives, 64 KiB at a time.
    ///
    /// # Errors
    /// When it cannot be read to its end.
    pub fn of(from: impl Read) -> io::Result<Self> {
        let mut summing = Summing::new(from);
        let mut buf = vec![0; 1 << 16];
        loop {
            match summing.read(&mut buf) {
                Ok(0) => return Ok(summing.sums()),
                Ok(_) => {}
                Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
                Err(why) => return Err(why),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Checksums;
    use crate::kit::digest::Digest;

    /// FIPS 180-4 example of SHA-512 for `abc` (value as published by NIST, from memory; `sha512sum` agrees).
    #[test]
    fn agrees_with_the_standard() {
        let sums = Checksums::of(&b"abc"[..]).unwrap();
        assert_eq!(sums.sha256, Digest::of(b"abc"));
        assert_eq!(
            sums.sha512,
            "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a\
             2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f"
        );
        assert_eq!(sums.bytes, 3);
    }
}
