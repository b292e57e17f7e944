//! Plain bytes into an age file.

use std::io;
use std::io::Read;

use chacha20poly1305::aead::Aead as _;
use der::zeroize::Zeroizing;

use crate::evidence::age::header;
use crate::evidence::age::pieces::PIECE;
use crate::evidence::age::pieces::Pieces;
use crate::kit::random;

pub use crate::evidence::age::header::AgeFault;

/// Reads as an age file what a reader gives.
pub struct Sealing<R>(Pieces<R>);

impl<R: Read> Sealing<R> {
    /// Over plain bytes; the passphrase is stretched with 2 to the power `log_n`, from 1.
    ///
    /// # Errors
    /// When the plain bytes cannot be read, or this machine has no random numbers.
    pub fn new(from: R, passphrase: &str, log_n: u8) -> io::Result<Self> {
        let chance = |it: random::RandomError| io::Error::other(it);
        let key = Zeroizing::new(random::draw::<16>().map_err(chance)?);
        let salt = random::draw::<16>().map_err(chance)?;
        let start = random::draw::<16>().map_err(chance)?;
        let mut head = header::write(&key, passphrase, &salt, log_n);
        head.extend(start);
        Ok(Self(Pieces::new(from, PIECE, &key, start, head)?))
    }
}

impl<R: Read> Read for Sealing<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        self.0.read(out, |it| {
            let sealed = it.cipher.encrypt(&it.nonce.into(), it.bytes);
            Ok(sealed.expect("64 KiB are not too long for the cipher"))
        })
    }
}
