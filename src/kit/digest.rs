//! SHA-256 (FIPS 180-4), the name by which an original is known.

use std::fmt;
use std::str::FromStr;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::Deserialize;
use serde::Serialize;
use sha2::Digest as _;
use sha2::Sha256;

/// The SHA-256 digest of some bytes, 32 bytes; prints as 64 lower-case hex digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Digest(pub [u8; 32]);

/// The text is not 64 hex digits.
#[derive(Debug, thiserror::Error)]
#[error("`{0}` is not a SHA-256 digest of 64 hex digits")]
pub struct DigestError(String);

impl Digest {
    /// Digests `bytes`.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// As an address: `ni:///sha-256;` and base64url without padding (RFC 6920, section 3).
    #[must_use]
    pub fn address(&self) -> String {
        format!("ni:///sha-256;{}", URL_SAFE_NO_PAD.encode(self.0))
    }

    /// An identifier made of it: a UUID of version 8 (RFC 9562, section 5.8) as an address.
    #[must_use]
    pub fn urn(&self) -> String {
        let mut bytes = [0; 16];
        bytes.copy_from_slice(&self.0[..16]);
        bytes[6] = bytes[6] & 0x0f | 0x80;
        bytes[8] = bytes[8] & 0x3f | 0x80;
        let hex: String = bytes.iter().map(|it| format!("{it:02x}")).collect();
        let parts = [
            &hex[..8],
            &hex[8..12],
            &hex[12..16],
            &hex[16..20],
            &hex[20..],
        ];
        format!("urn:uuid:{}", parts.join("-"))
    }

    /// The first `digits` hex digits, for people.
    #[must_use]
    pub fn short(&self, digits: usize) -> String {
        self.to_string().chars().take(digits).collect()
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl FromStr for Digest {
    type Err = DigestError;

    fn from_str(text: &str) -> Result<Self, DigestError> {
        let wrong = || DigestError(text.to_owned());
        if text.len() != 64 || !text.is_ascii() {
            return Err(wrong());
        }
        let mut bytes = [0; 32];
        for (n, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&text[2 * n..2 * n + 2], 16).map_err(|_| wrong())?;
        }
        Ok(Self(bytes))
    }
}

impl TryFrom<String> for Digest {
    type Error = DigestError;

    fn try_from(text: String) -> Result<Self, DigestError> {
        text.parse()
    }
}

impl From<Digest> for String {
    fn from(digest: Digest) -> Self {
        digest.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::Digest;

    /// RFC 6920, section 8.1: the address of `Hello World!`.
    #[test]
    fn an_address_is_that_of_the_standard() {
        let digest = Digest::of(b"Hello World!");
        let address = "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk";
        assert_eq!(digest.address(), address);
        // Version and variant stand where RFC 9562, section 4, has them.
        assert_eq!(
            digest.urn(),
            "urn:uuid:7f83b165-7ff1-8c53-b92d-c18148a1d65d"
        );
    }

    /// FIPS 180-4 example listings (values as published by NIST).
    #[test]
    fn agrees_with_the_standard() {
        for (bytes, want) in [
            (
                &b""[..],
                "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            ),
            (
                b"abc",
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            ),
            (
                b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            (
                &[0xbd],
                "68325720aabd7c82f30f554b313d0570c95accbb7dc4b5aae11204c08ffe732b",
            ),
            (
                &[0; 64],
                "f5a5fd42d16a20302798ef6ed309979b43003d2320d9f0e8ea9831a92759fb4b",
            ),
            (
                &[0x41; 1000],
                "c2e686823489ced2017f6059b8b239318b6364f6dcd835d0a519105a1eadd6e4",
            ),
        ] {
            assert_eq!(Digest::of(bytes).to_string(), want);
        }
        let million = vec![b'a'; 1_000_000];
        assert_eq!(
            Digest::of(&million).to_string(),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
        );
    }

    #[test]
    fn reads_back_what_it_prints_and_nothing_else() {
        let digest = Digest::of(b"abc");
        assert_eq!(digest.to_string().parse::<Digest>().unwrap(), digest);
        for wrong in ["", "abc", &"g".repeat(64), &"é".repeat(32)] {
            assert!(wrong.parse::<Digest>().is_err(), "{wrong}");
        }
    }
}
