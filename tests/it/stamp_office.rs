//! `openssl`, and an authority of our own, made by it in a folder.
//!
//! Without `openssl` the tests that need it are left out and say so; on a build machine (`CI=true`) that is a failure.

use std::cell::Cell;
use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use asfound::evidence::stamp::fault::StampFault;
use asfound::evidence::stamp::reply;
use asfound::evidence::stamp::reply::Given;
use asfound::evidence::stamp::reply::Stamp;
use tempfile::TempDir;

/// Whether `openssl` is there.
pub(crate) fn ready() -> bool {
    static READY: OnceLock<bool> = OnceLock::new();
    *READY.get_or_init(|| {
        let there = Command::new("openssl").arg("version").output().is_ok();
        let on_build_machine = std::env::var_os("CI").is_some_and(|it| it == "true");
        assert!(
            there || !on_build_machine,
            "CI=true, but there is no `openssl`"
        );
        if !there {
            // Not by `eprintln`, which the test harness swallows.
            let note = b"left out: the tests of keys and time stamps against openssl (openssl)\n";
            let _ = std::io::stderr().write_all(note);
        }
        there
    })
}

/// Runs `openssl` in a folder with words separated by blanks; gives what it printed and whether it was content.
pub(crate) fn try_openssl(folder: &Path, words: &str) -> (bool, String) {
    let run = Command::new("openssl")
        .args(words.split_whitespace())
        .current_dir(folder)
        .output()
        .unwrap();
    let said = [run.stdout, run.stderr].concat();
    (
        run.status.success(),
        String::from_utf8_lossy(&said).into_owned(),
    )
}

/// The same, when it must be content.
pub(crate) fn openssl(folder: &Path, words: &str) -> String {
    let (content, said) = try_openssl(folder, words);
    assert!(content, "openssl {words}: {said}");
    said
}

/// What is stamped in these tests.
pub(crate) const STATEMENT: &[u8] = br#"{"kind":"asfound seal","root":"5f0e","size":12}"#;

/// For all certificates made here that are valid now.
pub(crate) const VALID: [&str; 2] = ["20200101000000Z", "20491231235959Z"];

/// Extensions of a root.
pub(crate) const ROOT: &str = "basicConstraints=critical,CA:TRUE\nkeyUsage=critical,keyCertSign,cRLSign\nsubjectKeyIdentifier=hash\n";

/// Extensions of an authority for time stamps.
pub(crate) const STAMPING: &str = "basicConstraints=CA:FALSE\nkeyUsage=critical,digitalSignature\nextendedKeyUsage=critical,timeStamping\nsubjectKeyIdentifier=hash\n";

/// A folder with keys `NAME.key` and certificates `NAME.pem`.
pub(crate) struct Office {
    dir: TempDir,
    serial: Cell<u32>,
}

impl Office {
    /// With a root of this kind of key.
    pub(crate) fn new(kind: &str) -> Self {
        let office = Self {
            dir: tempfile::tempdir().unwrap(),
            serial: Cell::new(0x1000),
        };
        fs::write(office.at("statement"), STATEMENT).unwrap();
        office.key("root", kind);
        office.certify("root", "root", ROOT, VALID);
        office
    }

    /// With a root and, below it, an authority named `tsa`.
    pub(crate) fn with_authority(kind: &str) -> Self {
        let office = Self::new(kind);
        office.key("tsa", kind);
        office.certify("tsa", "root", STAMPING, VALID);
        office
    }

    pub(crate) fn folder(&self) -> &Path {
        self.dir.path()
    }

    pub(crate) fn at(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.at(name)).unwrap()
    }

    pub(crate) fn write(&self, name: &str, bytes: &[u8]) {
        fs::write(self.at(name), bytes).unwrap();
    }

    pub(crate) fn run(&self, words: &str) -> String {
        openssl(self.folder(), words)
    }

    /// Makes a key: `rsa`, `rsa1024`, or the name of a curve.
    pub(crate) fn key(&self, name: &str, kind: &str) {
        let how = match kind {
            "rsa" => "-algorithm RSA -pkeyopt rsa_keygen_bits:2048".to_owned(),
            "rsa1024" => "-algorithm RSA -pkeyopt rsa_keygen_bits:1024".to_owned(),
            "ed25519" => "-algorithm ed25519".to_owned(),
            curve => format!("-algorithm EC -pkeyopt ec_paramgen_curve:{curve}"),
        };
        self.run(&format!("genpkey {how} -out {name}.key"));
    }

    /// Certifies a key by another, with these extensions, from one moment to another.
    pub(crate) fn certify(&self, name: &str, by: &str, extensions: &str, valid: [&str; 2]) {
        self.certify_with(name, by, extensions, valid, "sha256");
    }

    /// The same with a digest.
    pub(crate) fn certify_with(
        &self,
        name: &str,
        by: &str,
        extensions: &str,
        valid: [&str; 2],
        digest: &str,
    ) {
        self.serial.set(self.serial.get() + 1);
        let config = format!(
            "[req]\ndistinguished_name=dn\nprompt=no\n[dn]\nO=Test Office\nCN=Test {name}\n\
             [ca]\ndefault_ca=c\n[c]\ndatabase=index\nserial=serial\nnew_certs_dir=.\ndefault_md={digest}\npolicy=p\n\
             unique_subject=no\nemail_in_dn=no\n[p]\nO=supplied\nCN=supplied\n[ext]\n{extensions}"
        );
        self.write("ca.cnf", config.as_bytes());
        self.write("index", b"");
        self.write("serial", format!("{:04x}\n", self.serial.get()).as_bytes());
        self.run(&format!(
            "req -new -config ca.cnf -key {name}.key -out {name}.csr"
        ));
        let issuer = if name == by {
            format!("-selfsign -keyfile {by}.key")
        } else {
            format!("-keyfile {by}.key -cert {by}.pem")
        };
        let [from, to] = valid;
        self.run(&format!(
            "ca -batch -notext -config ca.cnf -extensions ext -startdate {from} -enddate {to} {issuer} -in {name}.csr -out {name}.pem"
        ));
    }

    /// Writes a request of ours to `NAME.tsq`.
    pub(crate) fn request(&self, name: &str) -> Vec<u8> {
        let request = reply::request(STATEMENT, [0x35; 16]);
        self.write(&format!("{name}.tsq"), &request);
        request
    }

    /// Lets `tsa` answer `NAME.tsq` into `NAME.tsr`, with more settings.
    pub(crate) fn reply(&self, name: &str, settings: &str) -> Vec<u8> {
        let usual = [
            ("certs", "root.pem"),
            ("signer_digest", "sha256"),
            ("digests", "sha1, sha256, sha384, sha512"),
            ("accuracy", "secs:1, millisecs:500, microsecs:100"),
            ("clock_precision_digits", "3"),
            ("ess_cert_id_alg", "sha256"),
        ];
        let usual: String = usual
            .iter()
            .filter(|it| !settings.contains(it.0))
            .map(|it| format!("{}={}\n", it.0, it.1))
            .collect();
        let config = format!(
            "[tsa]\ndefault_tsa=t\n[t]\nserial=tsa-serial\nsigner_cert=tsa.pem\nsigner_key=tsa.key\n\
             default_policy=1.2.3.4.1\nother_policies=1.2.3.4.5\nordering=yes\n{usual}{settings}\n"
        );
        self.write("tsa.cnf", config.as_bytes());
        self.run(&format!(
            "ts -reply -config tsa.cnf -queryfile {name}.tsq -out {name}.tsr"
        ));
        self.read(&format!("{name}.tsr"))
    }

    /// A reply to our own request.
    pub(crate) fn answered(&self, settings: &str) -> (Vec<u8>, Vec<u8>) {
        (self.request("a"), self.reply("a", settings))
    }

    /// The statement of a reply, TSTInfo.
    pub(crate) fn info(&self, name: &str) -> Vec<u8> {
        self.run(&format!(
            "ts -reply -in {name}.tsr -token_out -out {name}.p7"
        ));
        self.run(&format!(
            "cms -verify -noverify -inform DER -in {name}.p7 -out {name}.info"
        ));
        self.read(&format!("{name}.info"))
    }

    /// A reply put together by hand: this TSTInfo, signed by anybody, who need not be an authority for time stamps.
    pub(crate) fn forged(&self, info: &[u8], by: &str, more: &str) -> Vec<u8> {
        self.write("forged.info", info);
        self.run(&format!(
            "cms -sign -binary -nodetach -md sha256 -outform DER -econtent_type 1.2.840.113549.1.9.16.1.4 \
             -in forged.info -signer {by}.pem -inkey {by}.key -out forged.p7 {more}"
        ));
        let status = [0x30, 0x03, 0x02, 0x01, 0x00];
        sequence(&[&status[..], &self.read("forged.p7")].concat())
    }

    /// Our check, with this root and these extra certificates.
    pub(crate) fn check_with(
        &self,
        request: &[u8],
        reply: &[u8],
        root: &str,
        extra: &[&str],
    ) -> Result<Stamp, StampFault> {
        let extra: Vec<Vec<u8>> = extra.iter().map(|it| self.read(it)).collect();
        let extra: Vec<&[u8]> = extra.iter().map(Vec::as_slice).collect();
        let given = Given {
            roots: &[&self.read(root)],
            extra: &extra,
        };
        reply::check_reply(STATEMENT, Some(request), reply, &given)
    }

    /// Our check, with the root.
    pub(crate) fn check(&self, request: &[u8], reply: &[u8]) -> Result<Stamp, StampFault> {
        self.check_with(request, reply, "root.pem", &[])
    }

    /// The check of `openssl`, of `NAME.tsr` with the root.
    pub(crate) fn openssl_agrees(&self, name: &str, more: &str) -> bool {
        try_openssl(
            self.folder(),
            &format!("ts -verify -queryfile {name}.tsq -in {name}.tsr -CAfile root.pem {more}"),
        )
        .0
    }
}

/// A DER SEQUENCE of these bytes.
pub(crate) fn sequence(bytes: &[u8]) -> Vec<u8> {
    tagged(0x30, bytes)
}

/// DER of any tag.
pub(crate) fn tagged(tag: u8, bytes: &[u8]) -> Vec<u8> {
    let length = bytes.len();
    let mut der = vec![tag];
    match length {
        0..=0x7f => der.push(u8::try_from(length).unwrap()),
        0x80..=0xff => der.extend([0x81, u8::try_from(length).unwrap()]),
        _ => {
            der.push(0x82);
            der.extend(u16::try_from(length).unwrap().to_be_bytes());
        }
    }
    der.extend(bytes);
    der
}
