//! The head of an age file with its one scrypt recipient.

use std::io;
use std::io::Read;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD_NO_PAD;
use chacha20poly1305::ChaCha20Poly1305;
use chacha20poly1305::KeyInit as _;
use chacha20poly1305::aead::Aead as _;
use der::zeroize::Zeroizing;

use crate::evidence::age::derive::Cost;
use crate::evidence::age::derive::hkdf;
use crate::evidence::age::derive::hmac;
use crate::evidence::age::derive::scrypt;

/// First line of every file.
const FIRST: &str = "age-encryption.org/v1\n";

/// What the salt of a passphrase begins with.
const LABEL: &[u8] = b"age-encryption.org/v1/scrypt";

/// The most that a file may ask for: 1 GiB of memory.
const LOG_N_MAX: u8 = 20;

/// Longest head with one scrypt recipient, bytes.
const HEAD_MAX: usize = 256;

/// The key of one file.
pub(super) type FileKey = Zeroizing<[u8; 16]>;

/// Why an age file cannot be opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AgeFault {
    /// It is none, or not for a passphrase.
    #[error("this is no age file under a passphrase")]
    Other,
    /// It asks for more memory or time than a file of ours does.
    #[error("this age file asks for more memory than one may")]
    Costly,
    /// The passphrase does not open it.
    #[error("the passphrase does not open it")]
    Passphrase,
    /// Bytes of it have changed, or its end is missing.
    #[error("it is damaged")]
    Damaged,
}

impl From<AgeFault> for io::Error {
    fn from(it: AgeFault) -> Self {
        Self::new(io::ErrorKind::InvalidData, it)
    }
}

fn wrap(passphrase: &str, salt: &[u8], log_n: u8) -> ChaCha20Poly1305 {
    let mut key = Zeroizing::new([0; 32]);
    let salt = [LABEL, salt].concat();
    let cost = Cost { log_n, r: 8, p: 1 };
    scrypt(passphrase.as_bytes(), &salt, cost, &mut *key);
    ChaCha20Poly1305::new(&(*key).into())
}

/// The head of a file with this key for this passphrase.
pub(super) fn write(key: &FileKey, passphrase: &str, salt: &[u8; 16], log_n: u8) -> Vec<u8> {
    let wrapped = wrap(passphrase, salt, log_n)
        .encrypt(&[0; 12].into(), key.as_slice())
        .expect("16 bytes are not too long for the cipher");
    let text = |bytes: &[u8]| STANDARD_NO_PAD.encode(bytes);
    let (salt, body) = (text(salt), text(&wrapped));
    let head = format!("{FIRST}-> scrypt {salt} {log_n}\n{body}\n---");
    let mac = text(&mac(key, &head));
    format!("{head} {mac}\n").into_bytes()
}

fn mac(key: &FileKey, head: &str) -> [u8; 32] {
    hmac(&*hkdf(key.as_slice(), &[], "header"), &[head.as_bytes()])
}

/// Reads the head, and gives the key of the file.
///
/// # Errors
/// When it cannot be read; with an [`AgeFault`] when it is no such file, or of another passphrase.
pub(super) fn read(from: &mut impl Read, passphrase: &str) -> io::Result<FileKey> {
    let head = lines(from)?;
    let head = std::str::from_utf8(&head).map_err(|_| AgeFault::Other)?;
    let (salt, log_n, body, mac_text) = parts(head).ok_or(AgeFault::Other)?;
    if log_n > LOG_N_MAX {
        return Err(AgeFault::Costly.into());
    }
    let opened = wrap(passphrase, &salt, log_n).decrypt(&[0; 12].into(), body.as_slice());
    let opened = Zeroizing::new(opened.map_err(|_| AgeFault::Passphrase)?);
    let key: [u8; 16] = opened[..].try_into().map_err(|_| AgeFault::Other)?;
    let key = Zeroizing::new(key);
    let signed = head.rfind("---").map_or("", |at| &head[..at + 3]);
    let mac_text = STANDARD_NO_PAD.decode(mac_text).unwrap_or_default();
    match mac_text == mac(&key, signed) {
        true => Ok(key),
        false => Err(AgeFault::Damaged.into()),
    }
}

/// The bytes up to the end of the line that begins with `---`.
fn lines(from: &mut impl Read) -> io::Result<Vec<u8>> {
    let (mut head, mut line, mut byte) = (Vec::new(), 0, [0]);
    while head.len() < HEAD_MAX {
        from.read_exact(&mut byte).map_err(|_| AgeFault::Other)?;
        head.push(byte[0]);
        if byte[0] == b'\n' {
            if head[line..].starts_with(b"---") {
                return Ok(head);
            }
            line = head.len();
        }
    }
    Err(AgeFault::Other.into())
}

/// Salt, cost, wrapped key and MAC.
fn parts(head: &str) -> Option<(Vec<u8>, u8, Vec<u8>, &str)> {
    let mut lines = head.strip_prefix(FIRST)?.lines();
    let mut words = lines.next()?.strip_prefix("-> scrypt ")?.split(' ');
    let salt = STANDARD_NO_PAD.decode(words.next()?).ok()?;
    let log_n: u8 = words.next()?.parse().ok()?;
    let body = STANDARD_NO_PAD.decode(lines.next()?).ok()?;
    let mac = lines.next()?.strip_prefix("--- ")?;
    let whole = words.next().is_none() && lines.next().is_none();
    (whole && salt.len() == 16 && log_n > 0).then_some((salt, log_n, body, mac))
}
