//! A dossier made of invented bytes: as its maker writes it, as `CHECK.txt` and a browser check it.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::io::Read;
use std::path::Path;
use std::process::Command;
use std::sync::Arc;

use asfound::evidence::dossier::bag::FileSink;
use asfound::evidence::dossier::bag::FileSource;
use asfound::evidence::dossier::bag::Writer;
use asfound::evidence::dossier::package;
use asfound::evidence::dossier::package::Proof;
use asfound::evidence::dossier::package::SealFiles;
use asfound::evidence::key::pair::Key;
use asfound::evidence::key::pair::PublicKey;
use asfound::evidence::ledger::entry::Entry;
use asfound::evidence::ledger::entry_rows::KeyChanged;
use asfound::evidence::ledger::line::LedgerLine;
use asfound::evidence::ledger::merkle;
use asfound::evidence::ledger::merkle::Tree;
use asfound::evidence::seal::letter::Letter;
use asfound::evidence::seal::proofs;
use asfound::evidence::seal::proofs::LeftOut;
use asfound::evidence::seal::proofs::LeftOutFile;
use asfound::evidence::seal::proofs::LeftOutLine;
use asfound::evidence::seal::proofs::PrivatePart;
use asfound::evidence::seal::proofs::Proofs;
use asfound::evidence::seal::proofs::Why;
use asfound::evidence::seal::statement::Statement;
use asfound::evidence::stamp::reply::Given;
use asfound::evidence::stamp::reply::check_reply;
use asfound::evidence::stamp::reply::says;
use asfound::evidence::verify::notes::Check;
use asfound::evidence::verify::source::Scope;
use asfound::evidence::verify::source::Stamp;
use asfound::evidence::verify::source::Tools;
use asfound::evidence::verify::verdict::Judgement;
use asfound::evidence::verify::verify_files;
use asfound::kit::digest::Digest;
use asfound::report::check_page;
use asfound::tongue::Language;
use serde_json::Value;
use serde_json::json;

/// The words of the verdicts.
pub(crate) const PROVEN: &str = "proven";
pub(crate) const INTACT: &str = "intact, not time-stamped";
pub(crate) const NOT_JUDGED: &str = "intact, time stamp not judged";
pub(crate) const IN_PART: &str = "intact, newest lines not time-stamped";
pub(crate) const INCOMPLETE: &str = "incomplete";
pub(crate) const ALTERED: &str = "altered";

/// The piece of the dossier, and another of the same book.
pub(crate) const PIECE: &str = "26-001";
const OTHER: &str = "26-002";

/// Gives request and reply for a statement.
type Stamper<'a> = &'a dyn Fn(&str) -> (Vec<u8>, Vec<u8>);

/// Alters a dossier.
type Change<'a> = &'a dyn Fn(&mut Folder);

/// Files in memory.
#[derive(Clone, Default, PartialEq)]
pub(crate) struct Folder(pub(crate) BTreeMap<String, Vec<u8>>);

impl FileSink for Folder {
    fn file(&mut self, path: &str, from: &mut dyn Read) -> io::Result<()> {
        let mut bytes = Vec::new();
        from.read_to_end(&mut bytes)?;
        self.0.insert(path.to_owned(), bytes);
        Ok(())
    }
}

impl FileSource for Folder {
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
    pub(crate) fn listed_anew(&self, key: Option<&Key>) -> Self {
        let mut folder = Self::default();
        let mut writer = Writer::new(&mut folder);
        for (path, bytes) in &self.0 {
            if let Some(path) = path.strip_prefix("data/") {
                writer.payload(path, bytes.as_slice()).unwrap();
            }
        }
        if let Some(text) = self.0.get(package::START_HERE) {
            writer.tag(
                package::START_HERE,
                String::from_utf8(text.clone()).unwrap().leak(),
            );
        }
        let set = writer.finish(&[("Bagging-Date", "2026-07-01")]).unwrap();
        match key {
            Some(key) => folder.set(package::SET_SIGNATURE, key.sign(set.as_bytes())),
            None => {
                if let Some(old) = self.0.get(package::SET_SIGNATURE) {
                    folder.set(package::SET_SIGNATURE, old.as_slice());
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

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
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
    text
}

/// A judge with a toy authority instead of RFC 3161: a reply is a moment, the statement's digest, and a signature of moment and
/// statement; a request is the statement's digest.
#[derive(Default)]
pub(crate) struct Judge {
    /// The authority that is trusted, if any.
    pub(crate) root: Option<PublicKey>,
    /// The letters that are held.
    pub(crate) letters: Vec<Letter>,
}

pub(crate) fn authority() -> Key {
    Key::from_seed(&[77; 32])
}

impl Tools for Judge {
    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp {
        if query.is_some_and(|it| it != Digest::of(statement).0) {
            return Stamp::Wrong("the request is for another statement".to_owned());
        }
        let Some((at, rest)) = reply.split_at_checked(20) else {
            return Stamp::Wrong("it is too short".to_owned());
        };
        let Some((imprint, signature)) = rest.split_at_checked(32) else {
            return Stamp::Wrong("it is too short".to_owned());
        };
        if imprint != Digest::of(statement).0 {
            return Stamp::Wrong("the reply is for other bytes".to_owned());
        }
        let Some(root) = &self.root else {
            return Stamp::Unknown {
                why: "no root was given".to_owned(),
                says: None,
            };
        };
        let good = root.verify(&[statement, at].concat(), signature);
        let at = std::str::from_utf8(at).ok().and_then(|it| it.parse().ok());
        match (good, at) {
            (Ok(()), Some(at)) => Stamp::At(at),
            _ => Stamp::Wrong("it is not the authority's stamp of this statement".to_owned()),
        }
    }

    fn page(&self) -> Option<Digest> {
        Some(Digest::of(check_page().as_bytes()))
    }

    fn letters(&self) -> &[Letter] {
        &self.letters
    }
}

/// Request and reply of the toy authority.
pub(crate) fn toy_stamp(statement: &str) -> (Vec<u8>, Vec<u8>) {
    let at = "2026-06-30T12:00:00Z".to_owned();
    let signature = authority().sign(format!("{statement}{at}").as_bytes());
    let imprint = Digest::of(statement.as_bytes()).0;
    let reply = [at.as_bytes(), &imprint, &signature].concat();
    (imprint.to_vec(), reply)
}

/// A book with its ledger.
#[derive(Clone)]
pub(crate) struct Book {
    pub(crate) key: Arc<Key>,
    pub(crate) lines: Vec<LedgerLine>,
    pub(crate) seals: Vec<SealFiles>,
    pub(crate) private: Vec<PrivatePart>,
    /// Files below `data/`, each with what a line says of it.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Book {
    pub(crate) fn new(seed: u8) -> Self {
        let mut book = Self {
            key: Arc::new(Key::from_seed(&[seed; 32])),
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
        let before = self.lines.iter().filter(|it| it.piece == piece);
        let line = LedgerLine {
            v: 2,
            no,
            in_piece: Some(before.count() as u64),
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
        self.lines.iter().map(LedgerLine::leaf).collect()
    }

    /// Seals what there is; `stamp` gives request and reply.
    pub(crate) fn seal(&mut self, stamp: Option<Stamper>) {
        let leaves = self.leaves();
        let tree = Tree {
            size: leaves.len() as u64,
            root: merkle::root(&leaves),
        };
        let at = self.lines[self.lines.len() - 1].at;
        let key = self.key.public().digest();
        let statement = Statement::new(leaves[0], &tree, at, key).text();
        let (query, reply) = stamp.map(|it| it(&statement)).unzip();
        self.seals.push(SealFiles {
            no: self.seals.len() as u32 + 1,
            signature: self.key.sign(statement.as_bytes()).to_vec(),
            statement,
            query,
            reply,
        });
    }

    /// Gives the book another key; `signed`: the one before signs for it.
    pub(crate) fn rekey(&mut self, seed: u8, signed: bool, distrust_from: Option<u32>) {
        let new = Key::from_seed(&[seed; 32]);
        let mut it = KeyChanged {
            old: self.key.public().digest(),
            new: new.public().digest(),
            signature: None,
            distrust_from,
        };
        if signed {
            it.sign(self.lines[0].leaf(), &self.key);
        }
        self.say("", "key", serde_json::to_value(&it).unwrap());
        self.key = Arc::new(new);
    }

    pub(crate) fn pem(&self) -> String {
        self.key.public().pem()
    }

    /// The dossier of the piece.
    pub(crate) fn dossier(&self) -> Folder {
        self.dossier_without("")
    }

    /// The dossier of the piece with the lines of one kind left out, and said to be.
    pub(crate) fn dossier_without(&self, kind: &str) -> Folder {
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
            .filter(|it| it.piece == PIECE || it.no == 0 || it.what == "key")
        {
            if line.what == kind {
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
                ("kept", _) if line.open["name"] == "kept-back.txt" => Why::Private,
                _ => continue,
            };
            left_out.files.push(LeftOutFile {
                no: line.no,
                sha256: serde_json::from_value(line.open["sha256"].clone()).unwrap(),
                why,
            });
        }
        files.retain(|path, _| !path.starts_with("reports/owner") && path != "kept/kept-back.txt");
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
            left_out_text: &left_out
                .files
                .iter()
                .map(|it| format!("line {}, SHA-256 {}\n", it.no, it.sha256))
                .collect::<String>(),
            language: Language::English,
        };
        package::put(&mut writer, &proof).unwrap();
        let set = writer.finish(&[("Bagging-Date", "2026-07-01")]).unwrap();
        folder.set(package::SET_SIGNATURE, self.key.sign(set.as_bytes()));
        folder
    }

    pub(crate) fn judge(&self, folder: &mut dyn FileSource) -> Judgement {
        let judge = Judge {
            root: Some(authority().public()),
            ..Judge::default()
        };
        verify_files(folder, &judge).unwrap()
    }
}

/// A book in which one piece was bought, worked on and sold, and another came between; three seals.
pub(crate) fn book(seed: u8, photo: &dyn Fn(u32) -> Vec<u8>, stamp: Option<Stamper>) -> Book {
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
    for name in ["listing.html", "thread.txt", "kept-back.txt"] {
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

/// The dossier without a line and all that would betray it but its running number: its proof, what it names, what it hides.
fn held_back(book: &Book, no: u64) -> Folder {
    let mut folder = book.dossier();
    let line = &book.lines[no as usize];
    let rows = folder.text(package::LINES);
    let rows: String = rows
        .lines()
        .filter(|it| **it != line.text())
        .map(|it| format!("{it}\n"))
        .collect();
    folder.set(package::LINES, rows);
    let mut proofs: Proofs = proofs::read(&folder.text(package::PROOFS)).unwrap();
    proofs.lines.retain(|it| it.no != no);
    folder.set(package::PROOFS, proofs::text(&proofs));
    let mut left: LeftOut = proofs::read(&folder.text(package::LEFT_OUT)).unwrap();
    left.files.retain(|it| it.no != no);
    folder.set(package::LEFT_OUT, proofs::text(&left));
    if let Some(sha256) = line.open["sha256"].as_str() {
        folder
            .0
            .retain(|_, bytes| Digest::of(bytes).to_string() != sha256);
    }
    folder.listed_anew(Some(&book.key))
}

/// Numbers of the lines about the piece with this `what`, in order.
fn lines_of(book: &Book, what: &str) -> Vec<u64> {
    let lines = book.lines.iter();
    let lines = lines.filter(|it| it.piece == PIECE && it.what == what);
    lines.map(|it| it.no).collect()
}

/// Who holds the key can leave a line out, with everything that names it, and sign the set anew; the running number of the next
/// line shows it. Papers, sales and editions have no numbers of their own, or are the last of theirs.
#[test]
fn a_line_that_the_maker_holds_back_is_noticed_by_the_running_numbers() {
    let book = good();
    let last = book.lines.iter().rfind(|it| it.piece == PIECE).unwrap().no;
    for what in ["kept", "edition", "sidecar", "moisture", "photo"] {
        for no in lines_of(&book, what) {
            let found = book.judge(&mut held_back(&book, no));
            // A picture's line is named by its sidecar's too: that alone would betray it.
            assert!(
                [INCOMPLETE, ALTERED].contains(&found.verdict.word()),
                "{what} {no}: {found:#?}"
            );
            let running = found.checks.iter().find(|it| it.code == "running").unwrap();
            assert!(
                !running.ok() && running.about.contains(": 1 of the lines"),
                "{running:?}"
            );
        }
    }
    // Of what came after the last line that is here, nothing shows.
    assert_eq!(lines_of(&book, "sale"), [last]);
    let mut folder = held_back(&book, last);
    folder.0.remove(package::PRIVATE);
    let found = book.judge(&mut folder.listed_anew(Some(&book.key)));
    assert!(
        found
            .checks
            .iter()
            .filter(|it| it.code == "running")
            .all(Check::ok)
    );
    // A line that is said to be left out leaves no gap, but what is left out is missing.
    let found = book.judge(&mut book.dossier_without("errand"));
    assert_eq!(found.verdict.word(), INCOMPLETE);
    assert!(
        found
            .checks
            .iter()
            .filter(|it| it.code == "running")
            .all(Check::ok)
    );
}

/// The good book with two more keys: one that the first signed for, and one after it was stolen.
pub(crate) fn rekeyed() -> Book {
    let mut book = good();
    book.rekey(3, true, None);
    book.say(PIECE, "moisture", json!({"percent": 9.1, "part": "top"}));
    book.seal(Some(&toy_stamp));
    book.seal(Some(&toy_stamp));
    book.rekey(4, false, Some(5));
    book.say(PIECE, "moisture", json!({"percent": 9.2, "part": "top"}));
    book.seal(Some(&toy_stamp));
    book
}

/// Name, dossier, verdict, and what is told or found: what can be done with the keys of a book.
pub(crate) fn rekeyed_cases() -> Vec<(&'static str, Folder, &'static str, &'static str)> {
    let book = rekeyed();
    let good = book.dossier();
    let line = |edit: &dyn Fn(&mut LedgerLine), nth: usize| {
        // The maker changes a line and seals all anew with the keys of today.
        let mut it = book.clone();
        let at = it
            .lines
            .iter()
            .enumerate()
            .filter(|it| it.1.what == "key")
            .nth(nth)
            .unwrap()
            .0;
        edit(&mut it.lines[at]);
        let sizes: Vec<usize> = it
            .seals
            .iter()
            .map(|it| Statement::read(&it.statement).unwrap().size as usize)
            .collect();
        let (all, newest) = (it.lines.clone(), it.key.clone());
        let keys: Vec<_> = it
            .seals
            .iter()
            .map(|it| Statement::read(&it.statement).unwrap().key)
            .collect();
        it.seals.clear();
        for (size, key) in sizes.into_iter().zip(keys) {
            let seed = (1..9).find(|it| strangers_key(*it).public().digest() == key);
            it.key = Arc::new(strangers_key(seed.unwrap()));
            it.lines = all[..size].to_vec();
            it.seal(None);
        }
        (it.lines, it.key) = (all, newest);
        it.dossier()
    };
    let with = |path: &str, bytes: Vec<u8>| {
        let mut it = good.clone();
        it.set(path, bytes);
        it.listed_anew(Some(&book.key))
    };
    let no_line = |nth: usize| {
        let mut it = good.clone();
        let text = it.text(package::LINES);
        let gone = text
            .lines()
            .filter(|it| it.ends_with("\"what\":\"key\"}"))
            .nth(nth)
            .unwrap()
            .to_owned();
        it.set(package::LINES, text.replace(&format!("{gone}\n"), ""));
        let no = LedgerLine::read(&gone).unwrap().no;
        let mut proofs: Proofs = proofs::read(&it.text(package::PROOFS)).unwrap();
        proofs.lines.retain(|it| it.no != no);
        it.set(package::PROOFS, proofs::text(&proofs));
        it.listed_anew(Some(&book.key))
    };
    vec![
        ("keys", good.clone(), NOT_JUDGED, "which signed for it"),
        (
            "keys-lost",
            good.clone(),
            NOT_JUDGED,
            "which did not sign for it: nothing in here shows",
        ),
        (
            "keys-stolen",
            good.clone(),
            NOT_JUDGED,
            "from seal 5 on, no seal of the key",
        ),
        (
            "keys-untrusted",
            good.clone(),
            NOT_JUDGED,
            "seal 5 is of the key",
        ),
        (
            "keys-forged",
            line(&|it| it.open["signature"] = "ab".repeat(64).into(), 0),
            ALTERED,
            "what stands there is not its signature",
        ),
        (
            "keys-short",
            line(&|it| it.open["signature"] = "ab".into(), 0),
            ALTERED,
            "what stands there is not its signature",
        ),
        (
            "keys-of-another",
            line(
                &|it| it.open["old"] = json!(strangers_key(9).public().digest()),
                1,
            ),
            ALTERED,
            "says that the key before was",
        ),
        ("keys-unsaid", no_line(0), ALTERED, "another key"),
        ("keys-unsaid-last", no_line(1), ALTERED, "another key"),
        (
            "keys-first",
            with(package::KEY, strangers_key(1).public().pem().into()),
            ALTERED,
            "is not the one that line",
        ),
        (
            "keys-before",
            {
                // Whoever made the dossier has only the key before.
                let mut it = good.clone();
                it.set(package::KEY, strangers_key(3).public().pem());
                it.listed_anew(Some(&strangers_key(3)))
            },
            INCOMPLETE,
            "is the one before line",
        ),
        (
            "keys-late",
            {
                // The thief seals with the key before, after its time.
                let mut it = book.clone();
                it.key = Arc::new(strangers_key(3));
                it.seal(None);
                it.key = Arc::new(strangers_key(4));
                it.dossier()
            },
            ALTERED,
            "names another key than the book's at that time",
        ),
    ]
}

/// Each key in its time: what it took for another to come, and what that makes of the seals.
#[test]
fn a_book_may_get_another_key_and_each_counts_in_its_time() {
    for (name, mut folder, want, says) in rekeyed_cases() {
        let found = verify_files(&mut folder, &Judge::default()).unwrap();
        let told = found.checks.iter().any(|it| it.about.contains(says));
        assert!(
            found.verdict.word() == want && told,
            "{name}: `{says}`\n{found:#?}"
        );
        if want == NOT_JUDGED {
            assert!(found.beside.iter().any(|it| it.contains(says)), "{name}");
        }
    }
    let book = rekeyed();
    let found = book.judge(&mut book.dossier());
    assert_eq!(found.verdict.word(), PROVEN, "{found:#?}");
    // Any byte of a line about keys matters.
    let good = book.dossier();
    let text = good.text(package::LINES);
    for line in text.lines().filter(|it| it.ends_with("\"what\":\"key\"}")) {
        for at in (0..line.len()).step_by(7) {
            let mut bytes = line.as_bytes().to_vec();
            bytes[at] ^= 1;
            let mut folder = good.clone();
            let other = String::from_utf8_lossy(&bytes).into_owned();
            folder.set(package::LINES, text.replace(line, &other));
            let found = book.judge(&mut folder.listed_anew(Some(&book.key)));
            assert_eq!(found.verdict.word(), ALTERED, "byte {at} of {line}");
        }
    }
}

/// Lines of an older program have no running numbers and stay as they are; those that follow count them.
#[test]
fn lines_without_a_running_number_count_for_those_that_come_after() {
    let mut book = good();
    let older = |book: &mut Book, until: u64| {
        for line in book.lines.iter_mut().filter(|it| it.no < until) {
            (line.v, line.in_piece) = (1, None);
        }
        book.seals.clear();
        book.seal(Some(&toy_stamp));
    };
    let kept = lines_of(&book, "kept");
    older(&mut book, kept[1]);
    let found = book.judge(&mut book.dossier());
    assert_eq!(found.verdict.word(), PROVEN, "{found:#?}");
    let found = book.judge(&mut held_back(&book, kept[0]));
    assert_eq!(found.verdict.word(), INCOMPLETE);
    older(&mut book, u64::MAX);
    let found = book.judge(&mut book.dossier());
    assert_eq!(found.verdict.word(), PROVEN, "{found:#?}");
    let running = found.checks.iter().find(|it| it.code == "running").unwrap();
    assert!(running.about.contains("no running numbers"), "{running:?}");
}

pub(crate) fn good() -> Book {
    book(1, &small, Some(&toy_stamp))
}

/// What systems and office programs leave behind in folders.
pub(crate) const LITTER: [&str; 9] = [
    ".DS_Store",
    "Thumbs.db",
    "desktop.ini",
    ".directory",
    "._IMG_0001.jpg",
    "~$cover.docx",
    ".~lock.cover.html#",
    "IMG_0001.jpg:Zone.Identifier",
    "__MACOSX/IMG_0001.jpg",
];

/// The dossier with one seal said to be made at another moment, signed anew by its maker, without its time stamp.
pub(crate) fn seal_dated(book: &Book, nth: usize, at: &str) -> Folder {
    let mut book = book.clone();
    let seal = &mut book.seals[nth];
    let mut statement = Statement::read(&seal.statement).unwrap();
    statement.at = at.parse().unwrap();
    seal.statement = statement.text();
    seal.signature = book.key.sign(seal.statement.as_bytes()).to_vec();
    (seal.query, seal.reply) = (None, None);
    book.dossier()
}

/// The text between two tags that are there once.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let mut parts = text.split(from);
    let rest = parts.nth(1).unwrap();
    assert!(parts.next().is_none(), "{from} twice");
    rest.split(to).next().unwrap()
}

#[test]
fn the_checking_page_allows_its_own_script_and_style_and_nothing_else() {
    let page = check_page();
    let hash = |text: &str| base64(&Digest::of(text.as_bytes()).0);
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(between(page, "<style>", "</style>")),
        hash(between(page, "<script>", "</script>")),
    );
    let written = between(page, "Content-Security-Policy\" content=\"", "\">");
    assert_eq!(written, policy, "put the right column into the page");
    for word in [
        "http:",
        "https:",
        "innerHTML",
        "eval(",
        "fetch(",
        "certified",
        "guaranteed",
        "proof of age",
    ] {
        assert!(!page.contains(word), "{word}");
    }
}

/// A time-stamp authority of our own, made with openssl; `None` where openssl is not there.
struct Authority(tempfile::TempDir);

impl Authority {
    fn new() -> Option<Self> {
        if Command::new("openssl").arg("version").output().is_err() {
            assert!(
                std::env::var("CI").as_deref() != Ok("true"),
                "openssl is missing"
            );
            return None;
        }
        let it = Self(tempfile::tempdir().unwrap());
        fs::write(
            it.0.path().join("ext"),
            "extendedKeyUsage=critical,timeStamping\n",
        )
        .unwrap();
        let config = "[tsa]\ndefault_tsa=t\n[t]\nserial=serial\nsigner_cert=tsa.pem\nsigner_key=tsa.key\ndefault_policy=1.2.3.4.1\n\
                      digests=sha256\nsigner_digest=sha256\ness_cert_id_alg=sha256\n";
        fs::write(it.0.path().join("tsa.cnf"), config).unwrap();
        fs::write(it.0.path().join("serial"), "01\n").unwrap();
        let new = "-newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes";
        it.run(&format!(
            "req -x509 {new} -keyout ca.key -out root.pem -days 3650 -subj /CN=Invented-root"
        ));
        it.run(&format!(
            "req {new} -keyout tsa.key -out tsa.csr -subj /CN=Invented-time"
        ));
        it.run("x509 -req -in tsa.csr -CA root.pem -CAkey ca.key -CAcreateserial -out tsa.pem -days 3650 -extfile ext");
        Some(it)
    }

    fn run(&self, args: &str) {
        let run = Command::new("openssl")
            .args(args.split(' '))
            .current_dir(self.0.path())
            .output()
            .unwrap();
        assert!(
            run.status.success(),
            "openssl {args}\n{}",
            String::from_utf8_lossy(&run.stderr)
        );
    }

    fn stamp(&self, statement: &str) -> (Vec<u8>, Vec<u8>) {
        let at = |name: &str| self.0.path().join(name);
        fs::write(at("statement"), statement).unwrap();
        self.run("ts -query -data statement -sha256 -cert -out query");
        self.run("ts -reply -queryfile query -config tsa.cnf -section t -out reply");
        (
            fs::read(at("query")).unwrap(),
            fs::read(at("reply")).unwrap(),
        )
    }
}

/// Runs the indented commands of `CHECK.txt` as they stand in a folder's `data`; `given` are files that the reader saves beside that
/// folder before a step: its number, the file's name there, and where it is now.
pub(crate) fn run_check_text(folder: &Folder, given: &[(&str, &str, &Path)]) -> String {
    let dir = tempfile::tempdir().unwrap();
    let sent = dir.path().join("sent");
    fs::create_dir(&sent).unwrap();
    folder.write_out(&sent);
    let mut script = String::new();
    for line in folder.text(package::CHECK_TEXT).lines() {
        for (_, name, from) in given.iter().filter(|it| line.starts_with(it.0)) {
            script.push_str(&format!("cp '{}' ../../{name}\n", from.display()));
        }
        if let Some(command) = line.strip_prefix("    ") {
            script.push_str(&format!("{command}\n"));
        }
    }
    let run = Command::new("bash")
        .args(["-c", &script])
        .current_dir(sent.join("data"))
        .output()
        .unwrap();
    let (out, err) = (
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr),
    );
    format!("{out}{err}")
}

#[test]
fn the_commands_of_the_check_text_run_as_they_stand() {
    let Some(authority) = Authority::new() else {
        return;
    };
    let root = authority.0.path().join("root.pem");
    let given: &[(&str, &str, &Path)] = &[("8. ", "root.pem", &root)];
    let book = book(1, &small, Some(&|it| authority.stamp(it)));
    let good = book.dossier();
    let said = run_check_text(&good, given);
    assert!(!said.contains("WRONG"), "{said}");
    let fingerprint = book
        .judge(&mut good.clone())
        .fingerprint
        .unwrap()
        .replace(' ', "");
    assert!(said.lines().any(|it| it == fingerprint), "{said}");
    // What a line begins with, and how many there are: 22 proofs, 11 files, how many are left out and the end of that step, 3 seals, 2 of them time-stamped.
    for (want, times) in [
        ("1 files listed: good", 1),
        ("1 no other files: good", 1),
        ("3 set signed: good", 1),
        ("4 seals/seal-", 3),
        ("5 lines: done", 1),
        ("5 root of seals/seal-0003.json: good", 1),
        ("5 line ", 22),
        ("6 seal ", 2),
        ("7 ", 14),
        ("7 TO KNOW: line 11 takes photo 4 out: a person in it", 1),
        ("7 files left out, in left-out.txt", 1),
        ("7 files of lines: done", 1),
        ("1 no other files beside data: good", 1),
        ("10 no letter.txt", 1),
        ("8 for its own seal, seals/seal-", 4),
        ("8 seals/seal-", 2),
        ("4 key and book of seals/seal-", 3),
        ("9 clock: done", 1),
        ("11 VERDICT: INTACT, time-stamped", 1),
    ] {
        let lines = said.lines().filter(|it| it.starts_with(want));
        assert_eq!(lines.count(), times, "{want}\n{said}");
    }
    let changes: [(&str, Change); 19] = [
        ("1 files listed: WRONG", &|it| {
            it.set("data/originals/1-purchase/IMG_0001.jpg", "other")
        }),
        ("1 no other files: WRONG", &|it| {
            it.set("data/other.txt", "other")
        }),
        ("3 set signed: WRONG", &|it| {
            *it = it.listed_anew(Some(&strangers_key(9)))
        }),
        ("4 seals/seal-0002.json: WRONG", &|it| {
            it.set("data/seals/seal-0002.sig", [7; 64])
        }),
        ("5 line WRONG", &|it| {
            let text = it
                .text(package::LINES)
                .replacen("2026-05-01T03", "2026-05-01T02", 1);
            it.set(package::LINES, text);
            *it = it.listed_anew(Some(&book.key));
        }),
        ("6 seal 1 goes on in seal 2: WRONG", &|it| {
            let text = it.text(package::CONSISTENCY);
            let at = text.find("\"path\":[\"").unwrap() + 9;
            it.set(
                package::CONSISTENCY,
                format!("{}{}{}", &text[..at], "ab".repeat(32), &text[at + 64..]),
            );
        }),
        ("7 kept/thread.txt: WRONG", &|it| {
            it.set("data/kept/thread.txt", "other words")
        }),
        ("7 reports/buyer-01.html: WRONG", &|it| {
            let other = it.0["data/reports/buyer-02.html"].clone();
            it.set("data/reports/buyer-01.html", other);
            *it = it.listed_anew(Some(&book.key));
        }),
        ("7 originals/1-purchase/IMG_0002.jpg: WRONG", &|it| {
            let other = it.0["data/originals/1-purchase/IMG_0001.jpg"].clone();
            it.set("data/originals/1-purchase/IMG_0002.jpg", other);
            *it = it.listed_anew(Some(&book.key));
        }),
        ("7 the file of line 21 is not here: INCOMPLETE", &|it| {
            it.0.remove("data/kept/thread.txt");
            *it = it.listed_anew(Some(&book.key));
        }),
        ("1 no other files beside data: WRONG", &|it| {
            it.set("other.txt", "other")
        }),
        ("8 seals/seal-0003.tsr: WRONG", &|it| {
            let other = it.0["data/seals/seal-0002.tsr"].clone();
            it.set("data/seals/seal-0003.tsr", other);
        }),
        ("8 for its own seal, seals/seal-0003.tsr: WRONG", &|it| {
            let other = it.0["data/seals/seal-0002.tsr"].clone();
            it.set("data/seals/seal-0003.tsr", other);
        }),
        ("4 key and book of seals/seal-0001.json: WRONG", &|it| {
            it.set(package::KEY, strangers_key(9).public().pem());
        }),
        (
            "5 line 21 was taken away, its proof is here: INCOMPLETE",
            &|it| {
                let text = it.text(package::LINES);
                let rows = text.lines().filter(|row| !row.contains("\"no\":21,"));
                let rows: String = rows.map(|row| format!("{row}\n")).collect();
                it.set(package::LINES, rows);
                *it = it.listed_anew(Some(&book.key));
            },
        ),
        ("5 line 14 is left out: INCOMPLETE", &|it| {
            *it = book.dossier_without("errand");
        }),
        ("7 the file of line 22 is lost: INCOMPLETE", &|it| {
            let text = it.text(package::LEFT_OUT);
            it.set(
                package::LEFT_OUT,
                text.replacen("\"why\":\"private\"", "\"why\":\"lost\"", 9),
            );
        }),
        ("9 TO KNOW: seals/seal-0001.json says", &|it| {
            *it = seal_dated(&book, 0, "2026-04-01T00:00:00Z");
        }),
        ("9 TO KNOW: line 9 says", &|it| {
            *it = seal_dated(&book, 0, "2026-05-20T00:00:00Z");
        }),
    ];
    for (want, change) in changes {
        let mut folder = good.clone();
        change(&mut folder);
        let said = run_check_text(&folder, given);
        assert!(said.contains(want), "{want}\n{said}");
    }
    // What the text tells its reader to save is no alteration, wherever it was saved; a file that is lacking is none either.
    let unstamped = self::book(1, &small, None);
    let whole = unstamped.dossier();
    let mut kept = whole.clone();
    for path in ["letter.txt", "root.pem", "data/letter.txt", "data/root.pem"] {
        kept.set(path, "saved by the reader");
    }
    let mut lacking = whole.clone();
    lacking.0.remove("data/originals/1-purchase/IMG_0001.jpg");
    for (folder, verdict, word) in [
        (kept, "11 VERDICT: INTACT", INTACT),
        (lacking, "11 VERDICT: NOT ALL HERE", INCOMPLETE),
    ] {
        let said = run_check_text(&folder, given);
        let wrong = said.contains("WRONG");
        assert!(!wrong && said.contains(verdict), "{said}");
        let found = unstamped.judge(&mut folder.clone());
        assert_eq!(found.verdict.word(), word, "{found:#?}");
    }
    let some = [
        "keys",
        "keys-forged",
        "keys-unsaid",
        "keys-before",
        "keys-late",
    ];
    let cases = rekeyed_cases().into_iter();
    for (name, folder, want, _) in cases.filter(|it| some.contains(&it.0)) {
        let said = run_check_text(&folder, given);
        // The toy stamps are none to openssl.
        let steps = said.lines().filter(|it| !it.starts_with("8 "));
        let found = |word: &str| steps.clone().any(|it| it.contains(word));
        let so = match want {
            ALTERED => found("WRONG"),
            INCOMPLETE => !found("WRONG: ") && found("INCOMPLETE"),
            _ => !found("WRONG") && !found("INCOMPLETE"),
        };
        assert!(so, "{name}: {want}\n{said}");
        if name == "keys" {
            for told in [
                "which signed for it",
                "did not sign for it",
                "from seal 5 on",
                "seals/seal-0005.json is of the key",
            ] {
                assert!(said.contains(told), "{told}\n{said}");
            }
        }
    }
    let mut litter = good.clone();
    for name in LITTER {
        litter.set(&format!("data/originals/{name}"), "left behind");
    }
    let said = run_check_text(&litter, given);
    assert!(said.contains("1 no other files: good"), "{said}");
}

/// A judge of real time stamps, by the roots that he was given.
struct Roots<'a>(Given<'a>);

impl Tools for Roots<'_> {
    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp {
        match check_reply(statement, query, reply, &self.0) {
            Ok(it) => Stamp::At(it.time.at_latest(it.accuracy).unwrap()),
            Err(why) if why.is_of_unknown_authority() => Stamp::Unknown {
                why: why.to_string(),
                says: says(reply),
            },
            Err(why) => Stamp::Wrong(why.to_string()),
        }
    }

    fn page(&self) -> Option<Digest> {
        None
    }
}

/// Real stamps: proven with the right root, not with none or another; no changed reply is taken for one.
#[test]
fn a_time_stamp_proves_with_its_root_alone() {
    let (Some(authority), Some(other)) = (Authority::new(), Authority::new()) else {
        return;
    };
    let book = book(1, &small, Some(&|it| authority.stamp(it)));
    let good = book.dossier();
    let root = fs::read(authority.0.path().join("root.pem")).unwrap();
    let another = fs::read(other.0.path().join("root.pem")).unwrap();
    let judged = |folder: &Folder, roots: &[&[u8]]| {
        let given = Given { roots, extra: &[] };
        verify_files(&mut folder.clone(), &Roots(given)).unwrap()
    };
    let found = judged(&good, &[&root]);
    assert_eq!(found.verdict.word(), PROVEN, "{found:#?}");
    let seals: Vec<u32> = found.stamps.iter().map(|it| it.seal).collect();
    assert_eq!(seals, [2, 3]);
    for roots in [&[][..], &[another.as_slice()]] {
        let found = judged(&good, roots);
        assert_eq!((found.verdict.word(), found.stamps.len()), (NOT_JUDGED, 0));
        assert!(
            found
                .checks
                .iter()
                .any(|it| it.about.contains("was not checked"))
        );
    }
    let path = "data/seals/seal-0003.tsr";
    for at in (0..good.0[path].len()).step_by(9) {
        let mut folder = good.clone();
        folder.0.get_mut(path).unwrap()[at] ^= 4;
        let now = judged(&folder.listed_anew(Some(&book.key)), &[&root]);
        // What the authority did not sign may change; what it says may not.
        let same = now.verdict.word() == PROVEN && now.stamps == found.stamps;
        assert!(same || now.verdict.word() != PROVEN, "byte {at}: {now:#?}");
    }
}

fn strangers_key(seed: u8) -> Key {
    Key::from_seed(&[seed; 32])
}

/// 4 MB that do not repeat, from the photo's number.
fn large(no: u32) -> Vec<u8> {
    let mut turn = u64::from(no) + 1;
    let mut bytes = Vec::with_capacity(4_000_000);
    while bytes.len() < 4_000_000 {
        turn = turn.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        bytes.extend_from_slice(&turn.to_be_bytes());
    }
    bytes
}

#[test]
fn the_checking_page_finds_what_the_program_finds() {
    if std::env::var_os("ASFOUND_BROWSER").is_none() {
        crate::browser::leave_out();
        return;
    }
    let book = good();
    let good = book.dossier();
    let changed = |change: &dyn Fn(&mut Folder)| {
        let mut folder = good.clone();
        change(&mut folder);
        folder
    };
    let anew = |change: &dyn Fn(&mut Folder)| changed(change).listed_anew(Some(&book.key));
    let photo = "data/originals/1-purchase/IMG_0001.jpg";
    let mut large_book = good_large();
    large_book.seal(None);
    let mut older = book.clone();
    for line in &mut older.lines {
        (line.v, line.in_piece) = (1, None);
    }
    older.seals.clear();
    older.seal(None);
    let kept = lines_of(&book, "kept")[0];
    let key_case = |nth: usize| {
        let (name, folder, _, _) = rekeyed_cases().swap_remove(nth);
        (name, folder)
    };
    let cases = [
        ("good", good.clone()),
        ("held-back", held_back(&book, kept)),
        ("older", older.dossier()),
        (
            "photo-changed",
            changed(&|it| it.0.get_mut(photo).unwrap()[5] ^= 1),
        ),
        (
            "photo-gone",
            changed(&|it| {
                it.0.remove(photo);
            }),
        ),
        (
            "file-added",
            changed(&|it| it.set("data/kept/other.txt", "x")),
        ),
        (
            "litter",
            changed(&|it| {
                for name in LITTER {
                    it.set(&format!("data/originals/{name}"), "x");
                }
                it.set("~$cover.docx", "x");
            }),
        ),
        ("line-left-out", book.dossier_without("errand")),
        (
            "seal-before-its-lines",
            seal_dated(&book, 0, "2026-04-01T00:00:00Z"),
        ),
        (
            "line-before-its-seal",
            seal_dated(&book, 0, "2026-05-20T00:00:00Z"),
        ),
        (
            "file-lost",
            anew(&|it| {
                let text = it.text(package::LEFT_OUT);
                it.set(package::LEFT_OUT, text.replace("\"private\"", "\"lost\""));
            }),
        ),
        (
            "reply-of-another-seal",
            anew(&|it| {
                let other = it.0["data/seals/seal-0002.tsr"].clone();
                it.set("data/seals/seal-0003.tsr", other);
            }),
        ),
        (
            "photo-changed-and-listed",
            anew(&|it| it.0.get_mut(photo).unwrap()[5] ^= 1),
        ),
        (
            "re-dated",
            anew(&|it| {
                it.set(
                    package::LINES,
                    it.text(package::LINES).replacen("T03:", "T02:", 1),
                )
            }),
        ),
        (
            "doubled",
            anew(&|it| {
                it.set(package::LINES, {
                    let text = it.text(package::LINES);
                    let last = text.lines().last().unwrap().to_owned();
                    format!("{text}{last}\n")
                })
            }),
        ),
        (
            "spelled",
            anew(&|it| {
                it.set(
                    package::LINES,
                    it.text(package::LINES).replacen("\"at\":", "\"at\": ", 1),
                )
            }),
        ),
        (
            "proof-cut",
            anew(&|it| {
                it.set(
                    package::PROOFS,
                    it.text(package::PROOFS)
                        .replacen("\",\"", "\"],\"x\":[\"", 1),
                )
            }),
        ),
        (
            "root",
            anew(&|it| {
                it.set(package::PROOFS, {
                    let text = it.text(package::PROOFS);
                    let at = text.find("\"root\":\"").unwrap() + 8;
                    format!("{}{}{}", &text[..at], "ab".repeat(32), &text[at + 64..])
                })
            }),
        ),
        ("steps", anew(&|it| it.set(package::CONSISTENCY, "[]"))),
        (
            "seal-signature",
            anew(&|it| it.0.get_mut("data/seals/seal-0002.sig").unwrap()[0] ^= 1),
        ),
        ("set-signature", good.listed_anew(Some(&strangers_key(9)))),
        (
            "key",
            anew(&|it| it.set(package::KEY, strangers_key(9).public().pem())),
        ),
        (
            "swapped",
            anew(&|it| {
                let other = "data/originals/1-purchase/IMG_0002.jpg";
                let (a, b) = (it.0[photo].clone(), it.0[other].clone());
                it.set(photo, b);
                it.set(other, a);
            }),
        ),
        (
            "left-out",
            anew(&|it| it.set(package::LEFT_OUT, r#"{"files":[],"lines":[]}"#)),
        ),
        (
            "private",
            anew(&|it| {
                it.set(
                    package::PRIVATE,
                    it.text(package::PRIVATE).replacen("40", "41", 1),
                )
            }),
        ),
        (
            "count",
            changed(&|it| it.set("bag-info.txt", "Payload-Oxum: 1.1\n")),
        ),
        (
            "declaration",
            changed(&|it| {
                it.set(
                    "bagit.txt",
                    "BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n",
                )
            }),
        ),
        ("large", large_book.dossier()),
        key_case(0),
        key_case(4),
        key_case(5),
        key_case(6),
        key_case(7),
        key_case(8),
        key_case(9),
        key_case(10),
        key_case(11),
        (
            "last",
            changed(&|it| {
                it.set(
                    package::CHECK_TEXT,
                    it.text(package::CHECK_TEXT).replace('\n', "\r\n"),
                )
            }),
        ),
    ];
    let dir = tempfile::tempdir().unwrap();
    for (name, folder) in &cases {
        folder.write_out(&dir.path().join(name));
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let run = Command::new("node")
        .arg(root.join("tests/browser/check_page.mjs"))
        .arg(dir.path().join("good/data/check.html"))
        .arg(Path::new(env!("CARGO_TARGET_TMPDIR")).join("look/check-page"))
        .args(cases.iter().map(|(name, _)| dir.path().join(name)))
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let seen: Value = serde_json::from_slice(&run.stdout).unwrap();
    for ((name, folder), seen) in cases.iter().zip(seen["folders"].as_array().unwrap()) {
        // The program without a root sees what the page sees: no time stamp.
        let judge = Judge::default();
        let found = verify_files(&mut folder.clone(), &judge).unwrap();
        assert_eq!(seen["verdict"], found.verdict.word(), "{name}: {seen:#}");
        let mut codes: Vec<&str> = found
            .checks
            .iter()
            .filter(|it| !it.ok())
            .map(|it| it.code)
            .collect();
        codes.sort_unstable();
        codes.dedup();
        let bad: Vec<&String> = seen["bad"].as_object().unwrap().keys().collect();
        let mut bad: Vec<&str> = bad.into_iter().map(String::as_str).collect();
        bad.sort_unstable();
        assert_eq!(bad, codes, "{name}: {seen:#}\n{found:#?}");
        let beside: Vec<&str> = found.beside.iter().map(String::as_str).collect();
        assert_eq!(seen["beside"], json!(beside), "{name}");
        if let Some(print) = found.fingerprint {
            assert!(seen["owner"].as_str().unwrap().contains(&print));
        }
        assert_eq!(seen["focus"], "result-name");
        if *name == "large" {
            assert_eq!(seen["photos"], 40);
            let _ = io::Write::write_fmt(
                &mut io::stderr(),
                format_args!(
                    "40 photos of 4 MB: {} ms, still for {} ms\n",
                    seen["ms"], seen["still"]
                ),
            );
            assert!(seen["still"].as_f64() < Some(2000.0), "{seen:#}");
        }
    }
    assert!(
        seen["folders"][0]["told"]
            .as_str()
            .unwrap()
            .contains("does not judge who made it")
    );
    judge_screens(&seen);
    judge_tongues(&seen);
}

/// All of it is told in the reader's language: nothing is said there as it is in English.
fn judge_tongues(seen: &Value) {
    let all = seen["tongues"].as_array().unwrap();
    for (it, (language, title, verdict)) in all.iter().zip([
        (
            "de",
            "Ein Dossier prüfen",
            "unversehrt, Zeitstempel nicht beurteilt",
        ),
        ("fr", "Vérifier un dossier", "intact, horodatage non jugé"),
    ]) {
        let (first, english) = (&it["first"], &it["english"]);
        assert_eq!(first["language"], language);
        assert_eq!(first["title"], title);
        assert_eq!(first["verdict"], verdict);
        assert_eq!(english["title"], "Check a dossier");
        assert_eq!(english["verdict"], "intact, time stamp not judged");
        let said = |it: &Value| -> Vec<String> {
            let said = it["said"].as_array().unwrap().iter();
            let said = said.map(|it| it.as_str().unwrap().to_owned());
            said.filter(|it| it.contains(' ')).collect()
        };
        let english = said(english);
        assert!(english.len() > 40, "{english:#?}");
        let left: Vec<String> = { said(first).into_iter() }
            .filter(|it| english.contains(it))
            .collect();
        assert_eq!(left, [""; 0], "{language}");
    }
    assert_eq!(all.len(), 2);
}

fn judge_screens(seen: &Value) {
    for screen in seen["screens"].as_array().unwrap() {
        assert_eq!(screen["violations"], json!([]), "{}", screen["name"]);
        assert!(screen["over"].as_f64() <= Some(0.0), "{screen:#}");
    }
    for list in ["requests", "console_errors"] {
        assert_eq!(seen[list], json!([]), "{list}");
    }
    let old = &seen["without_ed25519"];
    assert_eq!(old["verdict"], "incomplete");
    assert!(
        old["bad"]["set_signature"]
            .as_str()
            .unwrap()
            .contains("cannot check Ed25519"),
        "{old:#}"
    );
    let dropped = seen["dropped"].as_str().unwrap();
    assert!(
        dropped.ends_with(": intact, time stamp not judged."),
        "{dropped}"
    );
    let none = &seen["without_crypto"];
    assert_eq!(none["disabled"], true);
    assert!(none["status"].as_str().unwrap().contains("CHECK.txt"));
    assert!(
        seen["single"]["known"]
            .as_str()
            .unwrap()
            .contains("Line 2 names it (photo)"),
        "{}",
        seen["single"]
    );
    assert!(
        seen["single"]["unknown"]
            .as_str()
            .unwrap()
            .contains("No line names it")
    );
}

/// A book of one piece with 40 photos of 4 MB.
fn good_large() -> Book {
    let mut book = Book::new(1);
    book.say(
        PIECE,
        "piece",
        json!({"title": "walnut chest", "form": "chest_of_drawers"}),
    );
    for no in 1..=40 {
        book.photo(no, 1, "purchase", large(no));
    }
    book
}

/// Another picture's text in the place of a text is no older one of it.
#[test]
fn texts_that_changed_places_are_not_told_as_older() {
    let book = book(1, &small, None);
    let mut folder = book.dossier();
    let paths = folder
        .0
        .keys()
        .filter(|it| it.starts_with("data/sidecars/"));
    let paths: Vec<String> = paths.take(2).cloned().collect();
    let texts = [0, 1].map(|n| folder.0[&paths[n]].clone());
    assert_ne!(texts[0], texts[1]);
    for (n, text) in texts.into_iter().enumerate() {
        folder.set(&paths[1 - n], text);
    }
    let mut folder = folder.listed_anew(Some(&book.key));
    let found = book.judge(&mut folder);
    assert_eq!(found.verdict.word(), ALTERED);
    let enclosed = found.enclosed.iter();
    let told: Vec<String> = enclosed.map(|it| it.sentence(Scope::Piece)).collect();
    assert!(!told.join(" ").contains("older beside"), "{told:?}");
    assert!(
        told.iter().any(|it| it.contains("2 not here or changed")),
        "{told:?}"
    );
}
