//! Time stamps by real authorities, made by `openssl ts` in a folder of each test, and forged ones.

use std::sync::OnceLock;

use asfound::evidence::stamp::fault::StampFault;
use asfound::evidence::stamp::reply;
use asfound::evidence::stamp::reply::Given;
use asfound::evidence::stamp::time::Accuracy;
use proptest::prelude::any;
use proptest::proptest;
use proptest::sample::Index;

use crate::stamp_office::Office;
use crate::stamp_office::ROOT;
use crate::stamp_office::STAMPING;
use crate::stamp_office::STATEMENT;
use crate::stamp_office::VALID;
use crate::stamp_office::ready;
use crate::stamp_office::sequence;
use crate::stamp_office::tagged;

/// Extensions of an intermediate.
const BETWEEN: &str =
    "basicConstraints=critical,CA:TRUE,pathlen:0\nkeyUsage=critical,keyCertSign,cRLSign\n";

fn words(fault: &StampFault) -> String {
    fault.to_string()
}

#[test]
fn openssl_reads_our_request() {
    if !ready() {
        return;
    }
    let office = Office::new("P-256");
    let request = office.request("a");
    assert_eq!(request.len(), 77);
    let said = office.run("ts -query -in a.tsq -text");
    for line in [
        "Version: 1",
        "Hash Algorithm: sha256",
        "Policy OID: unspecified",
        "Nonce: 0x75353535353535353535353535353535",
        "Certificate required: yes",
    ] {
        assert!(said.contains(line), "{line} not in {said}");
    }
    // The same as openssl's own request, but for the nonce.
    office.run("ts -query -data statement -sha256 -cert -no_nonce -out bare.tsq");
    let bare = office.read("bare.tsq");
    assert_eq!(request[2..56], bare[2..56]);
    assert_eq!(request[77 - 3..], bare[bare.len() - 3..]);
}

#[test]
fn replies_of_three_kinds_of_authority_are_good() {
    if !ready() {
        return;
    }
    for kind in ["rsa", "P-256", "P-384"] {
        let office = Office::with_authority(kind);
        let (request, reply) = office.answered("");
        assert!(office.openssl_agrees("a", ""), "{kind}");
        let stamp = office.check(&request, &reply).unwrap();
        assert_eq!(stamp.authority, "Test tsa");
        assert_eq!(stamp.chain, ["Test tsa", "Test root"]);
        assert_eq!(
            (stamp.policy.as_str(), stamp.serial.as_str()),
            ("1.2.3.4.1", "01")
        );
        let off = Accuracy {
            seconds: 1,
            micros: 500_100,
        };
        assert_eq!(stamp.accuracy, Some(off));
        // The authority's clock is this machine's.
        let now = std::time::SystemTime::now();
        let now = now.duration_since(std::time::UNIX_EPOCH).unwrap().as_secs();
        let age = i64::try_from(now).unwrap() - stamp.time.second.unix();
        assert!((0..600).contains(&age), "{age}");
        let said = office.run("ts -reply -in a.tsr -text");
        let fraction = format!("{:09}", stamp.time.nanos);
        let fraction = format!(".{}", fraction.trim_end_matches('0'));
        let spelled = format!("{} ", fraction.trim_end_matches('.'));
        let line = said.lines().find(|it| it.starts_with("Time stamp: "));
        assert!(line.unwrap().contains(&spelled), "{line:?} {spelled}");
        let latest = stamp.time.at_latest(stamp.accuracy).unwrap();
        assert!((2..=3).contains(&(latest.unix() - stamp.time.second.unix())));
        // The root as DER, and as PEM with text around it.
        office.run("x509 -in root.pem -outform DER -out root.der");
        office.run("x509 -in root.pem -text -out root.txt");
        for root in ["root.der", "root.txt"] {
            assert_eq!(
                office.check_with(&request, &reply, root, &[]).unwrap(),
                stamp
            );
        }
    }
}

#[test]
fn each_way_to_name_the_certificate_is_understood() {
    if !ready() {
        return;
    }
    for kind in ["rsa", "P-256", "P-384"] {
        let office = Office::with_authority(kind);
        for settings in [
            "ess_cert_id_alg=sha1",
            "ess_cert_id_alg=sha384\nsigner_digest=sha384",
            "ess_cert_id_alg=sha512\nsigner_digest=sha512",
            "ess_cert_id_chain=yes",
            "tsa_name=yes",
            "tsa_name=yes\naccuracy=millisecs:20\nclock_precision_digits=0",
        ] {
            let (request, reply) = office.answered(settings);
            assert!(office.openssl_agrees("a", ""), "{settings}");
            let stamp = office.check(&request, &reply);
            assert_eq!(stamp.unwrap().authority, "Test tsa", "{settings}");
        }
        let (request, reply) = office.answered("signer_digest=sha1");
        let fault = office.check(&request, &reply).unwrap_err();
        assert!(words(&fault).contains("1.3.14.3.2.26"), "{fault}");
    }
}

#[test]
fn a_chain_leads_over_intermediates() {
    if !ready() {
        return;
    }
    let office = Office::new("rsa");
    for (name, by, extensions) in [
        ("upper", "root", ROOT),
        ("lower", "upper", BETWEEN),
        ("tsa", "lower", STAMPING),
    ] {
        office.key(name, if name == "lower" { "P-384" } else { "P-256" });
        office.certify(name, by, extensions, VALID);
    }
    let both = [office.read("lower.pem"), office.read("upper.pem")].concat();
    office.write("both.pem", &both);
    let (request, reply) = office.answered("certs=both.pem");
    assert!(office.openssl_agrees("a", ""));
    let want = ["Test tsa", "Test lower", "Test upper", "Test root"];
    assert_eq!(office.check(&request, &reply).unwrap().chain, want);
    // An intermediate that the user trusts is a root.
    let stamp = office.check_with(&request, &reply, "upper.pem", &[]);
    assert_eq!(stamp.unwrap().chain, want[..3]);
    // The reply leaves one out, or all: they can be given.
    let (request, reply) = office.answered("certs=lower.pem");
    let fault = office.check(&request, &reply).unwrap_err();
    assert_eq!(fault, StampFault::NoRoot("Test lower".into()));
    assert!(!office.openssl_agrees("a", ""));
    for extra in [&["upper.pem"][..], &["both.pem"], &["root.pem", "both.pem"]] {
        let stamp = office.check_with(&request, &reply, "root.pem", extra);
        assert_eq!(stamp.unwrap().chain, want);
    }
    // A token without any certificate.
    let token = office.info("a");
    let bare = office.forged(&token, "tsa", "-cades -nocerts");
    let fault = office.check_with(&request, &bare, "root.pem", &["both.pem"]);
    assert_eq!(fault.unwrap_err(), StampFault::NoSigner);
    let stamp = office.check_with(&request, &bare, "root.pem", &["both.pem", "tsa.pem"]);
    assert_eq!(stamp.unwrap().chain, want);
}

#[test]
fn a_chain_breaks_where_it_is_weak() {
    if !ready() {
        return;
    }
    let office = Office::new("P-256");
    office.key("mid", "P-256");
    office.key("tsa", "P-256");
    let who = || "Test mid".to_owned();
    let usual = "basicConstraints=critical,CA:TRUE\nkeyUsage=critical,keyCertSign\n";
    let cases = [
        (
            "basicConstraints=critical,CA:FALSE\n".to_owned(),
            VALID,
            StampFault::NotIssuer(who()),
        ),
        (
            "keyUsage=critical,keyCertSign\n".to_owned(),
            VALID,
            StampFault::NotIssuer(who()),
        ),
        (
            usual.replace("keyCertSign", "cRLSign"),
            VALID,
            StampFault::NotIssuer(who()),
        ),
        (
            usual.to_owned(),
            ["20200101000000Z", "20210101000000Z"],
            StampFault::Expired(who()),
        ),
        (
            usual.to_owned(),
            ["20480101000000Z", "20490101000000Z"],
            StampFault::NotYet(who()),
        ),
        (
            format!("{usual}extendedKeyUsage=serverAuth\n"),
            VALID,
            StampFault::IssuerUsage(who()),
        ),
        (
            format!("{usual}nameConstraints=critical,permitted;DNS:example.org\n"),
            VALID,
            StampFault::Condition {
                whose: who(),
                what: "2.5.29.30".into(),
            },
        ),
    ];
    for (extensions, valid, want) in cases {
        office.certify("mid", "root", &extensions, valid);
        office.certify("tsa", "mid", STAMPING, VALID);
        let (request, reply) = office.answered("certs=mid.pem");
        assert_eq!(office.check(&request, &reply).unwrap_err(), want);
    }
    // The same names, another key: the signature on the certificate does not fit.
    office.certify("mid", "root", usual, VALID);
    office.certify("tsa", "mid", STAMPING, VALID);
    office.key("mid", "P-256");
    office.certify("mid", "root", usual, VALID);
    let (request, reply) = office.answered("certs=mid.pem");
    let fault = office.check(&request, &reply).unwrap_err();
    assert_eq!(fault, StampFault::Link("Test tsa".into()));
    assert!(!office.openssl_agrees("a", ""));
    // An intermediate that may have none below it has one.
    office.key("low", "P-256");
    office.certify("mid", "root", BETWEEN, VALID);
    office.certify("low", "mid", BETWEEN, VALID);
    office.certify("tsa", "low", STAMPING, VALID);
    office.write(
        "two.pem",
        &[office.read("low.pem"), office.read("mid.pem")].concat(),
    );
    let (request, reply) = office.answered("certs=two.pem");
    let fault = office.check(&request, &reply).unwrap_err();
    assert_eq!(fault, StampFault::PathLength(who()));
    assert!(!office.openssl_agrees("a", ""));
}

#[test]
fn weak_or_unknown_algorithms_are_refused_by_name() {
    if !ready() {
        return;
    }
    let office = Office::new("rsa");
    office.key("tsa", "rsa");
    office.certify_with("tsa", "root", STAMPING, VALID, "sha1");
    let (request, reply) = office.answered("");
    let fault = office.check(&request, &reply).unwrap_err();
    assert!(words(&fault).contains("1.2.840.113549.1.1.5"), "{fault}");
    office.key("tsa", "rsa1024");
    office.certify("tsa", "root", STAMPING, VALID);
    let (request, reply) = office.answered("");
    let fault = office.check(&request, &reply).unwrap_err();
    assert!(words(&fault).contains("RSA of 1024 bits"), "{fault}");
    office.key("tsa", "P-521");
    office.certify("tsa", "root", STAMPING, VALID);
    let (request, reply) = office.answered("");
    let fault = office.check(&request, &reply).unwrap_err();
    assert!(
        words(&fault).contains("`Test tsa` uses `1.2.840.10045.2.1`"),
        "{fault}"
    );
}

#[test]
fn other_bytes_other_requests_and_other_roots_are_told_apart() {
    if !ready() {
        return;
    }
    let office = Office::with_authority("P-256");
    let (request, reply) = office.answered("");
    let root = office.read("root.pem");
    let given = Given {
        roots: &[&root],
        extra: &[],
    };
    let other = b"other bytes";
    let check = |statement: &[u8], request: &[u8]| {
        reply::check_reply(statement, Some(request), &reply, &given).unwrap_err()
    };
    assert_eq!(check(other, &request), StampFault::RequestOther);
    let theirs = reply::request(other, [0x35; 16]);
    let fault = check(other, &theirs);
    assert_eq!(words(&fault), "the reply is for other bytes");
    // Who has lost the request can still see what was stamped.
    let bare = |statement| reply::check_reply(statement, None, &reply, &given);
    assert_eq!(bare(STATEMENT), office.check(&request, &reply));
    assert_eq!(bare(other), Err(StampFault::OtherBytes));
    let again = reply::request(STATEMENT, [0x36; 16]);
    assert_eq!(check(STATEMENT, &again), StampFault::Nonce);
    for wrong in [&request[..40], &[], &reply] {
        assert_eq!(check(STATEMENT, wrong), StampFault::Request);
    }
    let stranger = Office::new("P-256");
    let strange = stranger.read("root.pem");
    let given = Given {
        roots: &[&strange],
        extra: &[&root],
    };
    let fault = reply::check_reply(STATEMENT, Some(&request), &reply, &given).unwrap_err();
    assert!(fault.is_of_unknown_authority());
    // The stranger has the root's name, so that only the key tells them apart.
    assert_eq!(fault, StampFault::Link("Test tsa".into()));
    let none = Given {
        roots: &[],
        extra: &[&root],
    };
    let fault = reply::check_reply(STATEMENT, Some(&request), &reply, &none).unwrap_err();
    assert_eq!(fault, StampFault::NoRoot("Test root".into()));
    for wrong in [&b""[..], b"hello", &root[..200], &reply] {
        let given = Given {
            roots: &[wrong],
            extra: &[],
        };
        let fault = reply::check_reply(STATEMENT, Some(&request), &reply, &given);
        assert_eq!(fault.unwrap_err(), StampFault::Given);
    }
    // A request that asks for a policy gets no other.
    office.run("ts -query -data statement -sha256 -cert -tspolicy 1.2.3.4.5 -out p.tsq");
    let asked = office.read("p.tsq");
    let answer = office.reply("p", "");
    assert_eq!(office.check(&asked, &answer).unwrap().policy, "1.2.3.4.5");
}

#[test]
fn sha1_imprints_and_refusals_are_no_stamps() {
    if !ready() {
        return;
    }
    let office = Office::with_authority("P-256");
    office.run("ts -query -data statement -sha1 -cert -out a.tsq");
    let reply = office.reply("a", "");
    assert!(office.openssl_agrees("a", ""));
    let request = office.request("b");
    let fault = office.check(&request, &reply).unwrap_err();
    assert_eq!(fault, StampFault::WeakImprint("1.3.14.3.2.26".into()));
    let (request, reply) = office.answered("digests=sha512");
    let fault = office.check(&request, &reply).unwrap_err();
    assert!(matches!(fault, StampFault::Refused(_)));
    assert!(
        words(&fault).contains("it does not know the digest"),
        "{fault}"
    );
}

#[test]
fn only_a_certificate_for_stamps_alone_and_of_its_time_will_do() {
    if !ready() {
        return;
    }
    let office = Office::with_authority("P-256");
    let (request, _) = office.answered("");
    let info = office.info("a");
    office.key("own", "P-256");
    let check = |extensions: &str, valid: [&str; 2]| {
        office.certify("own", "root", extensions, valid);
        let reply = office.forged(&info, "own", "-cades");
        office.check(&request, &reply).map(|it| it.authority)
    };
    assert_eq!(check(STAMPING, VALID), Ok("Test own".into()));
    for extensions in [
        STAMPING.replace("critical,timeStamping", "timeStamping"),
        STAMPING.replace(
            "critical,timeStamping",
            "critical,timeStamping,emailProtection",
        ),
        STAMPING.replace("critical,timeStamping", "critical,emailProtection"),
        STAMPING.replace("extendedKeyUsage=critical,timeStamping\n", ""),
    ] {
        let fault = check(&extensions, VALID).unwrap_err();
        assert_eq!(
            words(&fault),
            "the authority's certificate is not for time-stamping only"
        );
    }
    let fault = check(
        &STAMPING.replace("digitalSignature", "keyEncipherment"),
        VALID,
    );
    assert_eq!(fault, Err(StampFault::NotForSigning));
    // The signed attributes hold the time of signing, which is now.
    let past = ["20200101000000Z", "20210101000000Z"];
    let future = ["20480101000000Z", "20490101000000Z"];
    for valid in [past, future] {
        assert_eq!(check(STAMPING, valid), Err(StampFault::SigningTime));
    }
    // What was stamped in the past or the future, by a certificate that is valid now.
    let is_time = |it: &[u8]| it[0] == 0x18 && (15..=19).contains(&it[1]) && it[2..] == *b"20";
    let at = info.windows(4).position(is_time).unwrap();
    for (year, want) in [
        (b"2019", StampFault::NotYet("Test own".into())),
        (b"2050", StampFault::Expired("Test own".into())),
    ] {
        let mut info = info.clone();
        info[at + 2..at + 6].copy_from_slice(year);
        office.certify("own", "root", STAMPING, VALID);
        let reply = office.forged(&info, "own", "-cades");
        assert_eq!(office.check(&request, &reply), Err(want));
    }
}

#[test]
fn forged_parts_of_a_token_are_refused() {
    if !ready() {
        return;
    }
    let office = Office::with_authority("P-256");
    let (request, reply) = office.answered("tsa_name=yes");
    let info = office.info("a");
    let check = |reply: &[u8]| office.check(&request, reply);
    assert!(check(&office.forged(&info, "tsa", "-cades")).is_ok());
    // Signed without the attribute that names the certificate; without any attribute.
    let reply_of = |more: &str| check(&office.forged(&info, "tsa", more));
    assert_eq!(
        reply_of(""),
        Err(StampFault::Attribute("signing certificate"))
    );
    assert_eq!(
        reply_of("-noattr"),
        Err(StampFault::Attribute("signed attributes"))
    );
    assert!(reply_of("-cades -keyid").is_ok());
    office.key("second", "P-256");
    office.certify("second", "root", STAMPING, VALID);
    let two = "-cades -signer second.pem -inkey second.key";
    assert_eq!(reply_of(two), Err(StampFault::Signers));
    // The name in the stamp is another's.
    let fault = check(&office.forged(&info, "second", "-cades"));
    assert_eq!(fault, Err(StampFault::OtherName));
    // The certificate was issued again for the same key and number: the digest of it differs.
    let serial = office.read("serial");
    office.certify("tsa", "root", STAMPING, VALID);
    let first = office.forged(&info, "tsa", "-cades -nocerts");
    office.run("x509 -in tsa.pem -noout -serial");
    let text = office.run("x509 -in tsa.pem -noout -serial");
    let number = text.trim().trim_start_matches("serial=").to_owned();
    assert!(!serial.is_empty());
    office.write("again.cnf", STAMPING.as_bytes());
    office.run(&format!(
        "x509 -req -in tsa.csr -CA root.pem -CAkey root.key -set_serial 0x{number} -days 9 -extfile again.cnf -out again.pem"
    ));
    let ok = office.check_with(&request, &first, "root.pem", &["tsa.pem"]);
    assert!(ok.is_ok());
    let fault = office.check_with(&request, &first, "root.pem", &["again.pem"]);
    assert_eq!(fault, Err(StampFault::OtherCertificate));
    // Other content under another type, and replies that hold nothing.
    let other = office.forged(b"\x30\x00", "tsa", "-cades");
    assert_eq!(check(&other), Err(StampFault::Shape("its statement")));
    let granted = sequence(&sequence(&[2, 1, 0]));
    assert_eq!(check(&granted), Err(StampFault::Shape("it holds no stamp")));
    let waiting = sequence(&sequence(
        &[
            &[2, 1, 3][..],
            &sequence(&tagged(0x0c, b"come \x1b[2Jback")),
        ]
        .concat(),
    ));
    let fault = check(&waiting).unwrap_err();
    assert_eq!(
        words(&fault),
        "the authority did not stamp it: come ?[2Jback"
    );
    assert_eq!(check(&vec![0x30; (1 << 20) + 1]), Err(StampFault::Long));
    assert!(check(&[reply, vec![0]].concat()).is_err());
}

/// Every place of a reply changed: either it is refused, or the place says nothing and the stamp is the same.
#[test]
fn a_flipped_byte_is_refused_or_says_nothing() {
    if !ready() {
        return;
    }
    for kind in ["rsa", "P-256", "P-384"] {
        let office = Office::with_authority(kind);
        let (request, reply) = office.answered("");
        let stamp = office.check(&request, &reply).unwrap();
        let (mut refused, mut same) = (0, 0);
        for at in (0..reply.len()).step_by(7) {
            for flip in [0x01, 0x20, 0xff] {
                let mut wrong = reply.clone();
                wrong[at] ^= flip;
                match office.check(&request, &wrong) {
                    Err(_) => refused += 1,
                    Ok(other) => {
                        assert_eq!(other, stamp, "{kind}: byte {at} ^ {flip:02x}");
                        same += 1;
                    }
                }
            }
        }
        // What must not be changed, by name: the signature (the end of a reply), the signed time of signing, the stamp's time.
        let flipped = |at: usize| {
            let mut wrong = reply.clone();
            wrong[at] ^= 1;
            office.check(&request, &wrong).unwrap_err()
        };
        for back in 1..=16 {
            let fault = flipped(reply.len() - back);
            assert_eq!(fault, StampFault::Signature, "{kind}");
        }
        let signing_time = [0x2a, 0x86, 0x48, 0x86, 0xf7, 0x0d, 1, 9, 5, 0x31];
        let at = reply.windows(10).position(|it| it == signing_time);
        assert_eq!(flipped(at.unwrap() + 13 + 11), StampFault::Signature);
        let is_time = |it: &[u8]| it[0] == 0x18 && (15..=19).contains(&it[1]) && it[2..] == *b"20";
        let at = reply.windows(4).position(is_time).unwrap();
        assert_eq!(flipped(at + 2 + 13), StampFault::Changed);
        // The root's own copy in the reply is the largest part that says nothing: the given root is what counts.
        assert!(refused > same, "{kind}: {refused} refused, {same} the same");
        for length in (0..reply.len()).step_by(13) {
            assert!(office.check(&request, &reply[..length]).is_err());
        }
    }
}

/// A request, a good reply and its root.
struct Good {
    office: Office,
    request: Vec<u8>,
    reply: Vec<u8>,
}

fn good() -> Option<&'static Good> {
    thread_local! {
        static GOOD: OnceLock<Option<&'static Good>> = const { OnceLock::new() };
    }
    let make = || {
        ready().then(|| {
            let office = Office::with_authority("P-256");
            let (request, reply) = office.answered("tsa_name=yes");
            &*Box::leak(Box::new(Good {
                office,
                request,
                reply,
            }))
        })
    };
    GOOD.with(|it| *it.get_or_init(make))
}

proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(400))]

    /// Places changed, put in, taken out and doubled: never a panic, never another stamp.
    #[test]
    fn hostile_replies_never_stop_the_check(
        edits in proptest::collection::vec((any::<Index>(), any::<u8>(), 0..4_u8, any::<Index>()), 1..5),
    ) {
        if let Some(good) = good() {
            let mut reply = good.reply.clone();
            for (at, byte, how, length) in edits {
                if reply.is_empty() {
                    break;
                }
                let at = at.index(reply.len());
                let end = at + length.index(reply.len() - at).min(40);
                match how {
                    0 => reply[at] = byte,
                    1 => reply.insert(at, byte),
                    2 => drop(reply.drain(at..end)),
                    _ => {
                        let part = reply[at..end].to_vec();
                        reply.splice(at..at, part);
                    }
                }
            }
            let stamp = good.office.check(&good.request, &good.reply).unwrap();
            if let Ok(other) = good.office.check(&good.request, &reply) {
                assert_eq!(other, stamp);
            }
            let _ = good.office.check(&reply, &good.reply);
        }
    }

    #[test]
    fn no_bytes_at_all_stop_the_check(a: Vec<u8>, b: Vec<u8>, c: Vec<u8>) {
        let request = reply::request(&a, [1; 16]);
        for roots in [&[][..], &[c.as_slice()]] {
            let given = Given { roots, extra: &[] };
            assert!(reply::check_reply(&a, Some(&request), &b, &given).is_err());
            assert!(reply::check_reply(&a, Some(&b), &c, &given).is_err());
        }
    }
}
