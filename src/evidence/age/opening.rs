//! An age file into plain bytes.

use std::io;
use std::io::Read;

use chacha20poly1305::aead::Aead as _;

use crate::evidence::age::header;
use crate::evidence::age::header::AgeFault;
use crate::evidence::age::pieces::PIECE;
use crate::evidence::age::pieces::Pieces;
use crate::evidence::age::pieces::TAG;

/// Reads the plain bytes of an age file. Bytes that were changed, left out or added are an error, at the latest at the end.
pub struct Opening<R>(Pieces<R>);

impl<R: Read> Opening<R> {
    /// Over an age file.
    ///
    /// # Errors
    /// When it cannot be read; with an [`AgeFault`] when it is none, or of another passphrase.
    pub fn new(mut from: R, passphrase: &str) -> io::Result<Self> {
        let key = header::read(&mut from, passphrase)?;
        let mut start = [0; 16];
        from.read_exact(&mut start).map_err(|_| AgeFault::Damaged)?;
        Ok(Self(Pieces::new(
            from,
            PIECE + TAG,
            &key,
            start,
            Vec::new(),
        )?))
    }
}

impl<R: Read> Read for Opening<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        self.0.read(out, |it| {
            let opened = it.cipher.decrypt(&it.nonce.into(), it.bytes);
            // Only a file of no bytes has a piece of none.
            let whole = opened.ok().filter(|plain| it.is_first || !plain.is_empty());
            whole.ok_or_else(|| AgeFault::Damaged.into())
        })
    }
}

#[cfg(test)]
mod tests {
    use std::io::Read as _;

    use super::Opening;
    use crate::evidence::age::sealing::Sealing;

    fn sealed(plain: &[u8]) -> Vec<u8> {
        let mut out = Vec::new();
        let mut it = Sealing::new(plain, "long words", 1).unwrap();
        it.read_to_end(&mut out).unwrap();
        out
    }

    fn opened(file: &[u8], passphrase: &str) -> Result<Vec<u8>, String> {
        let mut out = Vec::new();
        let it = Opening::new(file, passphrase);
        let done = it.and_then(|mut it| it.read_to_end(&mut out));
        done.map(|_| out).map_err(|it| it.to_string())
    }

    #[test]
    fn what_was_sealed_opens_at_every_length() {
        for long in [0, 1, 65_535, 65_536, 65_537, 131_072, 200_000] {
            let plain: Vec<u8> = (0..long as u32).map(|it| it.to_le_bytes()[0]).collect();
            let file = sealed(&plain);
            assert_eq!(opened(&file, "long words").unwrap(), plain, "{long}");
            let again = sealed(&plain);
            assert_ne!(file, again, "each file has a key of its own");
            assert_eq!(file.len(), again.len());
        }
    }

    #[test]
    fn what_was_changed_does_not_open() {
        let plain = vec![7; 140_000];
        let file = sealed(&plain);
        assert_eq!(
            opened(&file, "other words").unwrap_err(),
            "the passphrase does not open it"
        );
        for at in [3, 30, 60, 100, 140, 190, 70_000, file.len() - 1] {
            let mut bytes = file.clone();
            bytes[at] ^= 1;
            assert!(opened(&bytes, "long words").is_err(), "{at}");
        }
        let head = file.len() - 140_000 - 3 * 16;
        for end in [10, head - 5, head, head + 65_552, file.len() - 1] {
            assert!(opened(&file[..end], "long words").is_err(), "{end}");
        }
        let longer = [&file[..], b"x"].concat();
        assert_eq!(opened(&longer, "long words").unwrap_err(), "it is damaged");
        assert!(opened(b"no such file", "long words").is_err());
    }
}
