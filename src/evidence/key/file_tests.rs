//! Key files: what is read back, what is refused and under which name.

use proptest::prelude::any;
use proptest::proptest;

use der::zeroize::Zeroizing;

use super::KeyFileFault;
use super::Lock;
use super::is_locked;
use super::read;
use super::write_locked;
use super::write_plain;
use crate::evidence::key::pair::Key;
use crate::evidence::key::passphrase::NewPassphrase;
use crate::kit::digest::Digest;

fn key() -> Key {
    Key::from_seed(&[0x5e; 32])
}

/// Cheap, for tests.
fn lock() -> Lock {
    Lock {
        memory: 64,
        passes: 1,
        lanes: 1,
        salt: [1; 16],
        nonce: [2; 24],
    }
}

const SHED: &str = "a shed and a garden";

fn locked(passphrase: &str, lock: &Lock) -> Result<Zeroizing<String>, KeyFileFault> {
    write_locked(&key(), NewPassphrase::new(passphrase).unwrap(), lock)
}

fn recheck(text: &str) -> String {
    let body = &text[..text.rfind("check: ").unwrap()];
    let check = Digest::of(body.as_bytes()).short(16);
    format!("{body}check: {check}\n")
}

fn fault(text: &str, passphrase: Option<&str>) -> KeyFileFault {
    read(text, passphrase).unwrap_err()
}

#[test]
fn a_plain_key_reads_back() {
    let text = write_plain(&key());
    assert!(
        text.lines()
            .nth(1)
            .unwrap()
            .contains("never give this file away")
    );
    assert!(!is_locked(&text).unwrap());
    for text in [
        text.to_string(),
        text.replace('\n', "\r\n"),
        text.trim_end().to_owned(),
    ] {
        assert_eq!(read(&text, None).unwrap().public(), key().public());
    }
}

#[test]
fn a_locked_key_opens_with_its_passphrase_alone() {
    let text = locked("a blue shed é, far", &lock()).unwrap();
    let seed: String = [0x5e; 32]
        .iter()
        .map(|it: &u8| format!("{it:02x}"))
        .collect();
    assert!(!text.contains(&seed));
    assert!(is_locked(&text).unwrap());
    let back = read(&text, Some("a blue shed é, far")).unwrap();
    assert_eq!(back.public(), key().public());
    assert!(matches!(fault(&text, None), KeyFileFault::Locked));
    for wrong in ["", "a blue shed", "a blue shed é, far "] {
        assert!(matches!(
            fault(&text, Some(wrong)),
            KeyFileFault::Passphrase
        ));
    }
}

#[test]
fn the_usual_lock_opens_and_never_repeats_itself() {
    let (a, b) = (Lock::new().unwrap(), Lock::new().unwrap());
    assert!(a.salt != b.salt && a.nonce != b.nonce);
    assert_eq!((a.memory, a.passes, a.lanes), (65_536, 3, 4));
    let text = locked(SHED, &a).unwrap();
    assert_eq!(read(&text, Some(SHED)).unwrap().public(), key().public());
}

#[test]
fn damage_is_told_from_a_wrong_passphrase() {
    let plain = write_plain(&key()).to_string();
    let locked_text = locked(SHED, &lock()).unwrap().to_string();
    for text in [&plain, &locked_text] {
        for at in "asfound key: ".len()..text.trim_end().len() {
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= 1;
            let wrong = String::from_utf8(bytes).unwrap();
            assert!(
                matches!(fault(&wrong, Some(SHED)), KeyFileFault::Damaged),
                "{wrong}"
            );
        }
        let cut = &text[..text.len() - 9];
        assert!(matches!(fault(cut, Some(SHED)), KeyFileFault::Damaged));
    }
    // Lines exchanged on purpose, with a check that fits: still no key but the one that was sealed.
    let other = Key::from_seed(&[1; 32]).public().digest().to_string();
    let mine = key().public().digest().to_string();
    let wrong = recheck(&locked_text.replace(&mine, &other));
    assert!(matches!(
        fault(&wrong, Some(SHED)),
        KeyFileFault::Passphrase
    ));
    let wrong = recheck(&plain.replace(&mine, &other));
    assert!(matches!(fault(&wrong, None), KeyFileFault::Damaged));
    let wrong = recheck(&plain.replace("seed: ", "more: 1\nseed: "));
    assert!(matches!(fault(&wrong, None), KeyFileFault::Damaged));
}

#[test]
fn other_files_and_newer_ones_are_named() {
    for other in [
        "",
        "hello",
        "-----BEGIN PUBLIC KEY-----",
        &"asfound key: 1\n".repeat(999),
    ] {
        assert!(matches!(fault(other, None), KeyFileFault::Other));
    }
    let newer = recheck(&write_plain(&key()).replace("asfound key: 1", "asfound key: 2"));
    assert!(matches!(fault(&newer, None), KeyFileFault::Newer));
}

/// A file that asks for 64 GiB must not get it.
#[test]
fn a_costly_file_is_refused_before_anything_is_spent() {
    let text = locked(SHED, &lock()).unwrap();
    for (from, to) in [
        ("memory=64 ", "memory=67108864 "),
        ("memory=64 ", "memory=262145 "),
        ("memory=64 ", "memory=7 "),
        ("passes=1 ", "passes=11 "),
        ("passes=1 ", "passes=0 "),
        ("lanes=1", "lanes=17"),
        ("lanes=1", "lanes=16"),
        ("lanes=1", "lanes=0"),
    ] {
        let wrong = recheck(&text.replace(from, to));
        assert!(
            matches!(fault(&wrong, Some(SHED)), KeyFileFault::Costly),
            "{to}"
        );
    }
    let wrong = recheck(&text.replace("memory=64 ", "memory=99999999999 "));
    assert!(matches!(fault(&wrong, Some(SHED)), KeyFileFault::Damaged));
    let greedy = Lock {
        memory: 1 << 26,
        ..lock()
    };
    let refused = locked(SHED, &greedy);
    assert!(matches!(refused, Err(KeyFileFault::Costly)));
}

proptest! {
    #[test]
    fn no_text_makes_it_stop(text in "\\PC*", tail in "[a-z0-9:= \n]{0,300}", at in any::<proptest::sample::Index>()) {
        let _ = read(&text, None);
        let _ = read(&recheck(&format!("asfound key: 1\n{tail}check: ")), None);
        let mut plain = write_plain(&key()).to_string();
        let at = at.index(plain.len());
        plain.insert_str(at, &text);
        let _ = read(&plain, None);
        let _ = read(&recheck(&format!("{plain}check: ")), None);
    }
}

/// Written by this program with argon2 0.5 and chacha20poly1305 0.10; whatever reads key files must open it for ever.
#[test]
fn a_file_of_an_earlier_program_is_still_read() {
    let text = "\
asfound key: 1
SECRET: never give this file away; whoever has it can sign in your name
public: e9f6a842f0616f5b1aaf44433dd1a784bd91b74c783a6ff9d65fc374c1cdacd0
kept: locked
argon2id: memory=65536 passes=3 lanes=4
salt: 58119c7e5b6d1bec8ace9fb590bc3625
nonce: 626db0e5773fbd0f8b7138d3f686ef300b3cba873420423b
sealed: 26271fd6ce21596a363b6f21f6dbbd6e17b603043b445af8e902459f7f543718a49c735b76d4452329dd9ca68dec93d6
check: a4dc676e2f802d56
";
    // A passphrase that is shorter than a new one may be opens what it locked.
    let key = read(text, Some("blue shed é")).unwrap();
    assert_eq!(key.public().fingerprint(), "4503 de05 f9b8 2d28 7944");
}
