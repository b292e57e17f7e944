//! The secret key as a small text file: plain, or locked with a passphrase.
//!
//! A key file has one `name: value` a line, in this order: what it is and that it is secret; the public key; `kept`,
//! which is `plain` or `locked`; for a plain one the seed; for a locked one what Argon2id (RFC 9106) needs, and the seed under
//! XChaCha20-Poly1305, bound to all lines above it; last a check over the whole text, so that a damaged file is told from a
//! wrong passphrase. Functions here turn text into keys and back; the file is the business of who calls them.
//!
//! Not an encrypted PKCS#8 (RFC 5958, RFC 8018), which `openssl pkey` would read: its crate brings twelve packages, ten more than the
//! lock file may hold, and what `openssl` reads of it has neither Argon2id nor a cipher that shows damage.

use argon2::Algorithm;
use argon2::Argon2;
use argon2::Block;
use argon2::Params;
use argon2::Version;
use chacha20poly1305::KeyInit as _;
use chacha20poly1305::XChaCha20Poly1305;
use chacha20poly1305::aead::Aead as _;
use chacha20poly1305::aead::Payload;
use der::zeroize::Zeroizing;

use crate::evidence::key::pair::Key;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::key::passphrase::NewPassphrase;
use crate::kit::digest::Digest;
use crate::kit::random;
use crate::kit::random::RandomError;

/// First line of every key file.
const FIRST: &str = "asfound key: 1";

/// Second line: what must never happen.
const WARNING: &str = "SECRET: never give this file away; whoever has it can sign in your name";

/// Longest text that can be a key file, in bytes.
const TEXT_MAX: usize = 4096;

/// What a passphrase costs to try, and the random numbers of one locked file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lock {
    /// Memory, in KiB.
    pub memory: u32,
    /// Passes over the memory.
    pub passes: u32,
    /// Lanes.
    pub lanes: u32,
    /// Salt of the passphrase.
    pub salt: [u8; 16],
    /// Nonce of the cipher.
    pub nonce: [u8; 24],
}

/// Why a text gives no key, or a key no text.
#[derive(Debug, thiserror::Error)]
pub enum KeyFileFault {
    /// Some other file.
    #[error("this is not a key file of asfound")]
    Other,
    /// Written by a newer program.
    #[error("this key file is of a version this program does not know")]
    Newer,
    /// It was one, and bytes of it have changed.
    #[error("this key file is damaged: take it from a copy")]
    Damaged,
    /// Locked, and no passphrase was given.
    #[error("this key file is locked with a passphrase")]
    Locked,
    /// The file is whole and the passphrase does not open it.
    #[error("the passphrase does not open this key file")]
    Passphrase,
    /// It asks for more memory or time than any key file of ours does.
    #[error("this key file asks for more memory or time than a key file may")]
    Costly,
    /// No random numbers.
    #[error(transparent)]
    Chance(#[from] RandomError),
}

impl Lock {
    /// RFC 9106, section 4, second recommended choice: 64 MiB, 3 passes, 4 lanes; with fresh random numbers.
    ///
    /// # Errors
    /// When this machine has no random numbers.
    pub fn new() -> Result<Self, RandomError> {
        Ok(Self {
            memory: 64 * 1024,
            passes: 3,
            lanes: 4,
            salt: random::draw()?,
            nonce: random::draw()?,
        })
    }

    /// The limits when read: 256 MiB, 10 passes, 16 lanes; at least what Argon2 itself demands.
    fn params(&self) -> Result<Params, KeyFileFault> {
        let least = 8 * self.lanes.clamp(1, 16);
        let fair = (least..=256 * 1024).contains(&self.memory)
            && (1..=10).contains(&self.passes)
            && (1..=16).contains(&self.lanes);
        let params = Params::new(self.memory, self.passes, self.lanes, Some(32));
        params.ok().filter(|_| fair).ok_or(KeyFileFault::Costly)
    }

    /// The cipher that a passphrase gives.
    fn cipher(&self, passphrase: &str) -> Result<XChaCha20Poly1305, KeyFileFault> {
        let argon = Argon2::new(Algorithm::Argon2id, Version::V0x13, self.params()?);
        let mut key = Zeroizing::new([0; 32]);
        let mut memory = Zeroizing::new(vec![Block::default(); argon.params().block_count()]);
        argon
            .hash_password_into_with_memory(
                passphrase.as_bytes(),
                &self.salt,
                key.as_mut_slice(),
                memory.as_mut_slice(),
            )
            .map_err(|_| KeyFileFault::Costly)?;
        Ok(XChaCha20Poly1305::new(&(*key).into()))
    }
}

/// The text of a key that lies open: whoever reads the file has the key.
#[must_use]
pub fn write_plain(key: &Key) -> Zeroizing<String> {
    let seed = Zeroizing::new(hex(key.seed().as_slice()));
    let head = head(&key.public(), "plain");
    checked(Zeroizing::new(format!("{head}seed: {}\n", *seed)))
}

/// The text of a key that only the passphrase opens.
///
/// # Errors
/// When the lock asks for too much.
pub fn write_locked(
    key: &Key,
    passphrase: NewPassphrase<'_>,
    lock: &Lock,
) -> Result<Zeroizing<String>, KeyFileFault> {
    let head = format!(
        "{}argon2id: memory={} passes={} lanes={}\nsalt: {}\nnonce: {}\n",
        head(&key.public(), "locked"),
        lock.memory,
        lock.passes,
        lock.lanes,
        hex(&lock.salt),
        hex(&lock.nonce),
    );
    let seed = key.seed();
    let payload = Payload {
        msg: seed.as_slice(),
        aad: head.as_bytes(),
    };
    let sealed = lock
        .cipher(passphrase.text())?
        .encrypt(&lock.nonce.into(), payload)
        .expect("32 bytes are not too long for the cipher");
    let text = format!("{head}sealed: {}\n", hex(&sealed));
    Ok(checked(Zeroizing::new(text)))
}

/// Whether the key in a text is locked, so that the passphrase must be asked for.
///
/// # Errors
/// When the text is no key file, or damaged.
pub fn is_locked(text: &str) -> Result<bool, KeyFileFault> {
    Ok(matches!(parse(text)?.kept, Kept::Locked { .. }))
}

/// The public half of the key in a text, whose bytes it names in the open; for a locked one it is not checked that they are its own.
///
/// # Errors
/// When the text is no key file, or damaged.
pub fn public_of(text: &str) -> Result<Digest, KeyFileFault> {
    Ok(parse(text)?.public)
}

/// Reads the key; the passphrase of a plain file is not looked at.
///
/// # Errors
/// When the text is no key file, damaged, or locked with another passphrase.
pub fn read(text: &str, passphrase: Option<&str>) -> Result<Key, KeyFileFault> {
    let parsed = parse(text)?;
    let seed = match parsed.kept {
        Kept::Plain(seed) => seed,
        Kept::Locked { lock, sealed, head } => {
            let payload = Payload {
                msg: &sealed,
                aad: head.as_bytes(),
            };
            lock.params()?;
            let passphrase = passphrase.ok_or(KeyFileFault::Locked)?;
            let seed = lock
                .cipher(passphrase)?
                .decrypt(&lock.nonce.into(), payload)
                .map(Zeroizing::new)
                .map_err(|_| KeyFileFault::Passphrase)?;
            let seed: [u8; 32] = seed[..].try_into().map_err(|_| KeyFileFault::Damaged)?;
            Zeroizing::new(seed)
        }
    };
    let key = Key::from_seed(&seed);
    let same = key.public().digest() == parsed.public;
    same.then_some(key).ok_or(KeyFileFault::Damaged)
}

struct Parsed {
    public: Digest,
    kept: Kept,
}

enum Kept {
    Plain(Zeroizing<[u8; 32]>),
    Locked {
        lock: Lock,
        sealed: [u8; 48],
        /// All lines above the sealed one.
        head: String,
    },
}

fn parse(text: &str) -> Result<Parsed, KeyFileFault> {
    if text.len() > TEXT_MAX || !text.starts_with(&FIRST[..FIRST.len() - 1]) {
        return Err(KeyFileFault::Other);
    }
    // Editors and mail programs change line ends; nothing else may differ.
    let text = Zeroizing::new(text.replace("\r\n", "\n"));
    let body_end = text.trim_end().rfind("check: ").unwrap_or(0);
    if text.trim_end() != checked(Zeroizing::new(text[..body_end].to_owned())).trim_end() {
        return Err(KeyFileFault::Damaged);
    }
    let mut lines = text[..body_end].lines();
    if lines.next() != Some(FIRST) {
        return Err(KeyFileFault::Newer);
    }
    lines_of(&mut lines, &text).ok_or(KeyFileFault::Damaged)
}

fn lines_of(lines: &mut std::str::Lines<'_>, text: &str) -> Option<Parsed> {
    if lines.next()? != WARNING {
        return None;
    }
    let mut value = |name: &str| lines.next()?.strip_prefix(name)?.strip_prefix(": ");
    let public = Digest(unhex(value("public")?)?);
    let kept = match value("kept")? {
        "plain" => Kept::Plain(Zeroizing::new(unhex(value("seed")?)?)),
        "locked" => {
            let [memory, passes, lanes] = costs(value("argon2id")?)?;
            let lock = Lock {
                memory,
                passes,
                lanes,
                salt: unhex(value("salt")?)?,
                nonce: unhex(value("nonce")?)?,
            };
            let sealed = unhex(value("sealed")?)?;
            let head = text[..text.find("sealed: ")?].to_owned();
            Kept::Locked { lock, sealed, head }
        }
        _ => return None,
    };
    lines.next().is_none().then_some(Parsed { public, kept })
}

fn costs(text: &str) -> Option<[u32; 3]> {
    let mut words = text.split(' ');
    let mut number = |name: &str| words.next()?.strip_prefix(name)?.parse().ok();
    let costs = [number("memory=")?, number("passes=")?, number("lanes=")?];
    words.next().is_none().then_some(costs)
}

fn head(public: &PublicKey, kept: &str) -> String {
    format!(
        "{FIRST}\n{WARNING}\npublic: {}\nkept: {kept}\n",
        public.digest()
    )
}

/// The text with its last line: 16 hex digits of its SHA-256.
fn checked(text: Zeroizing<String>) -> Zeroizing<String> {
    let check = Digest::of(text.as_bytes()).short(16);
    Zeroizing::new(format!("{}check: {check}\n", *text))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|it| format!("{it:02x}")).collect()
}

fn unhex<const N: usize>(text: &str) -> Option<[u8; N]> {
    let plain = |it: &u8| it.is_ascii_digit() || (b'a'..=b'f').contains(it);
    if text.len() != 2 * N || !text.as_bytes().iter().all(plain) {
        return None;
    }
    let mut bytes = [0; N];
    for (n, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&text[2 * n..2 * n + 2], 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
#[path = "file_tests.rs"]
mod tests;
