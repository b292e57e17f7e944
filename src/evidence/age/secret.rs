//! One secret for very many age files, itself in an age file under a passphrase: a passphrase is stretched once, not for each of them.

use std::io;
use std::io::Read;

use der::zeroize::Zeroizing;

use crate::evidence::age::opening::Opening;
use crate::evidence::age::pieces::PIECE;
use crate::evidence::age::pieces::TAG;
use crate::evidence::age::sealing::Sealing;
use crate::evidence::key::passphrase::NewPassphrase;
use crate::kit::digest::Digest;
use crate::kit::random;
use crate::kit::random::RandomError;

/// What stretching a passphrase costs: 64 MiB, as the file of the key does.
const PASSPHRASE: u8 = 16;

/// The same for a secret of 32 random bytes, which cannot be guessed.
const RANDOM: u8 = 1;

/// How long the head of a file under a secret is, with the start of its pieces.
const HEAD: u64 = 149 + 16;

/// A secret; in the files that it locks it stands in the place of a passphrase, as 64 hex digits.
pub struct Secret(Zeroizing<String>);

impl Secret {
    /// A new one.
    ///
    /// # Errors
    /// When this machine has no random numbers.
    pub fn new() -> Result<Self, RandomError> {
        Ok(Self(Zeroizing::new(Digest(random::draw()?).to_string())))
    }

    /// It as an age file under a passphrase.
    ///
    /// # Errors
    /// When this machine has no random numbers.
    pub fn locked(&self, passphrase: &NewPassphrase<'_>) -> io::Result<Vec<u8>> {
        let mut file = Vec::new();
        Sealing::new(self.0.as_bytes(), passphrase.text(), PASSPHRASE)?.read_to_end(&mut file)?;
        Ok(file)
    }

    /// Out of such a file.
    ///
    /// # Errors
    /// With an [`AgeFault`](crate::evidence::age::sealing::AgeFault): when it is none, damaged, or of another passphrase.
    pub fn unlocked(file: &[u8], passphrase: &str) -> io::Result<Self> {
        let mut text = Zeroizing::new(String::new());
        Opening::new(file, passphrase)?.read_to_string(&mut text)?;
        Ok(Self(text))
    }

    /// Reads plain bytes as an age file.
    ///
    /// # Errors
    /// As [`Sealing::new`].
    pub fn sealing<R: Read>(&self, plain: R) -> io::Result<Sealing<R>> {
        Sealing::new(plain, &self.0, RANDOM)
    }

    /// Reads an age file as plain bytes.
    ///
    /// # Errors
    /// As [`Opening::new`].
    pub fn opening<R: Read>(&self, file: R) -> io::Result<Opening<R>> {
        Opening::new(file, &self.0)
    }

    /// How many plain bytes a file of this length holds; `None` when none has this length.
    #[must_use]
    pub fn plain_length(file: u64) -> Option<u64> {
        let (piece, tag) = (PIECE as u64, TAG as u64);
        let body = file.checked_sub(HEAD)?;
        let pieces = body.div_ceil(piece + tag);
        body.checked_sub(pieces * tag).filter(|_| pieces > 0)
    }
}

#[cfg(test)]
mod tests {
    use std::io::Read as _;

    use super::Secret;

    #[test]
    fn a_file_tells_how_long_its_plain_bytes_are() {
        let secret = Secret::new().unwrap();
        for long in [0_usize, 1, 65_535, 65_536, 65_537, 200_000] {
            let mut file = Vec::new();
            let plain = vec![1; long];
            secret
                .sealing(&plain[..])
                .unwrap()
                .read_to_end(&mut file)
                .unwrap();
            assert_eq!(Secret::plain_length(file.len() as u64), Some(long as u64));
        }
        assert_eq!(Secret::plain_length(100), None);
    }
}
