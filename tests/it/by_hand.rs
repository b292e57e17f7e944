//! The database changed by hand: every column of every table, rows taken out, rows invented. `verify` names each, but for a short list of
//! columns on which nothing rests that is read or shown.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeSet;
use std::fs;

use rusqlite::Connection;
use rusqlite::types::Value;

use crate::shop::Shop;

/// Columns of which `verify` need say nothing, and why. `*` is every column, and every row.
const HARMLESS: [(&str, &str, &str); 7] = [
    (
        "source_seen",
        "*",
        "what lay in a source, so that it need not be read again; nothing that is shown rests on it",
    ),
    (
        "sidecar_seen",
        "modified_ns",
        "spares reading; another value makes the file be read",
    ),
    (
        "sidecar_seen",
        "bytes",
        "spares reading; another value makes the file be read",
    ),
    (
        "sidecar_text",
        "id",
        "a row number: only the order of a picture's texts counts, and that is compared",
    ),
    (
        "sidecar_text",
        "absorbed",
        "nothing reads it; the line of the text has the moment",
    ),
    (
        "photo",
        "source_name",
        "nothing shows it; it only helps its owner to find the file again",
    ),
    (
        "kept_file",
        "no",
        "nothing shows the order; a paper is known by its name",
    ),
];

/// Rows that never were, by table.
const INVENTED: [(&str, &str); 19] = [
    (
        "piece",
        "INSERT INTO piece SELECT id + 100, '26-099', title, form, 'x', taken_in,
           json_set(told, '$.stock_no', '26-099', '$.folder', 'x') FROM piece LIMIT 1",
    ),
    (
        "shoot",
        "INSERT INTO shoot SELECT id + 100, piece, no + 100, stage, day, 'x' FROM shoot LIMIT 1",
    ),
    (
        "photo",
        "INSERT INTO photo SELECT id + 100, piece, shoot, no + 100, 'x.jpg', 'x.jpg', randomblob(32), bytes, facts, clock_off, imported
         FROM photo LIMIT 1",
    ),
    (
        "sidecar_text",
        "INSERT INTO sidecar_text SELECT id + 100, photo, absorbed, text, content FROM sidecar_text LIMIT 1",
    ),
    (
        "sidecar_seen",
        "INSERT INTO sidecar_seen SELECT photo + 100, modified_ns, bytes, in_force, complaints FROM sidecar_seen LIMIT 1",
    ),
    (
        "finding",
        "INSERT INTO finding SELECT piece, no + 100, part, tag, 'x' FROM finding LIMIT 1",
    ),
    (
        "repair",
        "INSERT INTO repair SELECT piece, no + 100, day, json_set(told, '$.no', no + 100) FROM repair LIMIT 1",
    ),
    (
        "edition",
        "INSERT INTO edition SELECT piece, reader, no + 100, made, digest, path FROM edition LIMIT 1",
    ),
    (
        "edition_stated",
        "INSERT INTO edition_stated SELECT piece, reader, no + 100, stated FROM edition_stated LIMIT 1",
    ),
    (
        "ledger",
        "INSERT INTO ledger SELECT (SELECT max(no) FROM ledger) + 1, line, leaf, piece, private FROM ledger WHERE no = 3",
    ),
    (
        "seal",
        "INSERT INTO seal SELECT no + 100, statement, signature, request, reply, stamped FROM seal LIMIT 1",
    ),
    (
        "removed_photo",
        "INSERT INTO removed_photo SELECT piece, no, name, digest, 'x', imported FROM photo WHERE no = 1",
    ),
    (
        "removed_photo",
        "INSERT INTO removed_photo SELECT piece, 99, name, digest, 'x', imported FROM photo WHERE no = 1",
    ),
    (
        "moved_photo",
        "INSERT INTO moved_photo SELECT piece, 1, shoot, moved FROM moved_photo LIMIT 1",
    ),
    (
        "moved_photo",
        "INSERT INTO moved_photo SELECT piece, 99, shoot, moved FROM moved_photo LIMIT 1",
    ),
    (
        "kept_file",
        "INSERT INTO kept_file SELECT piece, no + 100, 'x', digest, kept FROM kept_file LIMIT 1",
    ),
    (
        "sale",
        "INSERT INTO sale SELECT piece + 1, day, told FROM sale LIMIT 1",
    ),
    (
        "withdrawn_piece",
        "INSERT INTO withdrawn_piece SELECT piece - 1, why, withdrawn FROM withdrawn_piece LIMIT 1",
    ),
    (
        "source_seen",
        "INSERT INTO source_seen SELECT piece, x'78', bytes, modified_ns, digest FROM source_seen LIMIT 1",
    ),
];

pub(crate) fn is_harmless(table: &str, column: &str) -> bool {
    let mut all = HARMLESS.iter();
    all.any(|it| it.0 == table && [column, "*"].contains(&it.1))
}

/// A book that has a row in every table.
struct Bench {
    shop: Shop,
    /// The database as it was.
    good: Vec<u8>,
    /// What `verify` says of it.
    said: BTreeSet<String>,
}

impl Bench {
    fn new() -> Self {
        let shop = crate::proof::shop();
        shop.piece("oak stool");
        shop.file("listing.html", b"for 390");
        let paper = shop.card("listing.html").display().to_string();
        for no in ["26-001", "26-002"] {
            shop.run(&["keep", no, &paper]).code(0);
        }
        shop.run(&["amend", "26-001", "--photo", "4", "--stage", "work"])
            .code(0);
        shop.run(&[
            "remove",
            "26-001",
            "--photo",
            "3",
            "--why",
            "a person in it",
        ])
        .code(0);
        shop.run(&["sold", "26-001", "--on", "2026-05-26", "--price", "390"])
            .code(0);
        shop.run(&["remove", "26-002", "--piece", "--why", "twice"])
            .code(0);
        let slip = shop.stored("1 purchase 2026-05-03/IMG_4.jpg.toml");
        fs::write(slip, "viw = \"part_whole\"\n").unwrap();
        shop.run(&["seal"]).code(0);
        shop.run(&["verify"]).code(0);
        let db = Connection::open(shop.path("book/book.db")).unwrap();
        db.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
        drop(db);
        let mut it = Self {
            good: fs::read(shop.path("book/book.db")).unwrap(),
            shop,
            said: BTreeSet::new(),
        };
        let found = it.shop.run(&["verify", "--json"]).code(0).json();
        it.said = checks(&found).into_iter().map(|it| it.1).collect();
        it.restore();
        it
    }

    fn restore(&self) {
        for end in ["-wal", "-shm"] {
            let _ = fs::remove_file(self.shop.path(&format!("book/book.db{end}")));
        }
        fs::write(self.shop.path("book/book.db"), &self.good).unwrap();
    }

    /// The database with no guard.
    fn open(&self) -> Connection {
        let db = Connection::open(self.shop.path("book/book.db")).unwrap();
        unguarded(&db);
        db
    }

    /// Whether `verify` names a change that was made: as a fault, or, where `told`, at all.
    fn is_named(&self, told: bool) -> bool {
        let found = self.shop.run(&["verify", "--json"]).json();
        if found["checks"].is_null() {
            // No answer at all, but why not.
            return found["error"].to_string().contains("makes no sense");
        }
        let new = checks(&found).into_iter();
        new.filter(|it| !self.said.contains(&it.1))
            .any(|it| told || !it.0)
    }
}

/// What was checked: whether it is in order, and what is said of it.
fn checks(found: &serde_json::Value) -> Vec<(bool, String)> {
    let checks = found["checks"].as_array().unwrap().iter();
    checks
        .map(|it| {
            (
                it["ok"].as_bool().unwrap(),
                it["about"].as_str().unwrap().to_owned(),
            )
        })
        .collect()
}

/// Lets rows be changed that nobody should change.
pub(crate) fn unguarded(db: &Connection) {
    db.execute_batch(
        "PRAGMA foreign_keys = OFF; DROP TRIGGER ledger_stays; DROP TRIGGER ledger_keeps",
    )
    .unwrap();
}

/// The tables, by name; `None` when they cannot be read.
pub(crate) fn tables_of(db: &Connection) -> Option<Vec<String>> {
    let ask = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name";
    let mut ask = db.prepare(ask).ok()?;
    let rows = ask.query_map([], |row| row.get(0)).ok()?;
    rows.collect::<Result<_, _>>().ok()
}

/// Columns with their types.
pub(crate) fn columns(db: &Connection, table: &str) -> Vec<(String, String)> {
    let mut ask = db
        .prepare("SELECT name, type FROM pragma_table_info(?1) ORDER BY cid")
        .unwrap();
    let rows = ask.query_map([table], |row| Ok((row.get(0)?, row.get(1)?)));
    rows.unwrap().map(Result::unwrap).collect()
}

/// Every value of JSON in turn changed within its kind.
fn leaves(it: &serde_json::Value) -> Vec<serde_json::Value> {
    use serde_json::Value as Json;
    let with = |change: &dyn Fn(&mut Json, Json), inner: &Json| -> Vec<Json> {
        let put = |leaf| {
            let mut whole = it.clone();
            change(&mut whole, leaf);
            whole
        };
        leaves(inner).into_iter().map(put).collect()
    };
    match it {
        Json::Object(all) => all
            .iter()
            .flat_map(|(key, inner)| with(&|whole, leaf| whole[key] = leaf, inner))
            .collect(),
        Json::Array(all) => all
            .iter()
            .enumerate()
            .flat_map(|(at, inner)| with(&|whole, leaf| whole[at] = leaf, inner))
            .collect(),
        Json::String(text) => vec![Json::from(other_text(text))],
        Json::Number(n) => vec![Json::from(n.as_f64().unwrap() + 1.0)],
        Json::Bool(it) => vec![Json::from(!it)],
        Json::Null => Vec::new(),
    }
}

/// Another text of the same kind: another year of a day or moment, else a letter more.
fn other_text(text: &str) -> String {
    match text.get(..5) {
        Some(year) if year.ends_with('-') && year[..4].parse::<u32>().is_ok() => {
            format!("2019{}", &text[4..])
        }
        _ => format!("{text}x"),
    }
}

/// Other values that a cell could have.
pub(crate) fn others(value: &Value, kind: &str, every: bool) -> Vec<Value> {
    match value {
        Value::Null if kind == "BLOB" => vec![Value::Blob(vec![0x30, 0])],
        Value::Null if kind == "TEXT" => vec![Value::Text("2019-01-01T00:00:00Z".to_owned())],
        Value::Null => vec![Value::Integer(1)],
        Value::Integer(n) => vec![Value::Integer(n + 1), Value::Integer(n + 1000)],
        Value::Real(n) => vec![Value::Real(n + 1.0)],
        Value::Blob(bytes) => {
            let mut bytes = bytes.clone();
            *bytes.last_mut().unwrap() ^= 1;
            vec![Value::Blob(bytes)]
        }
        Value::Text(text) => match serde_json::from_str::<serde_json::Value>(text) {
            Ok(json) if json.is_object() || json.is_array() => {
                let all = leaves(&json);
                // The first and the last of them: a mechanism that compares the whole compares each.
                let ends = all.iter().take(1).chain(all.last());
                let some: Vec<_> = if every {
                    all.iter().collect()
                } else {
                    ends.collect()
                };
                some.iter().map(|it| Value::Text(it.to_string())).collect()
            }
            _ => vec![Value::Text(other_text(text))],
        },
    }
}

/// All rows of a table, in its own order: an index of one column has another. `None` when they cannot be read.
pub(crate) fn rows_of(db: &Connection, table: &str) -> Option<Vec<Vec<Value>>> {
    let mut ask = db.prepare(&format!("SELECT * FROM \"{table}\"")).ok()?;
    let columns = ask.column_count();
    let rows = ask.query_map([], |row| (0..columns).map(|at| row.get(at)).collect());
    rows.ok()?.collect::<Result<_, _>>().ok()
}

/// The row as a condition; its values are numbered from `first`.
fn is_row(names: &[String], first: usize) -> String {
    let name = |(n, it): (usize, &String)| format!("\"{it}\" IS ?{}", n + first);
    let all: Vec<String> = names.iter().enumerate().map(name).collect();
    all.join(" AND ")
}

/// Takes a row out.
pub(crate) fn delete(db: &Connection, table: &str, names: &[String], row: &[Value]) -> bool {
    let change = format!("DELETE FROM \"{table}\" WHERE {}", is_row(names, 1));
    db.execute(&change, rusqlite::params_from_iter(row))
        .is_ok_and(|it| it > 0)
}

/// The rows of which one column is changed: the first, and the first that has another value there.
fn some(rows: &[Vec<Value>], column: usize) -> Vec<usize> {
    let other = rows.iter().position(|it| it[column] != rows[0][column]);
    [0].into_iter().chain(other).collect()
}

/// Puts a value into a row of a table; `false` when the table does not take it.
pub(crate) fn put(
    db: &Connection,
    table: &str,
    names: &[String],
    row: &[Value],
    at: usize,
    value: &Value,
) -> bool {
    let change = format!(
        "UPDATE \"{table}\" SET \"{}\" = ?1 WHERE {}",
        names[at],
        is_row(names, 2)
    );
    let all = std::iter::once(value).chain(row);
    db.execute(&change, rusqlite::params_from_iter(all))
        .is_ok_and(|it| it == 1)
}

#[test]
fn every_column_that_is_changed_by_hand_is_named() {
    let bench = Bench::new();
    let db = bench.open();
    let all = tables_of(&db).unwrap().into_iter();
    let all: Vec<_> = all
        .map(|it| (columns(&db, &it), rows_of(&db, &it).unwrap(), it))
        .collect();
    drop(db);
    let (mut unnamed, mut changes) = (Vec::new(), 0);
    for (columns, rows, table) in &all {
        assert!(!rows.is_empty(), "no row in {table}");
        let names: Vec<String> = columns.iter().map(|it| it.0.clone()).collect();
        for (at, (column, kind)) in columns.iter().enumerate() {
            if is_harmless(table, column) {
                continue;
            }
            let mut taken = 0;
            for row in some(rows, at) {
                let before = &rows[row][at];
                let mut is_taken = false;
                for value in others(before, kind, false) {
                    // Another number is tried only where the table refused the first.
                    if is_taken && matches!(value, Value::Integer(_)) {
                        continue;
                    }
                    bench.restore();
                    let db = bench.open();
                    if !put(&db, table, &names, &rows[row], at, &value) {
                        continue;
                    }
                    drop(db);
                    taken += 1;
                    is_taken = true;
                    // What was read anew and written down is as it was.
                    let mended = || {
                        let db = Connection::open(bench.shop.path("book/book.db")).unwrap();
                        rows_of(&db, table).unwrap()[row][at] == *before
                    };
                    if !bench.is_named(false) && !mended() {
                        unnamed.push(format!("{table}.{column}: {before:?} -> {value:?}"));
                    }
                }
            }
            changes += taken;
            assert!(taken > 0, "{table}.{column} takes no other value");
        }
    }
    assert!(
        unnamed.is_empty(),
        "{} of {changes}:\n{}",
        unnamed.len(),
        unnamed.join("\n")
    );
}

#[test]
fn rows_that_are_taken_out_or_invented_are_named() {
    let bench = Bench::new();
    let db = bench.open();
    let tables = tables_of(&db).unwrap();
    drop(db);
    let mut unnamed = Vec::new();
    for table in &tables {
        let new: Vec<&str> = INVENTED
            .iter()
            .filter(|it| it.0 == table)
            .map(|it| it.1)
            .collect();
        assert!(!new.is_empty(), "no row was invented for {table}");
        let gone = format!("DELETE FROM \"{table}\" WHERE _rowid_ = 1");
        let key = format!(
            "DELETE FROM \"{table}\" WHERE piece = 1 AND {} = (SELECT min({0}) FROM \"{table}\")",
            if table == "source_seen" { "path" } else { "no" }
        );
        for change in [gone.as_str(), key.as_str()].into_iter().chain(new) {
            bench.restore();
            let db = bench.open();
            // A table has one of the two kinds of keys.
            let done = db.execute(change, []);
            drop(db);
            let done = match change.starts_with("DELETE") {
                true => done.unwrap_or(0),
                false => done.unwrap(),
            };
            // A finding gets its number again, from the text that states it, and another line.
            let told = table == "finding" && change.starts_with("DELETE");
            if done > 0 && !is_harmless(table, "") && !bench.is_named(told) {
                unnamed.push(change.to_owned());
            }
        }
    }
    assert!(unnamed.is_empty(), "{}", unnamed.join("\n"));
}
