//! A book that can only be read: by its rights, for somebody who may not write.

use std::fs;
use std::fs::Permissions;
use std::os::unix::fs::MetadataExt as _;
use std::os::unix::fs::PermissionsExt as _;
use std::os::unix::process::CommandExt as _;
use std::path::Path;
use std::path::PathBuf;

use crate::shop::Ran;
use crate::shop::Shop;

/// Nobody's number, by the habit of Linux and the BSDs.
const NOBODY: u32 = 65534;

fn set(path: &Path, mode: u32) {
    fs::set_permissions(path, Permissions::from_mode(mode)).unwrap();
}

/// Files and folders below `folder`, itself included, the inner ones first.
fn all(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(all(&path));
        } else {
            found.push(path);
        }
    }
    found.push(folder.to_owned());
    found
}

/// A shop whose book lets nobody write; its files can be changed again by [`Closed::change`].
struct Closed {
    shop: Shop,
    program: PathBuf,
}

impl Closed {
    fn new(shop: Shop) -> Self {
        // Somebody else must reach the program and the book.
        let program = shop.path("asfound");
        fs::copy(env!("CARGO_BIN_EXE_asfound"), &program).unwrap();
        set(&shop.path(""), 0o755);
        let closed = Self { shop, program };
        closed.close();
        closed
    }

    fn close(&self) {
        for path in all(&self.shop.path("book")) {
            set(&path, if path.is_dir() { 0o555 } else { 0o444 });
        }
    }

    fn open(&self) {
        let paths = all(&self.shop.path("book"));
        for path in paths.iter().rev() {
            set(path, if path.is_dir() { 0o755 } else { 0o644 });
        }
    }

    fn change(&self, job: impl FnOnce(&Shop)) {
        self.open();
        job(&self.shop);
        self.close();
    }

    /// Runs the program as somebody whom the rights bind: root may write whatever they say.
    fn run(&self, words: &[&str]) -> Ran {
        let mut command = self.shop.command(self.program.to_str().unwrap());
        command.args(words);
        if fs::metadata(self.shop.path("")).unwrap().uid() == 0 {
            command.uid(NOBODY).gid(NOBODY);
        }
        Ran::of(&mut command)
    }
}

impl Drop for Closed {
    fn drop(&mut self) {
        // Else the folder could not be taken away.
        self.open();
    }
}

const SIDECAR: &str = "1 purchase 2026-05-03/IMG_2.jpg.toml";

#[test]
fn a_book_that_can_only_be_read_is_surveyed_listed_and_checked() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["seal"]).code(0);
    let before = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    let closed = Closed::new(shop);
    let files = all(&closed.shop.path("book"));
    let stock = closed.run(&["stock", "--json"]).code(0).json();
    assert_eq!(stock[0]["photos"], 2);
    let survey = closed.run(&["survey", "26-001", "--json"]);
    assert_eq!(survey.code(0).json(), before);
    closed.run(&["verify"]).code(0);
    assert_eq!(
        all(&closed.shop.path("book")),
        files,
        "nothing is laid there"
    );
    closed.run(&["estimate", "26-001"]).code(1);
    closed.run(&["season", "26-001"]).code(0);
    // What would have to be written is refused before anything is, with what to do.
    let paper = closed.shop.path("card/IMG_1.jpg");
    closed
        .run(&["keep", "26-001", paper.to_str().unwrap()])
        .code(2)
        .says("the book cannot be written to here; copy it");
    closed
        .run(&["amend", "26-001", "--weight", "12 kg"])
        .code(2)
        .says("the book cannot be written to here; copy it");
}

#[test]
fn a_sidecar_that_cannot_be_taken_in_is_named_and_stays() {
    let shop = Shop::with_piece();
    shop.ready("");
    let closed = Closed::new(shop);
    let text = "view = \"identity_mark\"\nparts = [\"top\"]\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nlevel = 2\n";
    closed.change(|shop| fs::write(shop.stored(SIDECAR), text).unwrap());
    let survey = closed.run(&["survey", "26-001", "--json"]).code(1).json();
    assert_eq!(survey["unread_sidecars"], serde_json::json!([SIDECAR]));
    assert_eq!(survey["findings"], serde_json::json!([]));
    closed.run(&["survey", "26-001"]).code(1).says(&format!(
        "the sidecar `{SIDECAR}` was changed and is not taken in: the book cannot be written to here"
    ));
    // A command that would pass over it says so rather than answer without it.
    closed.run(&["estimate", "26-001"]).code(2).says(&format!(
        "the sidecar `{SIDECAR}` was changed and cannot be taken in"
    ));
    closed
        .run(&["verify"])
        .code(1)
        .says("1 sidecar was changed since and is in no line");
    // Where it can be written again, nothing was lost.
    closed.open();
    let survey = closed.shop.run(&["survey", "26-001", "--json"]).code(0);
    assert_eq!(survey.json()["findings"][0]["tag"], "gouge");
}

#[test]
fn a_text_with_another_time_is_no_change() {
    let shop = Shop::with_piece();
    shop.ready("");
    let closed = Closed::new(shop);
    closed.change(|shop| {
        let path = shop.stored(SIDECAR);
        let text = fs::read(&path).unwrap();
        fs::write(&path, text).unwrap();
    });
    let survey = closed.run(&["survey", "26-001", "--json"]).code(0).json();
    assert_eq!(survey["unread_sidecars"], serde_json::json!([]));
}

/// Changes that a killed program left beside the database belong to it: without them the book would be an older one.
#[test]
fn changes_beside_the_database_are_read_or_refused_never_passed_over() {
    let shop = Shop::with_piece();
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    db.pragma_update(None, "wal_autocheckpoint", 0).unwrap();
    let reading = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    reading.execute_batch("BEGIN; SELECT * FROM piece").unwrap();
    shop.run(&["intake", "oak stool", "--form", "side_table"])
        .code(0);
    assert!(shop.path("book/book.db-wal").metadata().unwrap().len() > 0);
    let closed = Closed::new(shop);
    let stock = closed.run(&["stock", "--json"]).code(0).json();
    assert_eq!(stock.as_array().unwrap().len(), 2);
    closed.change(|shop| fs::remove_file(shop.path("book/book.db-shm")).unwrap());
    closed
        .run(&["stock"])
        .code(2)
        .says("was not closed properly, and cannot be written to here");
}
