//! Keys out of passphrases and keys: scrypt (RFC 7914), HKDF (RFC 5869), HMAC (RFC 2104).
//!
//! scrypt stands here because its crate brings three packages; it is checked by the vectors of its RFC.

use der::zeroize::Zeroizing;
use hmac::Hmac;
use hmac::KeyInit as _;
use hmac::Mac as _;
use sha2::Sha256;

/// HMAC-SHA256 over the parts in order.
pub(super) fn hmac(key: &[u8], parts: &[&[u8]]) -> [u8; 32] {
    let mut mac = Hmac::<Sha256>::new_from_slice(key).expect("HMAC takes keys of any length");
    parts.iter().for_each(|it| mac.update(it));
    mac.finalize().into_bytes().into()
}

/// HKDF-SHA256 of 32 bytes.
pub(super) fn hkdf(key: &[u8], salt: &[u8], info: &str) -> Zeroizing<[u8; 32]> {
    let extracted = Zeroizing::new(hmac(salt, &[key]));
    Zeroizing::new(hmac(&*extracted, &[info.as_bytes(), &[1]]))
}

/// PBKDF2-HMAC-SHA256 (RFC 8018) of one round.
fn pbkdf2(password: &[u8], salt: &[u8], out: &mut [u8]) {
    for (part, no) in out.chunks_mut(32).zip(1_u32..) {
        let block = hmac(password, &[salt, &no.to_be_bytes()]);
        part.copy_from_slice(&block[..part.len()]);
    }
}

/// What scrypt costs: 2 to the power `log_n`, `r` and `p` as the RFC has them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cost {
    pub(super) log_n: u8,
    pub(super) r: usize,
    pub(super) p: usize,
}

/// scrypt, into `out`.
pub(super) fn scrypt(password: &[u8], salt: &[u8], cost: Cost, out: &mut [u8]) {
    let words = 32 * cost.r;
    let mut bytes = Zeroizing::new(vec![0_u8; 4 * words * cost.p]);
    pbkdf2(password, salt, &mut bytes);
    let mut memory = Zeroizing::new(vec![0_u32; words << cost.log_n]);
    for part in bytes.chunks_mut(4 * words) {
        let mut block: Vec<u32> = part
            .as_chunks()
            .0
            .iter()
            .map(|it| u32::from_le_bytes(*it))
            .collect();
        mix(&mut block, &mut memory, cost);
        for (four, word) in part.chunks_mut(4).zip(&block) {
            four.copy_from_slice(&word.to_le_bytes());
        }
    }
    pbkdf2(password, &bytes, out);
}

/// scryptROMix.
fn mix(block: &mut Vec<u32>, memory: &mut [u32], cost: Cost) {
    let words = block.len();
    let mut other = vec![0; words];
    for kept in memory.chunks_mut(words) {
        kept.copy_from_slice(block);
        mix_block(block, &mut other);
        std::mem::swap(block, &mut other);
    }
    for _ in 0..1_u64 << cost.log_n {
        let at = block[words - 16] as usize & ((1 << cost.log_n) - 1);
        let kept = &memory[at * words..(at + 1) * words];
        block
            .iter_mut()
            .zip(kept)
            .for_each(|(it, kept)| *it ^= kept);
        mix_block(block, &mut other);
        std::mem::swap(block, &mut other);
    }
}

/// scryptBlockMix.
fn mix_block(from: &[u32], to: &mut [u32]) {
    let half = to.len() / 2;
    let mut x = [0; 16];
    x.copy_from_slice(&from[from.len() - 16..]);
    for (n, part) in from.chunks(16).enumerate() {
        x.iter_mut().zip(part).for_each(|(it, part)| *it ^= part);
        salsa(&mut x);
        let at = n / 2 * 16 + n % 2 * half;
        to[at..at + 16].copy_from_slice(&x);
    }
}

/// Salsa20/8. Its steps stand one by one, which is quicker where nothing is optimised.
fn salsa(block: &mut [u32; 16]) {
    let mut x = *block;
    macro_rules! quarter {
        ($a:literal, $b:literal, $c:literal, $d:literal) => {
            x[$b] ^= x[$a].wrapping_add(x[$d]).rotate_left(7);
            x[$c] ^= x[$b].wrapping_add(x[$a]).rotate_left(9);
            x[$d] ^= x[$c].wrapping_add(x[$b]).rotate_left(13);
            x[$a] ^= x[$d].wrapping_add(x[$c]).rotate_left(18);
        };
    }
    for _ in 0..4 {
        quarter!(0, 4, 8, 12);
        quarter!(5, 9, 13, 1);
        quarter!(10, 14, 2, 6);
        quarter!(15, 3, 7, 11);
        quarter!(0, 1, 2, 3);
        quarter!(5, 6, 7, 4);
        quarter!(10, 11, 8, 9);
        quarter!(15, 12, 13, 14);
    }
    for n in 0..16 {
        block[n] = block[n].wrapping_add(x[n]);
    }
}

#[cfg(test)]
mod tests {
    use super::Cost;
    use super::hkdf;
    use super::scrypt;

    fn hex(bytes: &[u8]) -> String {
        bytes.iter().map(|it| format!("{it:02x}")).collect()
    }

    /// RFC 7914, section 12; the first three vectors.
    #[test]
    fn scrypt_agrees_with_its_rfc() {
        for (password, salt, log_n, r, p, want) in [
            (
                "",
                "",
                4,
                1,
                1,
                "77d6576238657b203b19ca42c18a0497f16b4844e3074ae8dfdffa3fede21442fcd0069ded0948f8326a753a0fc81f17e8d3e0fb2e0d3628cf35e20c38d18906",
            ),
            (
                "password",
                "NaCl",
                10,
                8,
                16,
                "fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b3731622eaf30d92e22a3886ff109279d9830dac727afb94a83ee6d8360cbdfa2cc0640",
            ),
            (
                "pleaseletmein",
                "SodiumChloride",
                14,
                8,
                1,
                "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887",
            ),
        ] {
            let mut out = [0; 64];
            let cost = Cost { log_n, r, p };
            scrypt(password.as_bytes(), salt.as_bytes(), cost, &mut out);
            assert_eq!(hex(&out), want);
        }
    }

    /// RFC 5869, test case 3: no salt, no info; the first 32 bytes.
    #[test]
    fn hkdf_agrees_with_its_rfc() {
        let key = hkdf(&[0x0b; 22], &[], "");
        let want = "8da4e775a563c18f715f802a063c5a31b8a11f5c5ee1879ec3454e5f3c738d2d";
        assert_eq!(hex(&*key), want);
    }
}
