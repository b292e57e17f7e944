//! One engine checks books and dossiers: the same alteration gets the same answer in a book, a folder and a zip.

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use asfound::evidence::dossier::package;
use asfound::evidence::key::file;
use asfound::evidence::key::pair::Key;
use asfound::evidence::ledger::line::LedgerLine;
use asfound::evidence::seal::proofs;
use asfound::evidence::seal::proofs::Proofs;
use asfound::evidence::seal::statement::Statement;
use asfound::evidence::seal::statement::file_name;
use asfound::kit::digest::Digest;
use rusqlite::Connection;
use rusqlite::params;
use serde_json::Value;
use walkdir::WalkDir;

use crate::dossier::Folder;
use crate::shop::Shop;

/// A book that may be altered.
struct Book<'a> {
    root: PathBuf,
    db: Connection,
    key: &'a Key,
}

/// A dossier that may be altered; its lists are made anew afterwards by who has the key.
struct Dossier<'a> {
    files: Folder,
    key: &'a Key,
}

type InBook<'a> = &'a dyn Fn(&Book);
type InDossier<'a> = &'a dyn Fn(&mut Dossier);

impl Book<'_> {
    fn sql(&self, change: &str) {
        assert!(self.db.execute(change, []).unwrap() > 0, "{change}");
    }

    fn line(&self, no: u64, edit: &dyn Fn(&mut LedgerLine)) {
        let ask = "SELECT line FROM ledger WHERE no = ?1";
        let text: String = self.db.query_row(ask, [no], |row| row.get(0)).unwrap();
        let mut line = LedgerLine::read(&text).unwrap();
        edit(&mut line);
        let change = "UPDATE ledger SET line = ?2, leaf = ?3 WHERE no = ?1";
        let done = self
            .db
            .execute(change, params![no, line.text(), line.leaf().0]);
        assert_eq!(done.unwrap(), 1);
    }

    /// Changes what the first seal says; `signed`: its maker signs it again.
    fn seal(&self, edit: &dyn Fn(&mut Statement), signed: bool) {
        let ask = "SELECT statement, signature FROM seal WHERE no = 1";
        let old = self
            .db
            .query_row(ask, [], |row| Ok((row.get(0)?, row.get(1)?)));
        let (text, signature): (String, Vec<u8>) = old.unwrap();
        let (text, signature) = resealed(&text, signature, edit, signed, self.key);
        let change = "UPDATE seal SET statement = ?1, signature = ?2 WHERE no = 1";
        assert_eq!(
            self.db.execute(change, params![text, signature]).unwrap(),
            1
        );
        self.beside(1, "json", text.as_bytes());
        self.beside(1, "sig", &signature);
    }

    /// Writes a file of a seal as the altered record has it.
    fn beside(&self, no: u32, ending: &str, bytes: &[u8]) {
        fs::write(self.root.join("seals").join(file_name(no, ending)), bytes).unwrap();
    }

    fn find(&self, name: &str) -> PathBuf {
        let all = WalkDir::new(&self.root).into_iter().map(Result::unwrap);
        let mut found = all.filter(|it| it.file_name() == name);
        found.next().unwrap().into_path()
    }

    fn write(&self, path: &Path, bytes: &[u8]) {
        fs::remove_file(path).unwrap();
        fs::write(path, bytes).unwrap();
    }
}

impl Dossier<'_> {
    fn rows(&mut self, edit: &dyn Fn(&mut Vec<String>)) {
        let text = self.files.text(package::LINES);
        let mut rows: Vec<String> = text.lines().map(|it| format!("{it}\n")).collect();
        edit(&mut rows);
        self.files.set(package::LINES, rows.concat());
    }

    fn line(&mut self, no: usize, edit: &dyn Fn(&mut LedgerLine)) {
        self.rows(&|rows| {
            let mut line = LedgerLine::read(rows[no].trim_end()).unwrap();
            edit(&mut line);
            rows[no] = format!("{}\n", line.text());
        });
    }

    fn seal(&mut self, edit: &dyn Fn(&mut Statement), signed: bool) {
        let path = |ending: &str| package::seal_path(1, ending);
        let signature = self.files.0[&path("sig")].clone();
        let text = self.files.text(&path("json"));
        let (text, signature) = resealed(&text, signature, edit, signed, self.key);
        self.files.set(&path("json"), text);
        self.files.set(&path("sig"), signature);
    }

    fn gone(&mut self, path: &str) {
        assert!(self.files.0.remove(path).is_some(), "{path}");
    }

    fn changed(&mut self, path: &str) {
        assert!(self.files.0.contains_key(path), "{path}");
        self.files.set(path, "other bytes");
    }
}

fn resealed(
    text: &str,
    signature: Vec<u8>,
    edit: &dyn Fn(&mut Statement),
    signed: bool,
    key: &Key,
) -> (String, Vec<u8>) {
    let mut it = Statement::read(text).unwrap();
    edit(&mut it);
    let text = it.text();
    let signature = match signed {
        true => key.sign(text.as_bytes()).to_vec(),
        false => signature,
    };
    (text, signature)
}

const PHOTO: &str = "data/originals/1-purchase/IMG_2.jpg";
const TEXT: &str = "data/sidecars/1-purchase/IMG_2.jpg.toml";
const PAPER: &str = "data/kept/listing.html";
const REPORT: &str = "data/reports/buyer-01.html";

/// Number of the line about the first paper.
fn paper_line(book: &Book) -> u64 {
    line_of(book, "kept")
}

/// Number of the first line of a kind.
fn line_of(book: &Book, what: &str) -> u64 {
    let ask = format!("SELECT min(no) FROM ledger WHERE line LIKE '%\"what\":\"{what}\"%'");
    book.db.query_row(&ask, [], |row| row.get(0)).unwrap()
}

/// Row of the first line of a kind.
fn row_of(dossier: &Dossier, what: &str) -> usize {
    let text = dossier.files.text(package::LINES);
    let what = format!("\"what\":\"{what}\"");
    text.lines().position(|row| row.contains(&what)).unwrap()
}

fn renumber(line: &mut LedgerLine) {
    line.open["finding"] = "F9".into();
}

fn redate(line: &mut LedgerLine) {
    line.open["day"] = "2026-05-02".into();
}

/// Number of the line about what the other side confirmed.
fn confirmed_line(book: &Book) -> u64 {
    let ask = "SELECT min(no) FROM ledger WHERE line LIKE '%\"what\":\"countersigned\"%'";
    book.db.query_row(ask, [], |row| row.get(0)).unwrap()
}

fn without_paper(it: &mut Dossier) {
    let text = it.files.text(package::LINES);
    let is_it = |row: &&str| row.contains("\"what\":\"kept\"") && row.contains("listing.html");
    let line = LedgerLine::read(text.lines().find(is_it).unwrap()).unwrap();
    it.rows(&|rows| rows.retain(|row| row.trim_end() != line.text()));
    let mut proofs: Proofs = proofs::read(&it.files.text(package::PROOFS)).unwrap();
    proofs.lines.retain(|proof| proof.no != line.no);
    it.files.set(package::PROOFS, proofs::text(&proofs));
    it.gone(PAPER);
}

/// Name, what is done in the book, what in the dossier, the answer, and the check that gives it.
fn alterations<'a>() -> Vec<(
    &'static str,
    InBook<'a>,
    InDossier<'a>,
    &'static str,
    &'static str,
)> {
    let (altered, incomplete) = ("altered", "incomplete");
    vec![
        (
            "a line re-dated",
            &|it| it.line(2, &|line| line.at = "2026-01-01T00:00:00Z".parse().unwrap()),
            &|it| it.line(2, &|line| line.at = "2026-01-01T00:00:00Z".parse().unwrap()),
            altered,
            "inclusion",
        ),
        (
            "a line forged",
            &|it| it.line(2, &|line| line.open["bytes"] = 5.into()),
            &|it| it.line(2, &|line| line.open["bytes"] = 5.into()),
            altered,
            "inclusion",
        ),
        (
            "a finding renumbered",
            &|it| it.line(line_of(it, "finding"), &renumber),
            &|it| it.line(row_of(it, "finding"), &renumber),
            altered,
            "inclusion",
        ),
        (
            "a finding renumbered: the numbers before it have no line",
            &|it| it.line(line_of(it, "finding"), &renumber),
            &|it| it.line(row_of(it, "finding"), &renumber),
            altered,
            "numbers",
        ),
        (
            "a shoot's day changed",
            &|it| it.line(line_of(it, "shoot"), &redate),
            &|it| it.line(row_of(it, "shoot"), &redate),
            altered,
            "inclusion",
        ),
        (
            "a picture put into another shoot than its owner put it into",
            &|it| it.line(line_of(it, "moved"), &|line| line.open["shoot"] = 1.into()),
            &|it| it.line(row_of(it, "moved"), &|line| line.open["shoot"] = 1.into()),
            altered,
            "inclusion",
        ),
        (
            "another picture put elsewhere than was taken in",
            &|it| {
                let other = Digest::of(b"x").to_string();
                it.line(line_of(it, "moved"), &|line| {
                    line.open["sha256"] = other.clone().into()
                });
            },
            &|it| {
                let other = Digest::of(b"x").to_string();
                it.line(row_of(it, "moved"), &|line| {
                    line.open["sha256"] = other.clone().into()
                });
            },
            altered,
            "photos",
        ),
        (
            "a line of another kind",
            &|it| it.line(2, &|line| line.what = "other".to_owned()),
            &|it| it.line(2, &|line| line.what = "other".to_owned()),
            altered,
            "inclusion",
        ),
        (
            "another seal confirmed",
            &|it| it.line(confirmed_line(it), &|line| line.open["size"] = 5.into()),
            &|it| {
                let text = it.files.text(package::LINES);
                let is_it = |row: &str| row.contains("\"what\":\"countersigned\"");
                let row = text.lines().position(is_it).unwrap();
                it.line(row, &|line| line.open["size"] = 5.into());
            },
            altered,
            "countersigned",
        ),
        (
            "a line renumbered",
            &|it| it.line(2, &|line| line.no = 3),
            &|it| it.line(2, &|line| line.no = 3),
            altered,
            "order",
        ),
        (
            "two lines exchanged",
            &|it| {
                it.db.execute_batch("UPDATE ledger SET no = -1 WHERE no = 2; UPDATE ledger SET no = 2 WHERE no = 3; UPDATE ledger SET no = 3 WHERE no = -1").unwrap()
            },
            &|it| it.rows(&|rows| rows.swap(2, 3)),
            altered,
            "order",
        ),
        (
            "a line gone, with all that it names",
            &|it| {
                let no = paper_line(it);
                it.sql(&format!("DELETE FROM ledger WHERE no = {no}"));
                it.sql("DELETE FROM kept_file WHERE name = 'listing.html'");
                fs::remove_file(it.find("listing.html")).unwrap();
            },
            &without_paper,
            incomplete,
            "running",
        ),
        (
            "a private part changed",
            &|it| {
                it.sql("UPDATE ledger SET private = replace(private, '4711', '4712') WHERE private LIKE '%4711%'")
            },
            &|it| {
                let text = it.files.text(package::PRIVATE);
                assert!(text.contains("4711"));
                it.files.set(package::PRIVATE, text.replace("4711", "4712"));
            },
            altered,
            "private",
        ),
        (
            "a seal changed",
            &|it| it.seal(&|seal| seal.size -= 1, false),
            &|it| it.seal(&|seal| seal.size -= 1, false),
            altered,
            "signatures",
        ),
        (
            "a seal of another root",
            &|it| it.seal(&|seal| seal.root = Digest::of(b"x"), true),
            &|it| it.seal(&|seal| seal.root = Digest::of(b"x"), true),
            altered,
            "",
        ),
        (
            "a seal of another book",
            &|it| it.seal(&|seal| seal.book = Digest::of(b"x"), true),
            &|it| it.seal(&|seal| seal.book = Digest::of(b"x"), true),
            altered,
            "seals",
        ),
        (
            "a seal of another key",
            &|it| it.seal(&|seal| seal.key = Digest::of(b"x"), true),
            &|it| it.seal(&|seal| seal.key = Digest::of(b"x"), true),
            altered,
            "seals",
        ),
        (
            "a seal of a newer version",
            &|it| it.seal(&|seal| seal.v = 2, true),
            &|it| it.seal(&|seal| seal.v = 2, true),
            incomplete,
            "seals",
        ),
        (
            "a seal gone",
            &|it| it.sql("DELETE FROM seal WHERE no = 1"),
            &|it| {
                ["json", "sig"]
                    .into_iter()
                    .for_each(|ending| it.gone(&package::seal_path(1, ending)))
            },
            incomplete,
            "seals",
        ),
        (
            "a signature cut off",
            &|it| it.sql("UPDATE seal SET signature = x'' WHERE no = 1"),
            &|it| it.files.set(&package::seal_path(1, "sig"), ""),
            altered,
            "signatures",
        ),
        (
            "a stamp that is none",
            &|it| it.sql("UPDATE seal SET reply = x'3000' WHERE no = 1"),
            &|it| it.files.set(&package::seal_path(1, "tsr"), [0x30, 0]),
            altered,
            "stamps",
        ),
        (
            "the key gone",
            &|it| fs::remove_file(it.root.join("seals/book-key.pem")).unwrap(),
            &|it| it.gone(package::KEY),
            incomplete,
            "signatures",
        ),
        (
            "a stranger's key",
            &|it| {
                fs::write(
                    it.root.join("seals/book-key.pem"),
                    Key::from_seed(&[9; 32]).public().pem(),
                )
                .unwrap()
            },
            &|it| {
                it.files
                    .set(package::KEY, Key::from_seed(&[9; 32]).public().pem())
            },
            altered,
            "signatures",
        ),
        (
            "an original changed",
            &|it| it.write(&it.find("IMG_2.jpg"), b"other bytes"),
            &|it| it.changed(PHOTO),
            altered,
            "originals",
        ),
        (
            "an original gone",
            &|it| fs::remove_file(it.find("IMG_2.jpg")).unwrap(),
            &|it| it.gone(PHOTO),
            incomplete,
            "photos",
        ),
        (
            "a sidecar's text changed",
            &|it| {
                it.sql(
                    "UPDATE sidecar_text SET text = text || ' ' WHERE text LIKE '%identity_mark%'",
                )
            },
            &|it| it.changed(TEXT),
            altered,
            "sidecars",
        ),
        (
            "a sidecar's text gone",
            &|it| it.sql("DELETE FROM sidecar_text WHERE text LIKE '%top_flat%'"),
            &|it| it.gone("data/sidecars/1-purchase/IMG_3.jpg.toml"),
            incomplete,
            "sidecars",
        ),
        (
            "a paper changed",
            &|it| it.write(&it.find("listing.html"), b"other bytes"),
            &|it| it.changed(PAPER),
            altered,
            "kept",
        ),
        (
            "a paper gone",
            &|it| fs::remove_file(it.find("listing.html")).unwrap(),
            &|it| it.gone(PAPER),
            incomplete,
            "kept",
        ),
        (
            "a report changed",
            &|it| {
                let ask = "SELECT path FROM edition WHERE reader = 'buyer' AND no = 1";
                let path: String = it.db.query_row(ask, [], |row| row.get(0)).unwrap();
                it.write(&it.root.join(path), b"other bytes");
            },
            &|it| it.changed(REPORT),
            altered,
            "reports",
        ),
    ]
}

fn copy(from: &Path, to: &Path) {
    for it in WalkDir::new(from).into_iter().map(Result::unwrap) {
        let path = to.join(it.path().strip_prefix(from).unwrap());
        match it.file_type().is_dir() {
            true => fs::create_dir_all(path).unwrap(),
            false => drop(fs::copy(it.path(), path).unwrap()),
        }
    }
}

fn write_zip(files: &Folder, to: &Path) {
    let mut zip = zip::ZipWriter::new(fs::File::create(to).unwrap());
    for (path, bytes) in &files.0 {
        let options = zip::write::SimpleFileOptions::default();
        zip.start_file(format!("dossier/{path}"), options).unwrap();
        std::io::Write::write_all(&mut zip, bytes).unwrap();
    }
    zip.finish().unwrap();
}

/// The verdict, and the codes of what is missing or wrong.
fn answer(shop: &Shop, path: &Path) -> (String, Vec<String>, Value) {
    let found = shop
        .run(&["verify".as_ref(), path.as_os_str(), "--json".as_ref()])
        .json();
    let checks = found["checks"].as_array().unwrap().iter();
    let bad = checks.filter(|it| it["ok"] == false);
    let codes = bad
        .map(|it| it["code"].as_str().unwrap().to_owned())
        .collect();
    (found["verdict"].as_str().unwrap().to_owned(), codes, found)
}

#[test]
fn the_same_alteration_gets_the_same_answer() {
    let shop = crate::proof::shop();
    for (name, text) in [("listing.html", "for 390"), ("thread.txt", "is it solid?")] {
        shop.file(name, text.as_bytes());
        let paper = shop.card(name).display().to_string();
        shop.run(&["keep", "26-001", &paper]).code(0);
    }
    shop.run(&["amend", "26-001", "--photo", "4", "--stage", "work"])
        .code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["repair", "26-001", "--again", "1", "--note", "anew"])
        .code(0);
    shop.file("signed.jpg", &[0xff, 0xd8, 0xff, 1]);
    let paper = shop.card("signed.jpg").display().to_string();
    shop.run(&[
        "keep",
        "26-001",
        &paper,
        "--signed-by",
        "buyer",
        "--seal",
        "1",
    ])
    .code(0);
    shop.run(&["seal"]).code(0);
    let out = shop.path("sent").display().to_string();
    let sent = crate::proof::folder(&shop, &["--with-private", "--out", &out]);
    let dossier = Folder(crate::proof::files(&sent));
    let text = fs::read_to_string(shop.path("book/book.key")).unwrap();
    let key = file::read(&text, None).unwrap();
    let good = shop.path("book");
    for path in [&good, &sent] {
        let (verdict, codes, found) = answer(&shop, path);
        assert_eq!(
            (verdict.as_str(), codes.len()),
            ("intact, not time-stamped", 0),
            "{found:#}"
        );
    }
    let mut wrong = Vec::new();
    for (n, (name, in_book, in_dossier, want, code)) in alterations().into_iter().enumerate() {
        let root = shop.path(&format!("book {n}"));
        copy(&good, &root);
        let db = Connection::open(root.join("book.db")).unwrap();
        db.execute_batch(
            "PRAGMA foreign_keys = OFF; DROP TRIGGER ledger_stays; DROP TRIGGER ledger_keeps",
        )
        .unwrap();
        let book = Book {
            root,
            db,
            key: &key,
        };
        in_book(&book);
        let mut altered = Dossier {
            files: dossier.clone(),
            key: &key,
        };
        in_dossier(&mut altered);
        let to = shop.path(&format!("dossier {n}"));
        let anew = altered.files.listed_anew(Some(&key));
        anew.write_out(&to);
        let zip = shop.path(&format!("dossier {n}.zip"));
        write_zip(&anew, &zip);
        for path in [&book.root, &to, &zip] {
            let (verdict, codes, found) = answer(&shop, path);
            let named = code.is_empty() || codes.iter().any(|it| it == code);
            if verdict != want || !named {
                wrong.push(format!(
                    "{name}: {}: {verdict}, not {want} by `{code}`: {:#}",
                    path.display(),
                    found["checks"]
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What only a book has: the files of its seals and its sidecars, beside the record. Name, what is done, the answer, and the check.
fn in_a_book<'a>() -> Vec<(&'static str, InBook<'a>, &'static str, &'static str)> {
    vec![
        (
            "a seal's file gone",
            &|it| fs::remove_file(it.root.join("seals/seal-0001.json")).unwrap(),
            "incomplete",
            "`seals/seal-0001.json` is not there; `asfound seal` writes it again",
        ),
        (
            "a seal's file damaged",
            &|it| it.beside(2, "json", b"{"),
            "altered",
            "`seals/seal-0002.json` has other bytes than seal 2 of the record",
        ),
        (
            "a request exchanged",
            &|it| {
                it.beside(
                    2,
                    "tsq",
                    &fs::read(it.root.join("seals/seal-0001.tsq")).unwrap(),
                )
            },
            "altered",
            "`seals/seal-0002.tsq` has other bytes",
        ),
        (
            "a folder in the place of a signature",
            &|it| {
                let path = it.root.join("seals/seal-0001.sig");
                fs::remove_file(&path).unwrap();
                fs::create_dir(path).unwrap();
            },
            "altered",
            "`seals/seal-0001.sig` has other bytes",
        ),
        (
            "an older record put back",
            &|it| it.sql("DELETE FROM seal WHERE no = 2"),
            "altered",
            "`seals/seal-0002.json` is of a seal that the record does not know, signed with the key that it names",
        ),
        (
            "a withdrawal taken out of the record",
            &|it| it.sql("DELETE FROM withdrawn_piece"),
            "altered",
            "26-001: that it was withdrawn is not what the ledger says",
        ),
        (
            "another reason for a withdrawal",
            &|it| it.sql("UPDATE withdrawn_piece SET why = 'x'"),
            "altered",
            "26-001: that it was withdrawn is not what the ledger says",
        ),
        (
            "a number given twice",
            &|it| {
                let text = fs::read_to_string(it.root.join("seals/seal-0002.json")).unwrap();
                let change = |it: &mut Statement| it.root = Digest::of(b"other");
                let (text, signature) = resealed(&text, Vec::new(), &change, true, it.key);
                it.beside(2, "json", text.as_bytes());
                it.beside(2, "sig", &signature);
            },
            "altered",
            "`seals/seal-0002.json` is another seal 2 than the one in the record",
        ),
        (
            "a sidecar deleted",
            &|it| fs::remove_file(it.find("IMG_3.jpg.toml")).unwrap(),
            "incomplete",
            "IMG_3.jpg.toml` is not there",
        ),
        (
            "a folder in the place of a sidecar",
            &|it| {
                let path = it.find("IMG_3.jpg.toml");
                fs::remove_file(&path).unwrap();
                fs::create_dir(path).unwrap();
            },
            "incomplete",
            "IMG_3.jpg.toml` is not there",
        ),
        (
            "a sidecar changed that kept its time and length",
            &|it| {
                let path = it.find("IMG_3.jpg.toml");
                let text = fs::read_to_string(&path).unwrap();
                let time = fs::metadata(&path).unwrap().modified().unwrap();
                fs::write(&path, text.replace("top_flat", "top_fla_")).unwrap();
                let file = fs::File::options().append(true).open(&path).unwrap();
                file.set_modified(time).unwrap();
            },
            "incomplete",
            "its length and time are still those",
        ),
    ]
}

/// What changes nothing that is read or shown.
fn harmless<'a>() -> Vec<(&'static str, InBook<'a>)> {
    vec![
        ("litter among the seals", &|it| {
            for name in [".DS_Store", "note.txt", "seal-0001 (copy).json"] {
                fs::write(it.root.join("seals").join(name), "x").unwrap();
            }
        }),
        ("a reply laid beside its seal", &|it| {
            it.beside(2, "tsr", b"as it came");
        }),
        ("new times", &|it| {
            for path in ["seals/seal-0001.json", "seals/seal-0002.sig", "book.key"] {
                let file = fs::File::options().append(true).open(it.root.join(path));
                file.unwrap()
                    .set_modified(std::time::SystemTime::UNIX_EPOCH)
                    .unwrap();
            }
        }),
        ("no previews", &|it| {
            fs::remove_file(it.root.join("previews.db")).unwrap();
        }),
    ]
}

#[test]
fn what_only_a_book_has_is_checked_and_a_seal_writes_over_nothing() {
    let shop = crate::proof::shop();
    shop.run(&["seal"]).code(0);
    shop.run(&["repair", "26-001", "--again", "1", "--note", "anew"])
        .code(0);
    shop.run(&["remove", "26-001", "--piece", "--why", "taken in twice"])
        .code(0);
    shop.run(&["seal"]).code(0);
    let text = fs::read_to_string(shop.path("book/book.key")).unwrap();
    let key = file::read(&text, None).unwrap();
    let good = shop.path("book");
    let altered = |name: &str, change: InBook| {
        let root = shop.path(name);
        copy(&good, &root);
        // The copies have the times of the files that were read.
        for it in WalkDir::new(&good).into_iter().map(Result::unwrap) {
            let to = root.join(it.path().strip_prefix(&good).unwrap());
            let time = it.metadata().unwrap().modified().unwrap();
            if let Ok(file) = fs::File::options().append(true).open(to) {
                file.set_modified(time).unwrap();
            }
        }
        let db = Connection::open(root.join("book.db")).unwrap();
        let book = Book {
            root,
            db,
            key: &key,
        };
        change(&book);
        book.root
    };
    for (name, change, want, says) in in_a_book() {
        let root = altered(name, change);
        let (verdict, _, found) = answer(&shop, &root);
        assert_eq!(verdict, want, "{name}: {:#}", found["checks"]);
        let checks = found["checks"].as_array().unwrap().iter();
        let mut bad = checks.filter(|it| it["ok"] == false);
        assert!(
            bad.any(|it| it["about"].as_str().unwrap().contains(says)),
            "{name}: {:#}",
            found["checks"]
        );
        let files = |root: &Path| crate::proof::files(&root.join("seals"));
        let before = files(&root);
        let sealed = shop.run_in(&root, &["seal"]);
        match name {
            "a seal's file gone" => {
                sealed.code(0);
                assert_eq!(files(&root), files(&good), "{name}");
            }
            _ if says.contains("seals/") => {
                sealed.code(2).says("nothing was sealed").says(match name {
                    "an older record put back" => "Put the newest `book.db` back",
                    _ => "Move the file out of `seals`",
                });
                assert_eq!(files(&root), before, "{name}");
            }
            _ => assert!(files(&root).len() >= before.len()),
        }
    }
    for (name, change) in harmless() {
        let root = altered(name, change);
        let (verdict, codes, found) = answer(&shop, &root);
        assert_eq!(
            (verdict.as_str(), codes.len()),
            ("intact, not time-stamped", 0),
            "{name}: {found:#}"
        );
        shop.run_in(&root, &["seal"]).code(0);
    }
}
