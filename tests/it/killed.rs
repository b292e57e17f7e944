//! Commands that are killed: what was in is whole, and the second run gives what one clean run would have given.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::process::Stdio;
use std::time::Instant;

use rusqlite::Connection;
use rusqlite::types::Value;
use serde_json::Value as Json;
use walkdir::WalkDir;

use crate::shop::Ran;
use crate::shop::Shop;

/// Kills of each command in a usual run, spread over the time that it takes; `ASFOUND_KILLS=40` makes more.
const KILLS: u32 = 5;

const COMMANDS: [&[&str]; 14] = [
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
    &["keep", "26-001", "../card/IMG_1.jpg.toml"],
    &["seal"],
    &["seal", "--new-key"],
    &["key", "--set-passphrase"],
    &["sold", "26-001", "--on", "2026-05-26", "--price", "390"],
    &["amend", "26-001", "--weight", "12 kg"],
    &["amend", "26-001", "--photo", "2", "--stage", "delivery"],
    &[
        "remove",
        "26-001",
        "--photo",
        "2",
        "--why",
        "a person in it",
    ],
    &["amend", "26-001", "--shoot", "1", "--stage", "sale"],
    &["remove", "26-002", "--piece", "--why", "taken in twice"],
    &["put-back", "26-002", "--piece"],
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
        ("moved", "SELECT * FROM moved_photo ORDER BY piece, no"),
        ("withdrawn", "SELECT piece, why FROM withdrawn_piece"),
    ];
    let lines = rows("SELECT line FROM ledger ORDER BY no");
    let lines = lines.iter().map(|row| {
        let [Value::Text(line)] = &row[..] else {
            panic!("a line is a text")
        };
        let line: Json = serde_json::from_str(line).unwrap();
        let open = match line["what"] == "key" {
            true => line["open"]["signature"].is_string().into(),
            false => line["open"].clone(),
        };
        (line["what"].clone(), line["piece"].clone(), open)
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
        let by_chance = name.starts_with("book.key") || name.starts_with("seals");
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

fn command(shop: &Shop, words: &[&str]) -> Command {
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command.args(words);
    if words[0] == "key" {
        command.env("ASFOUND_NEW_PASSPHRASE", "long words in a row");
    }
    command
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
    let mut command = command(shop, words);
    let mut child = command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(at);
    child.kill().unwrap();
    let ended = child.wait().unwrap();
    Ran::of(&mut self::command(shop, words));
    let after = held(&book);
    assert!(
        after.rows == clean.rows,
        "{words:?} killed after {at:?}: other rows"
    );
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

/// Seals with the passphrase that was set.
fn sealed(shop: &Shop) {
    let mut command = command(shop, &["seal"]);
    command.env("ASFOUND_PASSPHRASE", "long words in a row");
    Ran::of(&mut command).code(0);
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
    shop.piece("walnut table, again");
    let mut kills = 0;
    let told = std::env::var("ASFOUND_KILLS").ok();
    let each = told.and_then(|it| it.parse().ok()).unwrap_or(KILLS);
    for (n, words) in COMMANDS.iter().enumerate() {
        let before = shop.path(&format!("before {n}"));
        copy(&shop.path("book"), &before);
        let begun = Instant::now();
        Ran::of(&mut command(&shop, words));
        let took = begun.elapsed();
        let after = shop.path(&format!("after {n}"));
        copy(&shop.path("book"), &after);
        let clean = held(&after);
        for turn in 0..each {
            kills += u32::from(killed(&shop, words, &before, &clean, took * turn / each));
        }
    }
    assert!(
        kills >= COMMANDS.len() as u32,
        "{kills} were killed in time"
    );
    crate::shop::say(&format!(
        "{kills} were killed of {}",
        each * COMMANDS.len() as u32
    ));
    // A seal whose files are gone gets them back from the next seal, whichever it is.
    shop.piece("oak stool");
    sealed(&shop);
    for name in [
        "seal-0001.json",
        "seal-0001.sig",
        "seal-0002.tsq",
        "book-key.pem",
    ] {
        fs::remove_file(shop.path(&format!("book/seals/{name}"))).unwrap();
    }
    sealed(&shop);
    for name in [
        "seal-0001.json",
        "seal-0001.sig",
        "seal-0002.tsq",
        "book-key.pem",
    ] {
        assert!(shop.path(&format!("book/seals/{name}")).exists(), "{name}");
    }
}

/// Killed between the row and the files, a removal is finished by saying it again; said once more, it is told that it is out.
#[test]
fn a_removal_that_was_cut_off_is_finished() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ()).photo("IMG_2.jpg", |_| ());
    shop.import().code(0);
    let words = [
        "remove",
        "26-001",
        "--photo",
        "2",
        "--why",
        "a person in it",
    ];
    shop.run(&words).code(0);
    let clean = held(&shop.path("book"));
    let out: Vec<_> = clean
        .files
        .keys()
        .filter(|it| it.contains("/removed/"))
        .collect();
    assert_eq!(out.len(), 2, "{out:?}");
    let shoot = clean
        .files
        .keys()
        .find(|it| it.ends_with("/IMG_1.jpg"))
        .unwrap();
    // The original still lies in its shoot, and then only what is written beside it.
    for left in [&out[..], &out[1..]] {
        for name in left {
            let own = name.rsplit_once("/0002 ").unwrap().1;
            let back = shoot.replace("IMG_1.jpg", own);
            let book = shop.path("book");
            fs::rename(book.join(name), book.join(back)).unwrap();
        }
        shop.run(&words).code(0);
        let after = held(&shop.path("book"));
        assert_eq!((&after.rows, &after.lines), (&clean.rows, &clean.lines));
        assert_eq!(after.files, clean.files);
    }
    shop.run(&words).code(2).stderr(
        "could not: picture 2 is out of 26-001 already\n  `asfound put-back 26-001 --photo 2` brings it back\n",
    );
}

/// Killed between the row and the copies that were set aside, a put-back is finished by saying it again.
#[test]
fn a_put_back_that_was_cut_off_is_finished() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ()).photo("IMG_2.jpg", |_| ());
    shop.import().code(0);
    let out = ["remove", "26-001", "--photo", "2", "--why", "a face"];
    shop.run(&out).code(0);
    let aside = held(&shop.path("book")).files;
    let aside = aside.into_iter().filter(|it| it.0.contains("/removed/"));
    let aside: Vec<_> = aside.collect();
    assert_eq!(aside.len(), 2);
    let words = ["put-back", "26-001", "--photo", "2"];
    shop.run(&words).code(0);
    let clean = held(&shop.path("book"));
    for left in [&aside[..], &aside[..1], &aside[1..]] {
        for (name, bytes) in left {
            fs::write(shop.path("book").join(name), bytes).unwrap();
        }
        shop.run(&words).code(0);
        let after = held(&shop.path("book"));
        assert_eq!((&after.rows, &after.lines), (&clean.rows, &clean.lines));
        assert_eq!(after.files, clean.files);
    }
    shop.run(&words).code(2);
}
