//! The key against RFC 8032 and against keys and signatures that must be refused.

use proptest::prelude::any;
use proptest::proptest;

use super::Key;
use super::KeyFault;
use super::PublicKey;
use crate::kit::digest::Digest;

fn bytes<const N: usize>(hex: &str) -> [u8; N] {
    assert_eq!(hex.len(), 2 * N);
    std::array::from_fn(|n| u8::from_str_radix(&hex[2 * n..2 * n + 2], 16).unwrap())
}

/// RFC 8032, section 7.1: TEST 1, 2, 3 and SHA(abc); the last one's message is SHA-512("abc") (FIPS 180-4 example).
fn cases() -> [(&'static str, &'static str, Vec<u8>, &'static str); 4] {
    [
        (
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            vec![],
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
        ),
        (
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            vec![0x72],
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
        ),
        (
            "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
            "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
            vec![0xaf, 0x82],
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
        ),
        (
            "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
            "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
            bytes::<64>("ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f").to_vec(),
            "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
        ),
    ]
}

#[test]
fn agrees_with_the_standard() {
    for (seed, public, message, signature) in cases() {
        let key = Key::from_seed(&bytes(seed));
        assert_eq!(key.public().digest(), Digest(bytes(public)));
        assert_eq!(key.sign(&message), bytes::<64>(signature));
        let public = PublicKey::from_bytes(&bytes(public)).unwrap();
        assert_eq!(public.verify(&message, &bytes::<64>(signature)), Ok(()));
    }
}

#[test]
fn a_flipped_bit_anywhere_is_refused() {
    let (seed, _, message, _) = cases()[2].clone();
    let key = Key::from_seed(&bytes(seed));
    let (public, signature) = (key.public(), key.sign(&message));
    for bit in 0..512 {
        let mut wrong = signature;
        wrong[bit / 8] ^= 1 << (bit % 8);
        assert_eq!(public.verify(&message, &wrong), Err(KeyFault::Signature));
    }
    for bit in 0..256 {
        let mut wrong = public.digest().0;
        wrong[bit / 8] ^= 1 << (bit % 8);
        let wrong = PublicKey::from_bytes(&wrong);
        assert!(wrong.is_err() || wrong.unwrap().verify(&message, &signature).is_err());
    }
    for other in [&b"\xaf\x83"[..], b"\xaf", b""] {
        assert_eq!(public.verify(other, &signature), Err(KeyFault::Signature));
    }
    for short in [0, 1, 63] {
        assert_eq!(
            public.verify(&message, &signature[..short]),
            Err(KeyFault::Length(short))
        );
    }
    assert!(
        public
            .verify(&message, &[signature, signature].concat())
            .is_err()
    );
}

/// A scalar with the order of the group added gives a second signature for the same text; RFC 8032, 5.1.7, forbids it.
#[test]
fn a_second_spelling_of_a_signature_is_refused() {
    let order: [u8; 32] = bytes("edd3f55c1a631258d69cf7a2def9de1400000000000000000000000000000010");
    let key = Key::from_seed(&[7; 32]);
    let mut signature = key.sign(b"text");
    let mut carry = 0;
    for (n, part) in order.iter().enumerate() {
        let sum = u16::from(signature[32 + n]) + u16::from(*part) + carry;
        signature[32 + n] = sum.to_le_bytes()[0];
        carry = sum >> 8;
    }
    assert_eq!(
        key.public().verify(b"text", &signature),
        Err(KeyFault::Signature)
    );
}

/// The points of small order and their second spellings, from the definition of the curve: y = 1, -1, 0 and the two y of
/// order 8; y + p where that is below 2^255; each with either sign.
#[test]
fn weak_keys_and_second_spellings_are_refused() {
    let p = "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f";
    let weak = [
        "0100000000000000000000000000000000000000000000000000000000000000",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "0000000000000000000000000000000000000000000000000000000000000000",
        "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
    ];
    for hex in weak {
        for sign in [0, 0x80] {
            let mut key: [u8; 32] = bytes(hex);
            key[31] |= sign;
            let fault = PublicKey::from_bytes(&key).unwrap_err();
            assert!(matches!(fault, KeyFault::Weak | KeyFault::NoKey), "{hex}");
        }
        assert_eq!(PublicKey::from_bytes(&bytes(hex)), Err(KeyFault::Weak));
    }
    // y from p to 2^255 - 1 is a second spelling of y - p, 0 to 18.
    for low in 0xed..=0xff {
        for top in [0x7f, 0xff] {
            let mut key: [u8; 32] = bytes(p);
            (key[0], key[31]) = (low, top);
            assert_eq!(PublicKey::from_bytes(&key), Err(KeyFault::NoKey));
        }
    }
    // No x belongs to y = 2.
    let mut none = [0; 32];
    none[0] = 2;
    assert_eq!(PublicKey::from_bytes(&none), Err(KeyFault::NoKey));
}

#[test]
fn a_public_key_reads_back_from_pem_and_from_nothing_else() {
    let key = Key::from_seed(&[9; 32]).public();
    let text = key.pem();
    assert!(text.starts_with("-----BEGIN PUBLIC KEY-----\nMCowBQYDK2VwAyEA"));
    assert_eq!(PublicKey::read_pem(&text), Ok(key));
    assert_eq!(PublicKey::read_pem(&text.replace('\n', "\r\n")), Ok(key));
    assert_eq!(PublicKey::read_pem(text.trim_end()), Ok(key));
    let x25519 = text.replace("MCowBQYDK2Vw", "MCowBQYDK2Vu");
    for wrong in [
        "",
        "PUBLIC KEY",
        &text[1..],
        &text.replace("PUBLIC", "PRIVATE"),
        &x25519,
        &format!("note\n{text}"),
        &format!("{text}{text}"),
        &text.replace("MCow", "MCo w"),
        &text[..text.len() - 30],
    ] {
        assert_eq!(PublicKey::read_pem(wrong), Err(KeyFault::Pem), "{wrong}");
    }
}

/// The fingerprint of TEST 1's key; `openssl pkey -pubin -outform DER | sha256sum` gives the digest it begins.
#[test]
fn a_fingerprint_can_be_typed() {
    let key = Key::from_seed(&bytes(cases()[0].0)).public();
    let print = key.fingerprint();
    let want = Digest::of(&key.der()).short(20);
    assert_eq!(print.replace(' ', ""), want);
    assert_eq!(print.split(' ').map(str::len).collect::<Vec<_>>(), [4; 5]);
    for typed in [
        print.clone(),
        want.to_uppercase(),
        print.replace(' ', "-"),
        format!(" {print}\n"),
    ] {
        assert!(key.is_meant_by(&typed), "{typed}");
    }
    let other = Key::from_seed(&[1; 32]).public().fingerprint();
    for wrong in [String::new(), want[..19].to_owned(), want + "0", other] {
        assert!(!key.is_meant_by(&wrong), "{wrong}");
    }
}

#[test]
fn new_keys_differ_and_none_prints_its_secret() {
    let (a, b) = (Key::new().unwrap(), Key::new().unwrap());
    assert_ne!(a.public(), b.public());
    let seed: String = a.seed().iter().map(|it| format!("{it:02x}")).collect();
    assert!(!format!("{a:?}").contains(&seed[..8]));
}

proptest! {
    #[test]
    fn no_text_makes_it_stop(text in "\\PC*", noise in any::<[u8; 32]>(), cut in any::<Vec<u8>>()) {
        let _ = PublicKey::read_pem(&text);
        if let Ok(key) = PublicKey::from_bytes(&noise) {
            assert!(key.verify(&cut, &cut).is_err());
            assert_eq!(PublicKey::read_pem(&key.pem()), Ok(key));
        }
    }
}
