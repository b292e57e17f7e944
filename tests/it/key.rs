//! The book's key against `openssl`: it verifies what we sign, and signs what we verify.

use std::fs;

use asfound::evidence::key::pair::Key;
use asfound::evidence::key::pair::KeyFault;
use asfound::evidence::key::pair::PublicKey;
use asfound::kit::digest::Digest;

use crate::stamp_office::openssl;
use crate::stamp_office::ready;
use crate::stamp_office::try_openssl;

#[test]
fn openssl_verifies_what_we_sign() {
    if !ready() {
        return;
    }
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    let key = Key::new().unwrap();
    let statement = br#"{"kind":"asfound seal","size":12}"#;
    fs::write(at("book-key.pem"), key.public().pem()).unwrap();
    fs::write(at("seal-0001.json"), statement).unwrap();
    fs::write(at("seal-0001.sig"), key.sign(statement)).unwrap();
    let check = "pkeyutl -verify -pubin -inkey book-key.pem -rawin -in seal-0001.json -sigfile seal-0001.sig";
    assert!(openssl(dir.path(), check).contains("Signature Verified Successfully"));
    fs::write(
        at("seal-0001.json"),
        br#"{"kind":"asfound seal","size":13}"#,
    )
    .unwrap();
    assert!(!try_openssl(dir.path(), check).0);
    // What the page tells people to do for the fingerprint gives the same digits.
    openssl(
        dir.path(),
        "pkey -pubin -in book-key.pem -outform DER -out key.der",
    );
    let digest = Digest::of(&fs::read(at("key.der")).unwrap());
    assert!(key.public().is_meant_by(&digest.short(20)));
}

#[test]
fn we_verify_what_openssl_signs() {
    if !ready() {
        return;
    }
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    openssl(dir.path(), "genpkey -algorithm ed25519 -out secret.pem");
    openssl(dir.path(), "pkey -in secret.pem -pubout -out public.pem");
    fs::write(at("text"), b"as found").unwrap();
    openssl(
        dir.path(),
        "pkeyutl -sign -inkey secret.pem -rawin -in text -out text.sig",
    );
    let text = fs::read_to_string(at("public.pem")).unwrap();
    let key = PublicKey::read_pem(&text).unwrap();
    assert_eq!(key.pem(), text);
    let signature = fs::read(at("text.sig")).unwrap();
    assert_eq!(key.verify(b"as found", &signature), Ok(()));
    assert_eq!(key.verify(b"as lost", &signature), Err(KeyFault::Signature));
    for other in ["X25519", "ED448"] {
        openssl(
            dir.path(),
            &format!("genpkey -algorithm {other} -out other.pem"),
        );
        openssl(
            dir.path(),
            "pkey -in other.pem -pubout -out other-public.pem",
        );
        let text = fs::read_to_string(at("other-public.pem")).unwrap();
        assert_eq!(PublicKey::read_pem(&text), Err(KeyFault::Pem));
    }
}
