//! A dossier made of invented bytes: as its maker writes it, as `CHECK.txt` and a browser check it.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::io::Read;
use std::path::Path;
use std::process::Command;

use asfound::evidence::bag::Sink;
use asfound::evidence::bag::Source;
use asfound::evidence::bag::Writer;
use asfound::evidence::check::Judgement;
use asfound::evidence::check::Stamp;
use asfound::evidence::check::Tools;
use asfound::evidence::check::check;
use asfound::evidence::dossier;
use asfound::evidence::dossier::Proof;
use asfound::evidence::dossier::SealFiles;
use asfound::evidence::entry::Entry;
use asfound::evidence::line::Line;
use asfound::evidence::merkle;
use asfound::evidence::merkle::Tree;
use asfound::evidence::proofs::LeftOut;
use asfound::evidence::proofs::LeftOutFile;
use asfound::evidence::proofs::LeftOutLine;
use asfound::evidence::proofs::PrivatePart;
use asfound::evidence::proofs::Why;
use asfound::evidence::seal::Statement;
use asfound::kit::digest::Digest;
use asfound::report::check_page;
use ed25519_dalek::Signature;
use ed25519_dalek::Signer as _;
use ed25519_dalek::SigningKey;
use ed25519_dalek::VerifyingKey;
use serde_json::Value;
use serde_json::json;

/// The piece of the dossier, and another of the same book.
pub(crate) const PIECE: &str = "26-001";
const OTHER: &str = "26-002";

/// Files in memory.
#[derive(Clone, Default, PartialEq)]
pub(crate) struct Folder(pub(crate) BTreeMap<String, Vec<u8>>);

impl Sink for Folder {
    fn file(&mut self, path: &str, from: &mut dyn Read) -> io::Result<()> {
        let mut bytes = Vec::new();
        from.read_to_end(&mut bytes)?;
        self.0.insert(path.to_owned(), bytes);
        Ok(())
    }
}

impl Source for Folder {
    fn names(&mut self) -> io::Result<Vec<String>> {
        Ok(self.0.keys().cloned().collect())
    }

    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>> {
        let bytes = self.0.get(path).ok_or(io::ErrorKind::NotFound)?;
        Ok(Box::new(bytes.as_slice()))
    }
}

impl Folder {
    pub(crate) fn text(&self, path: &str) -> String {
        String::from_utf8(self.0[path].clone()).unwrap()
    }

    pub(crate) fn set(&mut self, path: &str, bytes: impl Into<Vec<u8>>) {
        self.0.insert(path.to_owned(), bytes.into());
    }

    /// The same payload with all manifests made anew, and the set signed again by who has the key.
    pub(crate) fn listed_anew(&self, key: Option<&SigningKey>) -> Self {
        let mut folder = Self::default();
        let mut writer = Writer::new(&mut folder);
        for (path, bytes) in &self.0 {
            if let Some(path) = path.strip_prefix("data/") {
                writer.payload(path, bytes.as_slice()).unwrap();
            }
        }
        let set = writer.finish(&[("Bagging-Date", "2026-07-01")]).unwrap();
        match key {
            Some(key) => folder.set(dossier::SET_SIGNATURE, key.sign(set.as_bytes()).to_bytes()),
            None => {
                if let Some(old) = self.0.get(dossier::SET_SIGNATURE) {
                    folder.set(dossier::SET_SIGNATURE, old.as_slice());
                }
            }
        }
        folder
    }

    pub(crate) fn write_out(&self, to: &Path) {
        for (path, bytes) in &self.0 {
            let path = to.join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes).unwrap();
        }
    }
}

/// A public key as openssl writes it (RFC 8410, RFC 7468): 12 bytes before the 32, in base64.
pub(crate) fn pem(key: &[u8; 32]) -> String {
    const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let head = [
        0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00,
    ];
    let der = [&head[..], key].concat();
    let mut text = String::new();
    for three in der.chunks(3) {
        let get = |at: usize| u32::from(three.get(at).copied().unwrap_or(0));
        let bits = get(0) << 16 | get(1) << 8 | get(2);
        for at in 0..4 {
            let six = (bits >> (18 - 6 * at)) & 63;
            text.push(match at <= three.len() {
                true => char::from(ALPHABET[six as usize]),
                false => '=',
            });
        }
    }
    format!("-----BEGIN PUBLIC KEY-----\n{text}\n-----END PUBLIC KEY-----\n")
}

/// A judge with the keys of RFC 8032 and a toy authority instead of RFC 3161: a reply is a moment and a signature of it
/// and the statement, a request the statement's digest.
pub(crate) struct Judge {
    /// The keys that are tried for a PEM text.
    pub(crate) keys: Vec<[u8; 32]>,
    /// The authority that is trusted, if any.
    pub(crate) root: Option<VerifyingKey>,
}

pub(crate) fn authority() -> SigningKey {
    SigningKey::from_bytes(&[77; 32])
}

impl Tools for Judge {
    fn key(&self, text: &str) -> Option<[u8; 32]> {
        self.keys.iter().copied().find(|it| pem(it) == text)
    }

    fn is_signed(&self, key: &[u8; 32], message: &[u8], signature: &[u8; 64]) -> bool {
        let key = VerifyingKey::from_bytes(key).unwrap();
        key.verify_strict(message, &Signature::from_bytes(signature))
            .is_ok()
    }

    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp {
        if query.is_some_and(|it| it != Digest::of(statement).0) {
            return Stamp::Wrong("the request is for another statement".to_owned());
        }
        let Some(root) = &self.root else {
            return Stamp::Unknown("no root was given".to_owned());
        };
        let Some((at, signature)) = reply.split_at_checked(20) else {
            return Stamp::Wrong("it is too short".to_owned());
        };
        let message = [statement, at].concat();
        let good = <[u8; 64]>::try_from(signature)
            .is_ok_and(|it| self.is_signed(root.as_bytes(), &message, &it));
        let at = std::str::from_utf8(at).ok().and_then(|it| it.parse().ok());
        match (good, at) {
            (true, Some(at)) => Stamp::At(at),
            _ => Stamp::Wrong("it is not the authority's stamp of this statement".to_owned()),
        }
    }

    fn page(&self) -> Option<Digest> {
        Some(Digest::of(check_page().as_bytes()))
    }
}

/// Request and reply of the toy authority.
pub(crate) fn toy_stamp(statement: &str) -> (Vec<u8>, Vec<u8>) {
    let at = "2026-06-30T12:00:00Z".to_owned();
    let signature = authority().sign(format!("{statement}{at}").as_bytes());
    let reply = [at.as_bytes(), &signature.to_bytes()].concat();
    (Digest::of(statement.as_bytes()).0.to_vec(), reply)
}

/// A book with its ledger.
#[derive(Clone)]
pub(crate) struct Book {
    pub(crate) key: SigningKey,
    pub(crate) lines: Vec<Line>,
    pub(crate) seals: Vec<SealFiles>,
    pub(crate) private: Vec<PrivatePart>,
    /// Files below `data/`, each with what a line says of it.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Book {
    pub(crate) fn new(seed: u8) -> Self {
        let mut book = Self {
            key: SigningKey::from_bytes(&[seed; 32]),
            lines: Vec::new(),
            seals: Vec::new(),
            private: Vec::new(),
            files: BTreeMap::new(),
        };
        book.say(
            "",
            "begun",
            json!({"book": format!("shed {seed}"), "built_later": false}),
        );
        book
    }

    pub(crate) fn say(&mut self, piece: &str, what: &str, open: Value) -> u64 {
        let no = self.lines.len() as u64;
        let line = Line {
            v: 1,
            no,
            at: format!("2026-05-{:02}T{:02}:00:00Z", 1 + no / 20, no % 20)
                .parse()
                .unwrap(),
            what: what.to_owned(),
            piece: piece.to_owned(),
            open,
            private: None,
        };
        assert!(Entry::read(&line).is_ok(), "{line:?}");
        self.lines.push(line);
        no
    }

    fn with_private(&mut self, no: u64, text: &str) {
        self.lines[no as usize].private = Some(Digest::of(text.as_bytes()));
        self.private.push(PrivatePart {
            no,
            text: text.to_owned(),
        });
    }

    fn photo(&mut self, photo: u32, shoot: u32, stage: &str, bytes: Vec<u8>) {
        let name = format!("IMG_{photo:04}.jpg");
        let open = json!({"photo": photo, "shoot": shoot, "stage": stage, "name": name, "sha256": Digest::of(&bytes),
            "bytes": bytes.len(), "camera_time": "2026-05-01T09:00:00", "clock_off": 3600, "imported": "2026-05-01T20:00:00Z"});
        self.say(PIECE, "photo", open);
        self.files
            .insert(format!("originals/{shoot}-{stage}/{name}"), bytes);
    }

    fn sidecar(&mut self, photo: u32, place: &str, text: &str) -> u64 {
        let sha256 = Digest::of(text.as_bytes());
        self.files.insert(
            format!("sidecars/{place}/IMG_{photo:04}.jpg.toml"),
            text.into(),
        );
        self.say(PIECE, "sidecar", json!({"photo": photo, "sha256": sha256}))
    }

    pub(crate) fn leaves(&self) -> Vec<Digest> {
        self.lines.iter().map(Line::leaf).collect()
    }

    /// Seals what there is; `stamp` gives request and reply.
    pub(crate) fn seal(&mut self, stamp: Option<&dyn Fn(&str) -> (Vec<u8>, Vec<u8>)>) {
        let leaves = self.leaves();
        let tree = Tree {
            size: leaves.len() as u64,
            root: merkle::root(&leaves),
        };
        let at = self.lines[self.lines.len() - 1].at;
        let key = Digest(self.key.verifying_key().to_bytes());
        let statement = Statement::new(leaves[0], &tree, at, key).text();
        let (query, reply) = stamp.map(|it| it(&statement)).unzip();
        self.seals.push(SealFiles {
            no: self.seals.len() as u32 + 1,
            signature: self.key.sign(statement.as_bytes()).to_bytes().to_vec(),
            statement,
            query,
            reply,
        });
    }

    pub(crate) fn pem(&self) -> String {
        pem(&self.key.verifying_key().to_bytes())
    }

    /// The dossier of the piece.
    pub(crate) fn dossier(&self) -> Folder {
        let mut left_out = LeftOut::default();
        let mut lines = Vec::new();
        let removed: Vec<&Value> = self
            .lines
            .iter()
            .filter(|it| it.what == "removed")
            .map(|it| &it.open["sha256"])
            .collect();
        let mut files = self.files.clone();
        files.retain(|_, bytes| !removed.contains(&&json!(Digest::of(bytes))));
        for line in self
            .lines
            .iter()
            .filter(|it| it.piece == PIECE || it.no == 0)
        {
            if line.what == "errand" {
                left_out.lines.push(LeftOutLine {
                    no: line.no,
                    leaf: line.leaf(),
                    what: line.what.clone(),
                    why: Why::Private,
                });
                continue;
            }
            lines.push(line.clone());
            let why = match (line.what.as_str(), line.open["sha256"].as_str()) {
                ("edition", _) if line.open["reader"] == "owner" => Why::Private,
                ("sidecar", Some(it))
                    if !files
                        .values()
                        .any(|file| Digest::of(file).to_string() == it) =>
                {
                    Why::Replaced
                }
                ("kept", _) if line.open["name"] == "lost.txt" => Why::Lost,
                _ => continue,
            };
            left_out.files.push(LeftOutFile {
                no: line.no,
                sha256: serde_json::from_value(line.open["sha256"].clone()).unwrap(),
                why,
            });
        }
        files.retain(|path, _| !path.starts_with("reports/owner") && path != "kept/lost.txt");
        let mut folder = Folder::default();
        let mut writer = Writer::new(&mut folder);
        for (path, bytes) in &files {
            writer.payload(path, bytes.as_slice()).unwrap();
        }
        for (path, text) in [
            ("cover.html", "<!doctype html><title>Cover</title>"),
            ("exhibits/1.html", "<!doctype html><title>Exhibit 1</title>"),
            ("statement.html", "<!doctype html><title>Statement</title>"),
            ("check.html", check_page()),
        ] {
            writer.payload(path, text.as_bytes()).unwrap();
        }
        let proof = Proof {
            lines: &lines,
            private: &self.private,
            leaves: &self.leaves(),
            seals: &self.seals,
            key: &self.pem(),
            left_out: &left_out,
        };
        dossier::put(&mut writer, &proof).unwrap();
        let set = writer.finish(&[("Bagging-Date", "2026-07-01")]).unwrap();
        folder.set(
            dossier::SET_SIGNATURE,
            self.key.sign(set.as_bytes()).to_bytes(),
        );
        folder
    }

    pub(crate) fn judge(&self, folder: &mut dyn Source) -> Judgement {
        let judge = Judge {
            keys: vec![
                self.key.verifying_key().to_bytes(),
                SigningKey::from_bytes(&[99; 32]).verifying_key().to_bytes(),
            ],
            root: Some(authority().verifying_key()),
        };
        check(folder, &judge).unwrap()
    }
}

/// A book in which one piece was bought, worked on and sold, and another came between; three seals.
pub(crate) fn book(
    seed: u8,
    photo: &dyn Fn(u32) -> Vec<u8>,
    stamp: Option<&dyn Fn(&str) -> (Vec<u8>, Vec<u8>)>,
) -> Book {
    let mut book = Book::new(seed);
    book.say(
        PIECE,
        "piece",
        json!({"title": "walnut chest", "form": "chest_of_drawers"}),
    );
    for no in 1..=4 {
        book.photo(no, 1, "purchase", photo(no));
    }
    book.say(
        OTHER,
        "piece",
        json!({"title": "side table", "form": "side_table"}),
    );
    book.sidecar(1, "1-purchase", "view = \"front_whole\"\n");
    book.seal(None);
    book.say(OTHER, "sale", json!({"day": "2026-05-09"}));
    book.sidecar(
        1,
        "1-purchase",
        "view = \"front_whole\"\nparts = [\"front\"]\n",
    );
    book.sidecar(2, "1-purchase", "view = \"top_flat\"\n");
    let four = Digest::of(&photo(4));
    book.say(
        PIECE,
        "removed",
        json!({"photo": 4, "sha256": four, "why": "a person in it"}),
    );
    book.say(PIECE, "moisture", json!({"percent": 9.5, "part": "top"}));
    let no = book.say(
        PIECE,
        "repair",
        json!({"no": 1, "findings": ["F1"], "method": "glue_block", "day": "2026-05-20",
        "new_material": null, "hides": null, "note": "two blocks"}),
    );
    book.with_private(no, r#"{"minutes":40,"salt":"c2FsdA"}"#);
    book.say(PIECE, "errand", json!({"to": "the glazier"}));
    book.seal(stamp);
    book.photo(5, 2, "sale", photo(5));
    book.photo(6, 2, "sale", photo(6));
    for (reader, no) in [("buyer", 1), ("owner", 1), ("buyer", 2)] {
        let page = format!("<!doctype html><title>{reader} {no}</title>");
        book.files.insert(
            format!("reports/{reader}-{no:02}.html"),
            page.clone().into(),
        );
        book.say(PIECE, "edition", json!({"reader": reader, "no": no, "sha256": Digest::of(page.as_bytes()), "made": "2026-06-21"}));
    }
    for name in ["listing.html", "thread.txt", "lost.txt"] {
        let text = format!("{name} of seed {seed}");
        book.files
            .insert(format!("kept/{name}"), text.clone().into());
        book.say(
            PIECE,
            "kept",
            json!({"name": name, "sha256": Digest::of(text.as_bytes())}),
        );
    }
    let no = book.say(PIECE, "sale", json!({"day": "2026-06-30"}));
    book.with_private(no, r#"{"price":41000,"salt":"cGVwcGVy"}"#);
    book.seal(stamp);
    book
}

pub(crate) fn small(no: u32) -> Vec<u8> {
    format!("invented picture {no} ").repeat(9).into_bytes()
}

pub(crate) fn good() -> Book {
    book(1, &small, Some(&toy_stamp))
}
