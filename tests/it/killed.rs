//! Commands that are killed: what was in is whole, and the second run gives what one clean run would have given.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::time::Instant;

use rusqlite::Connection;
use rusqlite::types::Value;
use serde_json::Value as Json;
use walkdir::WalkDir;

use crate::shop::Shop;

/// Kills of each command, spread over the time that it takes.
const KILLS: u32 = 9;

const COMMANDS: [&[&str]; 4] = [
    &[
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ],
    &[
        "repair",
        "26-001",
        "F1",
        "--method",
        "clean_wax",
        "--day",
        "2026-05-04",
        "--minutes",
        "40",
    ],
    &["report", "26-001"],
    &["seal"],
];

/// What a book holds, but for what chance gives it: salts, nonces, the key, and what follows from them.
#[derive(Debug, PartialEq)]
struct Held {
    rows: BTreeMap<&'static str, Vec<Vec<Value>>>,
    lines: Vec<(Json, Json, Json)>,
    files: BTreeMap<String, Vec<u8>>,
}

fn held(book: &Path) -> Held {
    let db = Connection::open(book.join("book.db")).unwrap();
    let rows = |ask: &str| -> Vec<Vec<Value>> {
        let mut ask = db.prepare(ask).unwrap();
        let columns = ask.column_count();
        let rows = ask.query_map([], |row| (0..columns).map(|at| row.get(at)).collect());
        rows.unwrap().map(Result::unwrap).collect()
    };
    let tables = [
        ("shoot", "SELECT * FROM shoot ORDER BY piece, no"),
        ("photo", "SELECT * FROM photo ORDER BY piece, no"),
        (
            "text",
            "SELECT photo, text, content FROM sidecar_text ORDER BY id",
        ),
        ("finding", "SELECT * FROM finding ORDER BY piece, no"),
        ("repair", "SELECT * FROM repair ORDER BY piece, no"),
        (
            "edition",
            "SELECT * FROM edition ORDER BY piece, reader, no",
        ),
        (
            "stated",
            "SELECT * FROM edition_stated ORDER BY piece, reader, no",
        ),
        ("seal", "SELECT no FROM seal ORDER BY no"),
    ];
    let lines = rows("SELECT line FROM ledger ORDER BY no");
    let lines = lines.iter().map(|row| {
        let [Value::Text(line)] = &row[..] else {
            panic!("a line is a text")
        };
        let line: Json = serde_json::from_str(line).unwrap();
        (
            line["what"].clone(),
            line["piece"].clone(),
            line["open"].clone(),
        )
    });
    let mut files = BTreeMap::new();
    for it in WalkDir::new(book).into_iter().map(Result::unwrap) {
        let name = it
            .path()
            .strip_prefix(book)
            .unwrap()
            .to_string_lossy()
            .into_owned();
        // The database is looked at by its rows; locks hold nothing.
        if !it.file_type().is_file()
            || name.starts_with("book.db")
            || name.starts_with("previews.db")
            || name == ".book.lock"
        {
            continue;
        }
        let by_chance = name == "book.key" || name.starts_with("seals");
        let bytes = match by_chance {
            true => Vec::new(),
            false => fs::read(it.path()).unwrap(),
        };
        files.insert(name, bytes);
    }
    Held {
        rows: tables.map(|(name, ask)| (name, rows(ask))).into(),
        lines: lines.collect(),
        files,
    }
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

/// The book before each command, the time that it took, and the book after it.
fn killed(
    shop: &Shop,
    words: &[&str],
    before: &Path,
    clean: &Held,
    at: std::time::Duration,
) -> bool {
    let book = shop.path("book");
    fs::remove_dir_all(&book).unwrap();
    copy(before, &book);
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    let command = command.args(words).current_dir(&book);
    let mut child = command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(at);
    child.kill().unwrap();
    let ended = child.wait().unwrap();
    shop.run(words);
    let after = held(&book);
    assert_eq!(after.rows, clean.rows, "{words:?} killed after {at:?}");
    assert_eq!(after.lines, clean.lines, "{words:?} killed after {at:?}");
    assert_eq!(
        after.files.keys().collect::<Vec<_>>(),
        clean.files.keys().collect::<Vec<_>>(),
        "{words:?} killed after {at:?}"
    );
    assert!(
        after.files == clean.files,
        "{words:?} killed after {at:?}: other bytes"
    );
    ended.code().is_none()
}

#[test]
fn a_killed_command_repeated_gives_what_one_clean_run_gives() {
    let shop = Shop::with_piece();
    let legs = "\"leg-front-left\", \"leg-front-right\", \"leg-back-left\", \"leg-back-right\"";
    shop.photo("IMG_1.jpg", |_| ()).photo("IMG_2.jpg", |_| ());
    let front = format!(
        "view = \"front_whole\"\nsound = [{legs}]\n[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\n"
    );
    shop.file("IMG_1.jpg.toml", front.as_bytes());
    shop.file(
        "IMG_2.jpg.toml",
        b"view = \"identity_mark\"\nparts = [\"top\"]\n",
    );
    let mut kills = 0;
    for (n, words) in COMMANDS.iter().enumerate() {
        let before = shop.path(&format!("before {n}"));
        copy(&shop.path("book"), &before);
        let begun = Instant::now();
        shop.run(words);
        let took = begun.elapsed();
        let after = shop.path(&format!("after {n}"));
        copy(&shop.path("book"), &after);
        let clean = held(&after);
        for turn in 0..KILLS {
            kills += u32::from(killed(&shop, words, &before, &clean, took * turn / KILLS));
        }
    }
    assert!(
        kills >= COMMANDS.len() as u32,
        "{kills} were killed in time"
    );
    // A seal whose files are gone gets them back from the next seal, whichever it is.
    shop.piece("oak stool");
    shop.run(&["seal"]).code(0);
    for name in [
        "seal-0001.json",
        "seal-0001.sig",
        "seal-0002.tsq",
        "book-key.pem",
    ] {
        fs::remove_file(shop.path(&format!("book/seals/{name}"))).unwrap();
    }
    shop.run(&["seal"]).code(0);
    for name in [
        "seal-0001.json",
        "seal-0001.sig",
        "seal-0002.tsq",
        "book-key.pem",
    ] {
        assert!(shop.path(&format!("book/seals/{name}")).exists(), "{name}");
    }
}
