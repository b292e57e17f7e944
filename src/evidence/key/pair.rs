//! The book's key: Ed25519 (RFC 8032), its public half as PEM, and the fingerprint that goes on an invoice.

use std::fmt;

use der::pem;
use der::pem::LineEnding;
use der::zeroize::Zeroizing;
use ed25519_dalek::Signature;
use ed25519_dalek::Signer as _;
use ed25519_dalek::SigningKey;
use ed25519_dalek::VerifyingKey;

use crate::kit::chance;
use crate::kit::chance::ChanceError;
use crate::kit::digest::Digest;

/// How many hex digits a fingerprint has: 80 bits, too many for anybody to find a second key that shows the same.
pub const FINGERPRINT_DIGITS: usize = 20;

/// What PEM calls a public key (RFC 7468, section 13).
const LABEL: &str = "PUBLIC KEY";

/// The DER of an Ed25519 SubjectPublicKeyInfo up to the 32 bytes of the key (RFC 8410, section 4).
const SPKI: [u8; 12] = [
    0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00,
];

/// The key a book signs with. It never shows itself: only `key_file` writes it down.
pub struct Key(SigningKey);

/// The half of a key that everybody may have, 32 bytes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct PublicKey(VerifyingKey);

/// Why a key or a signature is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KeyFault {
    /// The bytes are no point of the curve, or a second spelling of one.
    #[error("these bytes are no Ed25519 key")]
    NoKey,
    /// A key under which many signatures are good for many texts.
    #[error("this key is too weak to prove anything")]
    Weak,
    /// Not the PEM text of an Ed25519 public key.
    #[error("this is not an Ed25519 public key in PEM")]
    Pem,
    /// A signature has 64 bytes.
    #[error("a signature has 64 bytes, this has {0}")]
    Length(usize),
    /// Other bytes were signed, or with another key.
    #[error("the signature is not this key's for these bytes")]
    Signature,
}

impl Key {
    /// Makes a new key from random bytes.
    ///
    /// # Errors
    /// When this machine has no random numbers.
    pub fn new() -> Result<Self, ChanceError> {
        let seed = Zeroizing::new(chance::draw()?);
        Ok(Self::from_seed(&seed))
    }

    /// The key of a seed, the 32 secret bytes of RFC 8032.
    #[must_use]
    pub fn from_seed(seed: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(seed))
    }

    /// Its seed, for who writes it down.
    pub(crate) fn seed(&self) -> Zeroizing<[u8; 32]> {
        Zeroizing::new(self.0.to_bytes())
    }

    /// Its public half.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key())
    }

    /// Signs bytes; the same bytes always give the same 64.
    #[must_use]
    pub fn sign(&self, bytes: &[u8]) -> [u8; 64] {
        self.0.sign(bytes).to_bytes()
    }
}

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Key({})", self.public().fingerprint())
    }
}

impl PublicKey {
    /// Takes 32 bytes for a key.
    ///
    /// # Errors
    /// When they are no point, a point in a second spelling, or a point of small order.
    pub fn from_bytes(bytes: &[u8; 32]) -> Result<Self, KeyFault> {
        if !is_canonical(bytes) {
            return Err(KeyFault::NoKey);
        }
        let key = VerifyingKey::from_bytes(bytes).map_err(|_| KeyFault::NoKey)?;
        if key.is_weak() {
            return Err(KeyFault::Weak);
        }
        Ok(Self(key))
    }

    /// Its 32 bytes, as a statement holds them.
    #[must_use]
    pub fn digest(&self) -> Digest {
        Digest(self.0.to_bytes())
    }

    /// Checks a signature strictly: also second spellings of a good signature are refused.
    ///
    /// # Errors
    /// When it is not this key's for these bytes.
    pub fn verify(&self, bytes: &[u8], signature: &[u8]) -> Result<(), KeyFault> {
        let signature =
            Signature::from_slice(signature).map_err(|_| KeyFault::Length(signature.len()))?;
        self.0
            .verify_strict(bytes, &signature)
            .map_err(|_| KeyFault::Signature)
    }

    /// Its DER, a SubjectPublicKeyInfo of 44 bytes (RFC 8410).
    #[must_use]
    pub fn der(&self) -> Vec<u8> {
        [&SPKI[..], self.0.as_bytes()].concat()
    }

    /// Its PEM text, as `openssl pkeyutl -verify -pubin -inkey FILE -rawin` takes it.
    #[must_use]
    pub fn pem(&self) -> String {
        pem::encode_string(LABEL, LineEnding::LF, &self.der()).expect("44 bytes fit into PEM")
    }

    /// Reads a PEM text; only line ends may differ from what [`PublicKey::pem`] writes.
    ///
    /// # Errors
    /// When it is anything else, or a key that is refused.
    pub fn read_pem(text: &str) -> Result<Self, KeyFault> {
        let (label, der) = pem::decode_vec(text.as_bytes()).map_err(|_| KeyFault::Pem)?;
        let bytes = der.strip_prefix(&SPKI[..]).ok_or(KeyFault::Pem)?;
        let bytes = bytes.try_into().map_err(|_| KeyFault::Pem)?;
        let key = Self::from_bytes(bytes)?;
        let same = label == LABEL && text.trim_end().lines().eq(key.pem().lines());
        same.then_some(key).ok_or(KeyFault::Pem)
    }

    /// For an invoice or a letter: the first 20 hex digits of the SHA-256 of its DER, in groups of four.
    ///
    /// Digits and `a` to `f` only, so that it can be printed, read out and typed; [`PublicKey::is_meant_by`] compares.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let digits = Digest::of(&self.der()).short(FINGERPRINT_DIGITS);
        let groups: Vec<&str> = (0..FINGERPRINT_DIGITS)
            .step_by(4)
            .map(|at| &digits[at..at + 4])
            .collect();
        groups.join(" ")
    }

    /// Whether a fingerprint that somebody typed is this key's; spaces, hyphens, colons and capitals do not count.
    #[must_use]
    pub fn is_meant_by(&self, typed: &str) -> bool {
        let plain = |text: &str| -> String {
            text.chars()
                .filter(|c| !c.is_whitespace() && !['-', ':'].contains(c))
                .map(|c| c.to_ascii_lowercase())
                .collect()
        };
        plain(typed) == plain(&self.fingerprint())
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PublicKey({})", self.digest())
    }
}

/// Whether the y of a point, little-endian with the sign of x in its top bit, is below 2^255 - 19 (RFC 8032, section 5.1.3).
fn is_canonical(bytes: &[u8; 32]) -> bool {
    let top = bytes[31] & 0x7f;
    let all_ones = top == 0x7f && bytes[1..31].iter().all(|it| *it == 0xff);
    !(all_ones && bytes[0] >= 0xed)
}

#[cfg(test)]
#[path = "pair_tests.rs"]
mod tests;
