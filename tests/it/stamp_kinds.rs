//! Time stamps whose chains are signed with RSA-PSS, Ed25519 or ECDSA with SHA-512, and replies with RSA-PSS; forged ones beside them;
//! made by `openssl` (whose version 3.0 signs no reply with Ed25519).

use asfound::evidence::stamp::fault::StampFault;

use crate::stamp_office::Office;
use crate::stamp_office::ROOT;
use crate::stamp_office::STAMPING;
use crate::stamp_office::VALID;
use crate::stamp_office::ready;

/// Extensions of an intermediate.
const BETWEEN: &str =
    "basicConstraints=critical,CA:TRUE,pathlen:0\nkeyUsage=critical,keyCertSign,cRLSign\n";

/// RSA-PSS with a salt as long as the digest, as RFC 4055, section 3.1, recommends.
const PSS: &str = "-sigopt rsa_padding_mode:pss -sigopt rsa_pss_saltlen:-1";

/// A root, an intermediate and an authority, all signed so.
fn office(kind: &str, digest: &str, how: &str) -> Office {
    let office = Office::new("P-256");
    for name in ["root", "mid"] {
        office.key(name, kind);
    }
    office.key("tsa", if kind == "rsa" { "rsa" } else { "P-256" });
    for (name, by, extensions) in [
        ("root", "root", ROOT),
        ("mid", "root", BETWEEN),
        ("tsa", "mid", STAMPING),
    ] {
        office.certify_how(name, by, extensions, VALID, digest, how);
    }
    office
}

/// A PEM of one certificate with the last byte of its signature changed.
fn forged(office: &Office, name: &str) {
    office.run(&format!("x509 -in {name}.pem -outform DER -out forged.der"));
    let mut der = office.read("forged.der");
    *der.last_mut().unwrap() ^= 1;
    office.write("forged.der", &der);
    office.run("x509 -inform DER -in forged.der -out forged.pem");
}

/// The time in a TSTInfo, put into another year.
fn in_year(info: &[u8], year: &[u8; 4]) -> Vec<u8> {
    let is_time = |it: &[u8]| it[0] == 0x18 && (15..=19).contains(&it[1]) && it[2..] == *b"20";
    let at = info.windows(4).position(is_time).unwrap();
    let mut info = info.to_vec();
    info[at + 2..at + 6].copy_from_slice(year);
    info
}

#[test]
fn chains_signed_with_rsa_pss_and_ed25519_are_good() {
    if !ready() {
        return;
    }
    for (kind, digest, how) in [
        ("rsa", "sha256", PSS),
        ("rsa", "sha384", PSS),
        ("rsa", "sha512", PSS),
        ("rsa-pss", "sha256", "-sigopt rsa_pss_saltlen:-1"),
        ("ed25519", "default", ""),
        ("P-256", "sha512", ""),
        ("P-384", "sha512", ""),
    ] {
        let office = office(kind, digest, how);
        let said = office.run("x509 -in mid.pem -noout -text");
        let algorithm = match kind {
            "rsa" | "rsa-pss" => "rsassaPss",
            "ed25519" => "ED25519",
            _ => "ecdsa-with-SHA512",
        };
        assert!(
            said.contains(&format!("Signature Algorithm: {algorithm}")),
            "{said}"
        );
        let (request, reply) = office.answered("certs=mid.pem");
        assert!(office.openssl_agrees("a", ""), "{kind} {digest}");
        let stamp = office.check(&request, &reply).unwrap();
        assert_eq!(
            stamp.chain,
            ["Test tsa", "Test mid", "Test root"],
            "{kind} {digest}"
        );
        // Another intermediate of the same name and key, but for one bit of its signature.
        forged(&office, "mid");
        let (request, reply) = office.answered("certs=forged.pem");
        assert!(!office.openssl_agrees("a", ""), "{kind} {digest}");
        let fault = office.check(&request, &reply).unwrap_err();
        assert_eq!(fault, StampFault::Link("Test mid".into()), "{kind}");
        // With both, the right one is found.
        let stamp = office.check_with(&request, &reply, "root.pem", &["mid.pem"]);
        assert_eq!(stamp.unwrap().chain.len(), 3);
        // A root of the same name, but another key.
        office.key("root", kind);
        office.certify_how("root", "root", ROOT, VALID, digest, how);
        let fault = office.check_with(&request, &reply, "root.pem", &["mid.pem"]);
        assert_eq!(fault.unwrap_err(), StampFault::Link("Test mid".into()));
    }
}

#[test]
fn replies_signed_with_rsa_pss_are_good() {
    if !ready() {
        return;
    }
    let office = office("rsa", "sha256", PSS);
    let (request, _) = office.answered("certs=mid.pem");
    let info = office.info("a");
    let pss = "-cades -certfile mid.pem -keyopt rsa_padding_mode:pss -keyopt rsa_pss_saltlen:";
    let mut reply = office.forged(&info, "tsa", &format!("{pss}-1"));
    assert_eq!(office.check(&request, &reply).unwrap().chain.len(), 3);
    *reply.last_mut().unwrap() ^= 1;
    assert_eq!(office.check(&request, &reply), Err(StampFault::Signature));
    // Another length of salt is allowed by the standard, but not taken.
    let reply = office.forged(&info, "tsa", &format!("{pss}20"));
    let fault = office.check(&request, &reply).unwrap_err();
    let want = "`Test tsa` uses `1.2.840.113549.1.1.10`, which this program cannot check or does not trust";
    assert_eq!(fault.to_string(), want);
}

/// A chain is judged at the time of the stamp: later ends of validity do not touch it, earlier ones do.
#[test]
fn what_counts_is_the_time_of_the_stamp() {
    if !ready() {
        return;
    }
    let office = office("rsa", "sha256", PSS);
    let (request, _) = office.answered("certs=mid.pem");
    let info = office.info("a");
    let past = ["20200101000000Z", "20221231235959Z"];
    office.certify_how("mid", "root", BETWEEN, past, "sha256", PSS);
    let check = |year: &[u8; 4]| {
        let reply = office.forged(&in_year(&info, year), "tsa", "-cades -certfile mid.pem");
        office.check(&request, &reply).map(|it| it.chain.len())
    };
    assert_eq!(check(b"2021"), Ok(3));
    assert_eq!(check(b"2019"), Err(StampFault::NotYet("Test tsa".into())));
    assert_eq!(check(b"2023"), Err(StampFault::Expired("Test mid".into())));
    // The root too.
    office.certify_how("mid", "root", BETWEEN, VALID, "sha256", PSS);
    office.certify_how("root", "root", ROOT, past, "sha256", PSS);
    assert_eq!(check(b"2021"), Ok(3));
    assert_eq!(check(b"2023"), Err(StampFault::Expired("Test root".into())));
}

#[test]
fn an_authority_of_a_pss_chain_must_be_for_stamps_alone() {
    if !ready() {
        return;
    }
    let office = office("rsa", "sha256", PSS);
    let (request, _) = office.answered("certs=mid.pem");
    let info = office.info("a");
    for (extensions, want) in [
        (
            STAMPING.replace("extendedKeyUsage=critical,timeStamping\n", ""),
            StampFault::NotForStamping,
        ),
        (
            STAMPING.replace("critical,timeStamping", "timeStamping"),
            StampFault::NotForStamping,
        ),
        (
            STAMPING.replace("timeStamping", "timeStamping,codeSigning"),
            StampFault::NotForStamping,
        ),
        (
            STAMPING.replace("digitalSignature", "keyEncipherment"),
            StampFault::NotForSigning,
        ),
    ] {
        office.certify_how("tsa", "mid", &extensions, VALID, "sha256", PSS);
        let reply = office.forged(&info, "tsa", "-cades -certfile mid.pem");
        assert_eq!(office.check(&request, &reply).unwrap_err(), want);
    }
    // The root may not issue, by its key usage alone: what the library does not ask.
    office.certify_how("tsa", "mid", STAMPING, VALID, "sha256", PSS);
    let unable = ROOT.replace("keyCertSign,", "");
    office.certify_how("root", "root", &unable, VALID, "sha256", PSS);
    let reply = office.forged(&info, "tsa", "-cades -certfile mid.pem");
    let fault = office.check(&request, &reply).unwrap_err();
    assert_eq!(fault, StampFault::NotIssuer("Test root".into()));
}
