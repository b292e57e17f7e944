//! The body of an age file, piece by piece: each is bound to its place, and the last to the end (STREAM).

use std::io;
use std::io::Read;

use chacha20poly1305::ChaCha20Poly1305;
use chacha20poly1305::KeyInit as _;

use crate::evidence::age::derive::hkdf;
use crate::evidence::age::header::FileKey;

/// Plain bytes of each piece but the last.
pub(super) const PIECE: usize = 64 * 1024;

/// By how much each piece grows.
pub(super) const TAG: usize = 16;

/// The pieces that `from` gives, each turned into another when it is read.
pub(super) struct Pieces<R> {
    from: R,
    cipher: ChaCha20Poly1305,
    /// How long each piece is that is read, but the last.
    most: usize,
    /// The piece that is next, as it was read.
    next: Vec<u8>,
    place: u64,
    is_done: bool,
    /// What is ready, and how far it was given.
    ready: Vec<u8>,
    given: usize,
}

/// A piece as it was read.
pub(super) struct Piece<'a> {
    pub(super) cipher: &'a ChaCha20Poly1305,
    pub(super) bytes: &'a [u8],
    /// The number that it is bound to.
    pub(super) nonce: [u8; 12],
    pub(super) is_first: bool,
}

impl<R: Read> Pieces<R> {
    /// Over pieces of `most` bytes, under the key of the file and the random bytes before its first piece; `ready` is given before them.
    ///
    /// # Errors
    /// When the first cannot be read.
    pub(super) fn new(
        from: R,
        most: usize,
        key: &FileKey,
        start: [u8; 16],
        ready: Vec<u8>,
    ) -> io::Result<Self> {
        let key = hkdf(key.as_slice(), &start, "payload");
        let mut it = Self {
            from,
            cipher: ChaCha20Poly1305::new(&(*key).into()),
            most,
            next: Vec::new(),
            place: 0,
            is_done: false,
            ready,
            given: 0,
        };
        it.take_next()?;
        Ok(it)
    }

    /// The piece that was read before; reads the one after it, which tells whether that was the last.
    fn take_next(&mut self) -> io::Result<Vec<u8>> {
        let piece = std::mem::take(&mut self.next);
        let mut from = self.from.by_ref().take(self.most as u64);
        from.read_to_end(&mut self.next)?;
        Ok(piece)
    }

    /// Reads on, each piece turned by `turn`.
    ///
    /// # Errors
    /// When a piece cannot be read, or turned.
    pub(super) fn read(
        &mut self,
        out: &mut [u8],
        turn: impl FnOnce(&Piece<'_>) -> io::Result<Vec<u8>>,
    ) -> io::Result<usize> {
        if self.given == self.ready.len() && !self.is_done {
            let bytes = self.take_next()?;
            self.is_done = self.next.is_empty();
            let mut nonce = [0; 12];
            nonce[3..11].copy_from_slice(&self.place.to_be_bytes());
            nonce[11] = u8::from(self.is_done);
            self.ready = turn(&Piece {
                cipher: &self.cipher,
                bytes: &bytes,
                nonce,
                is_first: self.place == 0,
            })?;
            self.given = 0;
            self.place += 1;
        }
        let n = out.len().min(self.ready.len() - self.given);
        out[..n].copy_from_slice(&self.ready[self.given..self.given + n]);
        self.given += n;
        Ok(n)
    }
}
