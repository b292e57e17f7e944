//! Plain bytes into an age file.

use std::io;
use std::io::Read;

use chacha20poly1305::ChaCha20Poly1305;
use chacha20poly1305::KeyInit as _;
use chacha20poly1305::aead::Aead as _;
use der::zeroize::Zeroizing;

use crate::evidence::age::derive::hkdf;
use crate::evidence::age::header;
use crate::kit::random;

pub use crate::evidence::age::header::AgeFault;

/// Plain bytes of each piece but the last.
pub(super) const PIECE: usize = 64 * 1024;

/// By how much each piece grows.
pub(super) const TAG: usize = 16;

/// The number that a piece is bound to: its place, and whether it is the last (STREAM).
pub(super) fn nonce(place: u64, is_last: bool) -> [u8; 12] {
    let mut nonce = [0; 12];
    nonce[3..11].copy_from_slice(&place.to_be_bytes());
    nonce[11] = u8::from(is_last);
    nonce
}

/// Fills `piece` as far as there is something to read.
pub(super) fn fill(from: &mut impl Read, piece: &mut Vec<u8>, most: usize) -> io::Result<()> {
    piece.clear();
    from.take(most as u64).read_to_end(piece)?;
    Ok(())
}

/// Reads as an age file what `from` gives.
pub struct Sealing<R> {
    from: R,
    cipher: ChaCha20Poly1305,
    /// The plain piece that is next.
    next: Vec<u8>,
    place: u64,
    is_done: bool,
    /// What is ready, and how far it was given.
    ready: Vec<u8>,
    given: usize,
}

impl<R: Read> Sealing<R> {
    /// Over plain bytes; the passphrase is stretched with 2 to the power `log_n`, from 1.
    ///
    /// # Errors
    /// When the plain bytes cannot be read, or this machine has no random numbers.
    pub fn new(mut from: R, passphrase: &str, log_n: u8) -> io::Result<Self> {
        let chance = |it: random::RandomError| io::Error::other(it);
        let key = Zeroizing::new(random::draw::<16>().map_err(chance)?);
        let salt = random::draw::<16>().map_err(chance)?;
        let start = random::draw::<16>().map_err(chance)?;
        let mut ready = header::write(&key, passphrase, &salt, log_n);
        ready.extend(start);
        let mut next = Vec::new();
        fill(&mut from, &mut next, PIECE)?;
        Ok(Self {
            from,
            cipher: ChaCha20Poly1305::new(&(*hkdf(key.as_slice(), &start, "payload")).into()),
            next,
            place: 0,
            is_done: false,
            ready,
            given: 0,
        })
    }

    fn seal_next(&mut self) -> io::Result<()> {
        let piece = std::mem::take(&mut self.next);
        fill(&mut self.from, &mut self.next, PIECE)?;
        self.is_done = self.next.is_empty();
        let nonce = nonce(self.place, self.is_done);
        self.ready = self
            .cipher
            .encrypt(&nonce.into(), piece.as_slice())
            .expect("64 KiB are not too long for the cipher");
        self.given = 0;
        self.place += 1;
        Ok(())
    }
}

impl<R: Read> Read for Sealing<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        if self.given == self.ready.len() && !self.is_done {
            self.seal_next()?;
        }
        let n = out.len().min(self.ready.len() - self.given);
        out[..n].copy_from_slice(&self.ready[self.given..self.given + n]);
        self.given += n;
        Ok(n)
    }
}
