//! Books and dossiers changed at random: bytes, files, names, rows, zip directories, seals, keys. Whatever touches data that is read or
//! shown is named; what touches none gives no alarm.
//!
//! `ASFOUND_CHANGES=650` makes more of them, `ASFOUND_SEED=7` others.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::time::SystemTime;

use rusqlite::Connection;
use rusqlite::types::Value;
use serde_json::Value as Json;
use walkdir::WalkDir;

use crate::by_hand;
use crate::shop::Shop;

/// How many changes in a usual run.
const USUAL: u64 = 60;

fn number(name: &str, usual: u64) -> u64 {
    let told = std::env::var(name).ok().and_then(|it| it.parse().ok());
    told.unwrap_or(usual)
}

/// Numbers by chance that come again with the same seed (the constants of Knuth's MMIX).
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % n.max(1)
    }

    fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}

/// What must be said of a change.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Want {
    /// That something is wrong or missing, or that it cannot be read.
    Fault,
    /// Something that was not said before.
    Told,
    /// Nothing: no data was touched. What is said all the same is no matter.
    Nothing,
}

pub(crate) struct Bench {
    pub(crate) shop: Shop,
    /// A sealed book in which everything has happened.
    pub(crate) book: PathBuf,
    /// A dossier of it, as folder and as zip.
    pub(crate) folder: PathBuf,
    pub(crate) zip: PathBuf,
    /// What is said of each of them.
    said: BTreeMap<PathBuf, Vec<String>>,
}

impl Bench {
    pub(crate) fn new() -> Self {
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
        shop.run(&["sold", "26-001", "--on", "2026-05-26"]).code(0);
        shop.run(&["seal", "--new-key"]).code(0);
        let made = |words: &[&str]| {
            let words = [&["dossier", "26-001", "--with-private", "--json"], words].concat();
            let made = shop.run(&words).code(0).json();
            PathBuf::from(made["path"].as_str().unwrap())
        };
        let out = shop.path("sent").display().to_string();
        let (zip, folder) = (made(&[]), made(&["--folder", "--out", &out]));
        let sent = shop.path("sent.zip");
        fs::copy(&zip, &sent).unwrap();
        // Settled, so that a copy of the database is whole.
        let db = Connection::open(shop.path("book/book.db")).unwrap();
        db.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
        let mut it = Self {
            book: shop.path("book"),
            folder,
            zip: sent,
            shop,
            said: BTreeMap::new(),
        };
        for path in [it.book.clone(), it.folder.clone(), it.zip.clone()] {
            let (code, found) = it.verify(&path);
            assert_eq!(code, 0, "{found:#}");
            it.said.insert(path, abouts(&found));
        }
        it
    }

    fn verify(&self, path: &Path) -> (i32, Json) {
        let mut command = self.shop.command(env!("CARGO_BIN_EXE_asfound"));
        let run = command.arg("verify").arg(path).arg("--json");
        let done = run.output().unwrap();
        let found = serde_json::from_slice(&done.stdout).unwrap_or(Json::Null);
        (done.status.code().expect("it ends by itself"), found)
    }

    /// A copy that may be changed; its files have the times of the first ones, as the record has seen them.
    pub(crate) fn copy(&self, of: &Path, name: &str) -> PathBuf {
        let to = self.shop.path(name);
        let _ = fs::remove_dir_all(&to);
        let _ = fs::remove_file(&to);
        for it in WalkDir::new(of).into_iter().map(Result::unwrap) {
            let inside = it.path().strip_prefix(of).unwrap();
            let path = match inside.as_os_str().is_empty() {
                true => to.clone(),
                false => to.join(inside),
            };
            if it.file_type().is_dir() {
                fs::create_dir_all(path).unwrap();
                continue;
            }
            fs::write(&path, fs::read(it.path()).unwrap()).unwrap();
            set_time(&path, it.metadata().unwrap().modified().unwrap());
            if inside.as_os_str() == "book.key" {
                fs::set_permissions(&path, it.metadata().unwrap().permissions()).unwrap();
            }
        }
        to
    }
}

pub(crate) fn set_time(path: &Path, time: SystemTime) {
    let file = fs::File::options().append(true).open(path).unwrap();
    file.set_modified(time).unwrap();
}

fn abouts(found: &Json) -> Vec<String> {
    let checks = found["checks"].as_array().into_iter().flatten();
    checks
        .map(|it| it["about"].as_str().unwrap().to_owned())
        .collect()
}

/// The files of a kind below a folder, by their paths in it.
pub(crate) fn files(root: &Path, is: impl Fn(&str) -> bool) -> Vec<PathBuf> {
    let all = WalkDir::new(root).sort_by_file_name().into_iter();
    let plain = all
        .map(Result::unwrap)
        .filter(|it| it.file_type().is_file());
    plain
        .map(walkdir::DirEntry::into_path)
        .filter(|it| is(&it.strip_prefix(root).unwrap().to_string_lossy()))
        .collect()
}

/// Changes the bytes of a file; says how.
fn bytes(chance: &mut Chance, path: &Path, others: &[PathBuf]) -> Option<String> {
    let before = fs::read(path).unwrap();
    let mut after = before.clone();
    let how = match chance.below(4) {
        0 | 1 if !after.is_empty() => {
            let at = chance.below(after.len());
            let bit = 1 << chance.below(8);
            after[at] ^= bit;
            format!("byte {at} ^ {bit}")
        }
        2 => {
            after.truncate(chance.below(before.len()));
            format!("cut at {}", after.len())
        }
        _ if others.len() > 1 && chance.below(2) == 0 => {
            let other = chance.pick(others);
            after = fs::read(other).unwrap();
            format!("exchanged for {}", other.display())
        }
        _ => {
            after.push(b'\n');
            "a byte more".to_owned()
        }
    };
    if after == before {
        return None;
    }
    let rights = fs::metadata(path).unwrap().permissions();
    fs::remove_file(path).unwrap();
    fs::write(path, after).unwrap();
    fs::set_permissions(path, rights).unwrap();
    Some(how)
}

/// Takes a file away, gives it another name, or puts a folder in its place; says how.
fn place(chance: &mut Chance, path: &Path) -> String {
    match chance.below(3) {
        0 => {
            fs::remove_file(path).unwrap();
            "gone".to_owned()
        }
        1 => {
            let to = path.with_extension("other");
            fs::rename(path, to).unwrap();
            "renamed".to_owned()
        }
        _ => {
            fs::remove_file(path).unwrap();
            fs::create_dir(path).unwrap();
            "a folder in its place".to_owned()
        }
    }
}

/// What lies in a zip, as it is read by name; `None` when it cannot be.
pub(crate) fn unzipped(path: &Path) -> Option<BTreeMap<String, Vec<u8>>> {
    let mut zip = zip::ZipArchive::new(fs::File::open(path).ok()?).ok()?;
    let mut all = BTreeMap::new();
    for at in 0..zip.len() {
        let mut file = zip.by_index(at).ok()?;
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut file, &mut bytes).ok()?;
        let name = file.name().ok()?.into_owned();
        if all.insert(name, bytes).is_some() {
            return None;
        }
    }
    Some(all)
}

/// All that the rows hold and `verify` answers for; `None` when it cannot be read.
fn rows(root: &Path) -> Option<Vec<(String, Vec<Vec<Value>>)>> {
    let db = Connection::open(root.join("book.db")).ok()?;
    let mut all = Vec::new();
    for table in by_hand::tables_of(&db)? {
        if !by_hand::is_harmless(&table, "") {
            all.push((table.clone(), by_hand::rows_of(&db, &table)?));
        }
    }
    Some(all)
}

/// A kind of file in a book, and which are of it.
type Kind<'a> = (&'a str, &'a dyn Fn(&str) -> bool);

/// One change of a book; says what, and what must be said of it.
fn of_book(chance: &mut Chance, root: &Path) -> Option<(String, Want)> {
    let kinds: [Kind; 7] = [
        ("original", &|it| {
            it.ends_with(".jpg") && !it.starts_with("sent")
        }),
        ("sidecar", &|it| it.ends_with(".jpg.toml")),
        ("paper", &|it| it.contains("/kept/")),
        ("report", &|it| it.contains("/reports/")),
        ("seal", &|it| {
            it.starts_with("seals/seal-") || it.ends_with("book-key.pem")
        }),
        ("key", &|it| it == "book.key"),
        ("dossier", &|it| it.contains("/dossiers/")),
    ];
    match chance.below(12) {
        at @ 0..7 => {
            let (kind, is) = kinds[at];
            let all = files(root, is);
            let path = chance.pick(&all).clone();
            let zipped = unzipped(&path);
            let moved = chance.below(3) == 0 && !["key", "dossier"].contains(&kind);
            let how = match moved {
                true => place(chance, &path),
                false => bytes(chance, &path, &all)?,
            };
            let want = match (kind, moved) {
                ("dossier", _) if zipped.is_some() && unzipped(&path) == zipped => Want::Nothing,
                // Programs end a text with an empty line.
                ("key", false) if how == "a byte more" => Want::Nothing,
                // The owner may edit a sidecar and put the page of an edition away; a dossier may have been made with something lost.
                ("sidecar" | "dossier", false) | ("report", true) => Want::Told,
                _ => Want::Fault,
            };
            Some((format!("{kind} {}: {how}", path.display()), want))
        }
        7..9 => {
            let before = rows(root);
            let path = root.join("book.db");
            let mut bytes = fs::read(&path).unwrap();
            let (at, bit) = (chance.below(bytes.len()), 1 << chance.below(8));
            bytes[at] ^= bit;
            fs::write(&path, bytes).unwrap();
            let want = match rows(root) == before {
                true => Want::Nothing,
                false => Want::Fault,
            };
            Some((format!("book.db: byte {at} ^ {bit}"), want))
        }
        _ => sql(chance, root),
    }
}

/// A cell changed, a row taken out.
fn sql(chance: &mut Chance, root: &Path) -> Option<(String, Want)> {
    let db = Connection::open(root.join("book.db")).unwrap();
    by_hand::unguarded(&db);
    let tables = by_hand::tables_of(&db).unwrap();
    let table = chance.pick(&tables);
    let all = by_hand::rows_of(&db, table).unwrap();
    if all.is_empty() || by_hand::is_harmless(table, "") {
        return None;
    }
    let columns = by_hand::columns(&db, table);
    let names: Vec<String> = columns.iter().map(|it| it.0.clone()).collect();
    let row = chance.pick(&all);
    if chance.below(4) == 0 {
        let done = by_hand::delete(&db, table, &names, row);
        assert!(done, "{table}");
        // A finding gets its number again, and another line.
        let want = match table.as_str() {
            "finding" => Want::Told,
            _ => Want::Fault,
        };
        return Some((format!("{table}: {row:?} taken out"), want));
    }
    let at = chance.below(names.len());
    if by_hand::is_harmless(table, &names[at]) {
        return None;
    }
    let others = by_hand::others(&row[at], &columns[at].1, true);
    if others.is_empty() {
        return None;
    }
    let value = chance.pick(&others);
    if !by_hand::put(&db, table, &names, row, at, value) {
        return None;
    }
    let want = match (table.as_str(), names[at].as_str()) {
        ("edition", "path") => Want::Told,
        // What is read anew is written down as it was.
        ("sidecar_seen", "complaints") => Want::Nothing,
        _ => Want::Fault,
    };
    let column = &names[at];
    Some((
        format!("{table}.{column}: {:?} -> {value:?}", row[at]),
        want,
    ))
}

/// One change of a dossier in a folder.
fn of_folder(chance: &mut Chance, root: &Path) -> Option<(String, Want)> {
    let all = files(root, |_| true);
    let path = chance.pick(&all).clone();
    let how = match chance.below(4) {
        0 => place(chance, &path),
        1 => {
            fs::write(root.join(format!("data/other-{}", chance.below(9))), "x").unwrap();
            return Some(("a file added".to_owned(), Want::Fault));
        }
        _ => bytes(chance, &path, &all)?,
    };
    Some((format!("{}: {how}", path.display()), Want::Fault))
}

/// One change of a dossier in a zip: a byte anywhere, or its directory.
fn of_zip(chance: &mut Chance, path: &Path) -> Option<(String, Want)> {
    let before = unzipped(path).unwrap();
    let mut bytes = fs::read(path).unwrap();
    let directory = bytes.windows(4).rposition(|it| it == b"PK\x01\x02");
    let first = bytes.windows(4).position(|it| it == b"PK\x01\x02");
    let (first, directory) = (first.unwrap(), directory.unwrap());
    let how = match chance.below(3) {
        0 => {
            let (at, bit) = (chance.below(bytes.len()), 1 << chance.below(8));
            bytes[at] ^= bit;
            format!("byte {at} ^ {bit}")
        }
        1 => {
            let at = first + chance.below(bytes.len() - first);
            let bit = 1 << chance.below(8);
            bytes[at] ^= bit;
            format!("directory byte {at} ^ {bit}")
        }
        _ => {
            // The last entry is named anew in the directory alone.
            bytes[directory + 46] ^= 1;
            "another name in the directory".to_owned()
        }
    };
    fs::write(path, bytes).unwrap();
    let want = match unzipped(path) == Some(before) {
        true => Want::Nothing,
        false => Want::Fault,
    };
    Some((format!("zip: {how}"), want))
}

#[test]
fn every_change_by_chance_that_touches_data_is_named() {
    let bench = Bench::new();
    let (changes, seed) = (number("ASFOUND_CHANGES", USUAL), number("ASFOUND_SEED", 1));
    let mut chance = Chance(seed);
    let (mut done, mut counts, mut unnamed) = (0, BTreeMap::new(), Vec::new());
    while done < changes {
        let from = match chance.below(4) {
            0 | 1 => &bench.book,
            2 => &bench.folder,
            _ => &bench.zip,
        };
        let to = bench.copy(from, "changed");
        let change = match from {
            it if *it == bench.book => of_book(&mut chance, &to),
            it if *it == bench.folder => of_folder(&mut chance, &to),
            _ => of_zip(&mut chance, &to),
        };
        let Some((what, want)) = change else { continue };
        done += 1;
        let (code, found) = bench.verify(&to);
        let new = abouts(&found)
            .iter()
            .any(|it| !bench.said[from].contains(it));
        let named = match want {
            Want::Fault => code != 0,
            Want::Told => code != 0 || new,
            Want::Nothing => true,
        };
        *counts.entry(format!("{want:?}")).or_insert(0) += 1;
        if !named {
            unnamed.push(format!("{what} ({want:?})"));
        }
    }
    crate::shop::say(&format!(
        "{done} changes by chance, seed {seed}: {counts:?}"
    ));
    assert!(
        unnamed.is_empty(),
        "{} of {done}, seed {seed}:\n{}",
        unnamed.len(),
        unnamed.join("\n")
    );
}
