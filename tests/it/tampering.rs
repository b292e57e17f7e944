//! A sealed dossier is altered in one place, some thousand times: every alteration is noticed and named.

use std::fs;
use std::io;
use std::io::Read;
use std::path::PathBuf;
use std::thread;
use std::time::Duration;
use std::time::SystemTime;

use asfound::evidence::dossier::bag::FileSource;
use asfound::evidence::dossier::package;
use asfound::evidence::dossier::package::SealFiles;
use asfound::evidence::key::pair::Key;
use asfound::evidence::ledger::line::LedgerLine;
use asfound::evidence::verify::notes::Check;
use asfound::evidence::verify::notes::Outcome;
use asfound::evidence::verify::verdict::Judgement;
use asfound::evidence::verify::verify_files;
use serde_json::Value;

use crate::dossier::ALTERED;

use crate::dossier::Book;
use crate::dossier::Folder;
use crate::dossier::IN_PART;
use crate::dossier::INCOMPLETE;
use crate::dossier::INTACT;
use crate::dossier::Judge;
use crate::dossier::LITTER;
use crate::dossier::NOT_JUDGED;
use crate::dossier::PROVEN;
use crate::dossier::book;
use crate::dossier::good;
use crate::dossier::seal_dated;
use crate::dossier::small;
use crate::dossier::toy_stamp;

/// Who alters it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Who {
    /// Somebody who changes a file and no more.
    Careless,
    /// Somebody who makes all manifests anew, but has not the key.
    Clever,
    /// The maker: makes the manifests anew and signs them, but cannot undo the seals.
    Maker,
}

const ALL: [Who; 3] = [Who::Careless, Who::Clever, Who::Maker];

/// Alters a line.
type Edit<'a> = &'a dyn Fn(&mut LedgerLine);

/// One alteration.
struct Case {
    name: String,
    who: Who,
    folder: Folder,
    want: Vec<&'static str>,
    /// One of these must stand in what is said of a fault.
    named: Vec<String>,
}

struct Bench {
    book: Book,
    good: Folder,
    cases: Vec<Case>,
}

impl Bench {
    /// Adds an alteration as each of `who` would make it; `named` is how the fault itself is named.
    fn add(
        &mut self,
        name: &str,
        who: &[Who],
        folder: &Folder,
        want: &[&'static str],
        named: &[&str],
    ) {
        if *folder == self.good {
            return;
        }
        for who in who {
            let folder = match who {
                Who::Careless => folder.clone(),
                Who::Clever => folder.listed_anew(None),
                Who::Maker => folder.listed_anew(Some(&self.book.key)),
            };
            let mut named: Vec<String> = named.iter().map(|it| (*it).to_owned()).collect();
            let mut want = want.to_vec();
            if *who == Who::Clever {
                // Whatever else is seen: the set is no longer the signed one.
                want = vec![ALTERED];
                named.push(package::SET.to_owned());
            }
            self.cases.push(Case {
                name: name.to_owned(),
                who: *who,
                folder,
                want,
                named,
            });
        }
    }
}

/// Files that no line and no seal vouches for: what the maker puts in them at first, only the set's signature holds fast.
const PRESENTED: [&str; 6] = [
    "data/cover.html",
    "data/exhibits/1.html",
    "data/statement.html",
    "data/check.html",
    "data/CHECK.txt",
    LEFT_OUT,
];

/// Of this one it is seen when it does not name what is left out.
const LEFT_OUT: &str = "data/left-out.txt";

/// Every file, at several places, in several ways.
fn bytes(bench: &mut Bench) {
    let good = bench.good.clone();
    for (path, old) in &good.0 {
        let who: &[Who] = match path.starts_with("data/") {
            true if PRESENTED.contains(&path.as_str()) => &ALL[..2],
            true => &ALL,
            false => &ALL[..1],
        };
        let len = old.len();
        let mut places = vec![0, len / 3, 2 * len / 3, len - 1];
        places.dedup();
        for at in places {
            let change = |how: &str, change: &dyn Fn(&mut Vec<u8>)| {
                let mut bytes = old.clone();
                change(&mut bytes);
                let mut folder = good.clone();
                folder.set(path, bytes);
                (format!("{path}, byte {at} {how}"), folder)
            };
            let all = [
                change("low bit", &|it| it[at] ^= 1),
                change("capital bit", &|it| it[at] ^= 0x20),
                change("high bit", &|it| it[at] ^= 0x80),
                change("taken out", &|it| {
                    it.remove(at);
                }),
                change("a space put before", &|it| it.insert(at, b' ')),
                change("cut off here", &|it| it.truncate(at.max(1))),
            ];
            for (name, folder) in all {
                // Seals and stamps are named by their number, lines by their row.
                let stem = path.rsplit('/').next().unwrap().split('.').next().unwrap();
                let named = [path.as_str(), stem, "line ", "row "];
                let named = match path.as_str() {
                    it if it.starts_with("data/ledger") => &named[..],
                    // Another key is a key too, but the signatures are not its own.
                    package::KEY => &[path, "this key's"],
                    _ => &named[..2],
                };
                bench.add(&name, who, &folder, &[ALTERED], named);
            }
        }
    }
}

fn lines(folder: &Folder) -> Vec<String> {
    folder
        .text(package::LINES)
        .lines()
        .map(str::to_owned)
        .collect()
}

fn set_lines(folder: &mut Folder, lines: &[String]) {
    let text: String = lines.iter().map(|it| format!("{it}\n")).collect();
    folder.set(package::LINES, text);
}

/// Lines dropped, doubled, exchanged, changed within their canonical spelling.
fn whole_lines(bench: &mut Bench) {
    let good = bench.good.clone();
    let old = lines(&good);
    for at in 0..old.len() {
        let line = LedgerLine::read(&old[at]).unwrap();
        let named = format!("line {}", line.no);
        let mut change = |how: &str, new: Vec<String>, want: &[&'static str]| {
            let mut folder = good.clone();
            set_lines(&mut folder, &new);
            bench.add(
                &format!("line {} {how}", line.no),
                &ALL[1..],
                &folder,
                want,
                &[&named, "row"],
            );
            bench.add(
                &format!("line {} {how}", line.no),
                &ALL[..1],
                &folder,
                &[ALTERED],
                &[package::LINES],
            );
        };
        let without: Vec<String> = old.iter().filter(|it| **it != old[at]).cloned().collect();
        // Then a file that it named, a private part or a file left out belongs to no line.
        let orphans = line.private.is_some()
            || good
                .text(package::LEFT_OUT)
                .contains(&format!("\"no\":{},", line.no))
            || line.open["sha256"]
                .as_str()
                .is_some_and(|it| good.text("manifest-sha256.txt").contains(it));
        // A photo's sidecar lies where the photo's line says, and a removal is of a photo.
        let want = match orphans && line.what != "removed" {
            true => ALTERED,
            false => INCOMPLETE,
        };
        change("dropped", without, &[want]);
        let mut twice = old.clone();
        twice.insert(at, old[at].clone());
        change("doubled", twice, &[ALTERED]);
        if at + 1 < old.len() {
            let mut swapped = old.clone();
            swapped.swap(at, at + 1);
            change("exchanged with the next", swapped, &[ALTERED]);
        }
        let edits: [(&str, Edit); 6] = [
            ("re-dated by a day", &|it| {
                it.at = "2026-05-01T00:00:01Z".parse().unwrap()
            }),
            ("re-dated by years", &|it| {
                it.at = "2019-05-01T09:00:00Z".parse().unwrap()
            }),
            ("given to another piece", &|it| {
                it.piece = "26-009".to_owned()
            }),
            ("of another kind", &|it| it.what = "other".to_owned()),
            ("with another private part", &|it| {
                it.private = Some(asfound::kit::digest::Digest::of(b"x"))
            }),
            ("renumbered", &|it| it.no += 1),
        ];
        for (how, edit) in edits {
            let mut it = line.clone();
            edit(&mut it);
            let mut new = old.clone();
            new[at] = it.text();
            // A number that belongs to another piece has no proof here.
            let want = [ALTERED, INCOMPLETE];
            change(
                how,
                new,
                if how == "renumbered" {
                    &want
                } else {
                    &want[..1]
                },
            );
        }
        if let Value::Object(open) = &line.open {
            for key in open.keys() {
                let mut it = line.clone();
                it.open[key] = match &open[key] {
                    Value::Number(n) => Value::from(n.as_u64().unwrap_or(8) + 1),
                    Value::String(text) if text.len() == 64 => Value::from("ab".repeat(32)),
                    Value::String(text) => Value::from(format!("{text}x")),
                    Value::Bool(it) => Value::from(!it),
                    _ => Value::from("x"),
                };
                let mut new = old.clone();
                new[at] = it.text();
                change(&format!("with another `{key}`"), new, &[ALTERED]);
            }
        }
    }
}

/// Files taken away, added, exchanged, renamed.
fn whole_files(bench: &mut Bench) {
    let good = bench.good.clone();
    let paths: Vec<String> = good.0.keys().cloned().collect();
    for path in &paths {
        let mut folder = good.clone();
        folder.0.remove(path);
        let name = format!("{path} taken away");
        // A payload list that is gone leaves nothing to compare with; a stamp that is gone leaves the rest.
        bench.add(&name, &ALL[..1], &folder, &[INCOMPLETE], &[path]);
        if path.starts_with("data/") && !PRESENTED.contains(&path.as_str()) {
            let want: &[&'static str] = match path.as_str() {
                it if it.ends_with("seal-0003.tsr") => &[IN_PART],
                it if it.ends_with(".tsr") || it.ends_with(".tsq") => continue,
                package::PRIVATE => continue,
                _ => &[INCOMPLETE],
            };
            let stem = path.rsplit('/').next().unwrap();
            let stem = if stem.ends_with("tsr") { "" } else { stem };
            bench.add(&name, &ALL[2..], &folder, want, &[stem, "line"]);
        }
    }
    let bound: Vec<&String> = paths
        .iter()
        .filter(|it| it.starts_with("data/") && !PRESENTED.contains(&it.as_str()))
        .collect();
    for (n, a) in bound.iter().enumerate() {
        for b in &bound[n + 1..] {
            if good.0[*a] == good.0[*b] {
                continue;
            }
            let mut folder = good.clone();
            let (x, y) = (good.0[*a].clone(), good.0[*b].clone());
            folder.set(a, y);
            folder.set(b, x);
            let stem = |it: &str| {
                it.rsplit('/')
                    .next()
                    .unwrap()
                    .split('.')
                    .next()
                    .unwrap()
                    .to_owned()
            };
            bench.add(
                &format!("{a} exchanged with {b}"),
                &[ALL[n % 3]],
                &folder,
                &[ALTERED],
                &[a, b, &stem(a), &stem(b), "line"],
            );
        }
    }
    for path in [
        "data/originals/1-purchase/IMG_0007.jpg",
        "data/kept/other.txt",
        "data/reports/buyer-03.html",
        "data/sidecars/1-purchase/IMG_0003.jpg.toml",
    ] {
        let mut folder = good.clone();
        folder.set(path, "another");
        bench.add(&format!("{path} added"), &ALL, &folder, &[ALTERED], &[path]);
    }
    for path in [
        "data/note.txt",
        "note.txt",
        "fetch.txt",
        "data/originals/1-purchase/img_0001.JPG",
        "../note.txt",
        "data/../../x",
        "/x",
    ] {
        let mut folder = good.clone();
        folder.set(path, "another");
        bench.add(
            &format!("{path} added"),
            &ALL[..1],
            &folder,
            &[ALTERED],
            &[path, "IMG_0001"],
        );
    }
    let from = "data/originals/1-purchase/IMG_0001.jpg";
    for to in [
        "data/originals/2-sale/IMG_0001.jpg",
        "data/originals/1-purchase/IMG_0009.jpg",
        "data/kept/IMG_0001.jpg",
    ] {
        let mut folder = good.clone();
        let bytes = folder.0.remove(from).unwrap();
        folder.set(to, bytes);
        bench.add(
            &format!("{from} moved to {to}"),
            &ALL,
            &folder,
            &[ALTERED],
            &[from, to],
        );
    }
}

fn edit_json(folder: &Folder, path: &str, edit: impl Fn(&mut Value)) -> Folder {
    let mut value: Value = serde_json::from_str(&folder.text(path)).unwrap();
    edit(&mut value);
    let mut folder = folder.clone();
    folder.set(
        path,
        asfound::kit::json::canonical::canonical(&value).unwrap(),
    );
    folder
}

/// Proofs cut short, lengthened, exchanged, pointed elsewhere; what is left out told otherwise.
fn proofs(bench: &mut Bench) {
    let good = bench.good.clone();
    let forgers = &ALL[1..];
    let count = |path: &str, key: &str| -> usize {
        let value: Value = serde_json::from_str(&good.text(path)).unwrap();
        let list = if key.is_empty() { &value } else { &value[key] };
        list.as_array().unwrap().len()
    };
    let (altered, incomplete) = ([ALTERED], [INCOMPLETE]);
    for at in 0..count(package::PROOFS, "lines") {
        let entry = |edit: &dyn Fn(&mut Value)| {
            edit_json(&good, package::PROOFS, |it| edit(&mut it["lines"][at]))
        };
        for (how, folder) in [
            (
                "shortened",
                entry(&|it| {
                    it["path"].as_array_mut().unwrap().pop();
                }),
            ),
            (
                "without its first step",
                entry(&|it| {
                    it["path"].as_array_mut().unwrap().remove(0);
                }),
            ),
            (
                "lengthened",
                entry(&|it| {
                    it["path"]
                        .as_array_mut()
                        .unwrap()
                        .push("ab".repeat(32).into());
                }),
            ),
            (
                "turned round",
                entry(&|it| it["path"].as_array_mut().unwrap().reverse()),
            ),
            (
                "of another line",
                entry(&|it| it["no"] = Value::from(it["no"].as_u64().unwrap() ^ 1)),
            ),
            (
                "of a line that is none",
                entry(&|it| it["no"] = Value::from(99)),
            ),
            (
                "with another leaf",
                entry(&|it| it["leaf"] = "ab".repeat(32).into()),
            ),
        ] {
            bench.add(
                &format!("proof {at} {how}"),
                forgers,
                &folder,
                &altered,
                &["line", package::PROOFS],
            );
        }
        let folder = edit_json(&good, package::PROOFS, |it| {
            it["lines"].as_array_mut().unwrap().remove(at);
        });
        bench.add(
            &format!("proof {at} taken out"),
            forgers,
            &folder,
            &incomplete,
            &["no proof"],
        );
    }
    for (key, value) in [
        ("seal", Value::from(2)),
        ("seal", Value::from(1)),
        ("size", Value::from(12)),
        ("root", "ab".repeat(32).into()),
    ] {
        let folder = edit_json(&good, package::PROOFS, |it| it[key] = value.clone());
        bench.add(
            &format!("proofs with another {key}"),
            forgers,
            &folder,
            &altered,
            &[package::PROOFS, "line"],
        );
    }
    let folder = edit_json(&good, package::PROOFS, |it| it["seal"] = Value::from(4));
    bench.add(
        "proofs with a seal that is none",
        forgers,
        &folder,
        &incomplete,
        &[package::PROOFS],
    );
    for at in 0..count(package::CONSISTENCY, "") {
        let entry = |edit: &dyn Fn(&mut Value)| {
            edit_json(&good, package::CONSISTENCY, |it| edit(&mut it[at]))
        };
        for (how, folder) in [
            (
                "shortened",
                entry(&|it| {
                    it["path"].as_array_mut().unwrap().pop();
                }),
            ),
            (
                "lengthened",
                entry(&|it| {
                    it["path"]
                        .as_array_mut()
                        .unwrap()
                        .push("ab".repeat(32).into());
                }),
            ),
            (
                "turned round",
                entry(&|it| it["path"].as_array_mut().unwrap().reverse()),
            ),
        ] {
            bench.add(
                &format!("step {at} {how}"),
                forgers,
                &folder,
                &altered,
                &["seal"],
            );
        }
        let folder = edit_json(&good, package::CONSISTENCY, |it| {
            it.as_array_mut().unwrap().remove(at);
        });
        bench.add(
            &format!("step {at} taken out"),
            forgers,
            &folder,
            &incomplete,
            &["no proof from seal"],
        );
        let folder = entry(&|it| it["to"] = Value::from(7));
        bench.add(
            &format!("step {at} to nowhere"),
            forgers,
            &folder,
            &incomplete,
            &["leads nowhere"],
        );
    }
    let folder = edit_json(&good, package::CONSISTENCY, |it| {
        it.as_array_mut().unwrap().reverse()
    });
    bench.add(
        "steps turned round",
        forgers,
        &folder,
        &altered,
        &[package::CONSISTENCY],
    );
    left_out(bench);
}

fn left_out(bench: &mut Bench) {
    let good = bench.good.clone();
    let forgers = &ALL[1..];
    let (altered, incomplete) = ([ALTERED], [INCOMPLETE]);
    let value: Value = serde_json::from_str(&good.text(package::LEFT_OUT)).unwrap();
    for kind in ["lines", "files"] {
        for at in 0..value[kind].as_array().unwrap().len() {
            let folder = edit_json(&good, package::LEFT_OUT, |it| {
                it[kind].as_array_mut().unwrap().remove(at);
            });
            bench.add(
                &format!("left-out {kind} {at} taken out"),
                forgers,
                &folder,
                &incomplete,
                &["line"],
            );
            let folder = edit_json(&good, package::LEFT_OUT, |it| {
                let key = if kind == "lines" { "leaf" } else { "sha256" };
                it[kind][at][key] = "ab".repeat(32).into();
            });
            bench.add(
                &format!("left-out {kind} {at} of another digest"),
                forgers,
                &folder,
                &altered,
                &["line"],
            );
            let folder = edit_json(&good, package::LEFT_OUT, |it| {
                it[kind][at]["no"] = Value::from(1)
            });
            bench.add(
                &format!("left-out {kind} {at} of another line"),
                forgers,
                &folder,
                &altered,
                &["line 1"],
            );
        }
    }
    // An original that is here, said to be left out.
    for (at, text) in lines(&good).iter().enumerate() {
        let line: Value = serde_json::from_str(text).unwrap();
        if line["what"] == "photo" && line["open"]["photo"] != 4 {
            let folder = edit_json(&good, package::LEFT_OUT, |it| {
                let entry = serde_json::json!({"no": line["no"], "sha256": line["open"]["sha256"], "why": "lost"});
                it["files"].as_array_mut().unwrap().insert(0, entry);
            });
            bench.add(
                &format!("row {at} said to be left out"),
                forgers,
                &folder,
                &altered,
                &["is said to be left out"],
            );
        }
    }
}

/// Seals and keys of other books, seals exchanged, and a ledger sealed anew.
fn seals(bench: &mut Bench) {
    let good = bench.good.clone();
    let altered = [ALTERED];
    let mut strangers = vec![book(2, &small, Some(&toy_stamp))];
    let mut same_key = Book::new(3);
    same_key.key = bench.book.key.clone();
    for _ in 0..30 {
        same_key.say("26-050", "sale", serde_json::json!({"day": "2026-05-09"}));
        if same_key.lines.len().is_multiple_of(9) {
            same_key.seal(Some(&toy_stamp));
        }
    }
    strangers.push(same_key);
    for (n, stranger) in strangers.iter().enumerate() {
        for no in 1..=3 {
            for with_key in [true, false] {
                let mut folder = good.clone();
                put_seal(&mut folder, no, &stranger.seals[no as usize - 1]);
                if with_key {
                    folder.set(package::KEY, stranger.pem());
                }
                let name = format!("seal {no} of stranger {n}, key {with_key}");
                bench.add(
                    &name,
                    &ALL,
                    &folder,
                    &altered,
                    &[
                        &format!("seal {no}"),
                        &format!("seal-{no:04}"),
                        "names another key",
                    ],
                );
            }
        }
    }
    for (a, b) in [(1, 2), (1, 3), (2, 3)] {
        let mut folder = good.clone();
        put_seal(&mut folder, a, &bench.book.seals[b as usize - 1]);
        put_seal(&mut folder, b, &bench.book.seals[a as usize - 1]);
        bench.add(
            &format!("seals {a} and {b} exchanged"),
            &ALL,
            &folder,
            &altered,
            &["seal"],
        );
    }
    for no in 1..=3_u32 {
        for (ending, want) in [("sig", INCOMPLETE), ("json", INCOMPLETE)] {
            let mut folder = good.clone();
            folder.0.remove(&package::seal_path(no, ending));
            bench.add(
                &format!("seal {no} without {ending}"),
                &ALL[2..],
                &folder,
                &[want],
                &[&format!("seal-{no:04}")],
            );
        }
        let mut folder = good.clone();
        for ending in ["json", "sig", "tsq", "tsr"] {
            folder.0.remove(&package::seal_path(no, ending));
        }
        bench.add(
            &format!("seal {no} dropped whole"),
            &ALL[2..],
            &folder,
            &[INCOMPLETE],
            &["seal"],
        );
    }
    misnamed(bench);
    resealed(bench);
}

fn put_seal(folder: &mut Folder, no: u32, it: &SealFiles) {
    let path = |ending: &str| package::seal_path(no, ending);
    folder.set(&path("json"), it.statement.as_str());
    folder.set(&path("sig"), it.signature.as_slice());
    for (ending, bytes) in [("tsq", &it.query), ("tsr", &it.reply)] {
        folder.0.remove(&path(ending));
        if let Some(bytes) = bytes {
            folder.set(&path(ending), bytes.as_slice());
        }
    }
}

/// The maker signs a statement that names another book or another key.
fn misnamed(bench: &mut Bench) {
    for no in 1..=3 {
        for (key, named) in [("book", "of another book"), ("key", "names another key")] {
            let path = package::seal_path(no, "json");
            let mut folder = edit_json(&bench.good, &path, |it| it[key] = "ab".repeat(32).into());
            let signature = bench.book.key.sign(&folder.0[&path]);
            folder.set(&package::seal_path(no, "sig"), signature);
            for ending in ["tsq", "tsr"] {
                folder.0.remove(&package::seal_path(no, ending));
            }
            let name = format!("seal {no} of another {key}");
            bench.add(&name, &ALL[2..], &folder, &[ALTERED], &[named]);
        }
    }
}

/// The maker changes an old line and seals the whole ledger anew: the stamps he has are of the old seals.
fn resealed(bench: &mut Bench) {
    let old = bench.book.clone();
    for at in 1..old.lines.len() {
        let mut forged = old.clone();
        forged.lines[at].at = "2026-05-01T00:30:00Z".parse().unwrap();
        forged.seals.clear();
        let sizes: Vec<u64> = old
            .seals
            .iter()
            .map(|it| {
                serde_json::from_str::<Value>(&it.statement).unwrap()["size"]
                    .as_u64()
                    .unwrap()
            })
            .collect();
        let all = forged.lines.clone();
        for (n, size) in sizes.iter().enumerate() {
            forged.lines = all[..*size as usize].to_vec();
            forged.seal(None);
            forged.seals[n].query.clone_from(&old.seals[n].query);
            forged.seals[n].reply.clone_from(&old.seals[n].reply);
        }
        forged.lines = all;
        let folder = forged.dossier();
        bench.add(
            &format!("line {at} re-dated and all sealed anew"),
            &ALL[2..],
            &folder,
            &[ALTERED],
            &["seal-"],
        );
        for seal in &mut forged.seals {
            (seal.query, seal.reply) = (None, None);
        }
        // Without the stamps nothing contradicts: that is what the weaker verdict says.
        bench.add(
            &format!("line {at} re-dated, sealed anew, stamps dropped"),
            &ALL[2..],
            &forged.dossier(),
            &[INTACT],
            &[""],
        );
    }
}

fn bench() -> Bench {
    let book = good();
    let good = book.dossier();
    Bench {
        book,
        good,
        cases: Vec::new(),
    }
}

fn faults(it: &Judgement) -> String {
    let bad = it.checks.iter().filter(|it| !it.ok());
    bad.map(|it| format!("{}: {}\n", it.code, it.about))
        .collect()
}

#[test]
fn a_good_dossier_is_proven_and_says_so() {
    let mut bench = bench();
    let found = bench.book.judge(&mut bench.good);
    assert_eq!(faults(&found), "");
    assert_eq!(found.verdict.word(), PROVEN);
    assert_eq!(
        found.presented,
        [
            "data/CHECK.txt",
            "data/check.html",
            "data/cover.html",
            "data/exhibits/1.html",
            "data/left-out.txt",
            "data/statement.html"
        ]
    );
    let at = "2026-06-30T12:00:00Z".parse().ok();
    assert_eq!(
        (
            found.stamps.len(),
            found.not_later_than(2),
            found.not_later_than(99)
        ),
        (2, at, None)
    );
    let told: String = found
        .checks
        .iter()
        .map(|it| format!("{}\n", it.about))
        .collect();
    for word in ["certified", "guaranteed", "proof of age"] {
        assert!(!told.contains(word));
    }
    for want in [
        "`kept-back.txt` is left out (private)",
        "a later one took its place",
        "edition 1 for the owner is left out (private)",
        "photo 4 was taken out of the book: a person in it",
    ] {
        assert!(told.contains(want), "{want} in\n{told}");
    }
    // A judge to whom no root was given cannot call it proven.
    let judge = Judge::default();
    let found = verify_files(&mut bench.good, &judge).unwrap();
    assert_eq!((found.verdict.word(), found.stamps), (NOT_JUDGED, vec![]));
    let mut plain = book(1, &small, None);
    let found = plain.judge(&mut plain.dossier());
    assert_eq!(
        (found.verdict.word(), faults(&found)),
        (INTACT, String::new())
    );
    plain.say(
        crate::dossier::PIECE,
        "sale",
        serde_json::json!({"day": "2026-07-09"}),
    );
    let found = plain.judge(&mut plain.dossier());
    assert_eq!(found.verdict.word(), INCOMPLETE);
    assert!(
        faults(&found).contains("no seal covers it"),
        "{}",
        faults(&found)
    );
}

/// Judges them; tells where the verdict is another than wanted, or the fault is not named.
fn judged(book: &Book, cases: Vec<Case>) -> Vec<String> {
    let mut wrong = Vec::new();
    for mut case in cases {
        let found = book.judge(&mut case.folder);
        let said = faults(&found);
        let named = case.named.iter().any(|it| said.contains(it.as_str()));
        if !case.want.contains(&found.verdict.word()) || !named {
            wrong.push(format!(
                "{:?}: {}: {} {}",
                case.who,
                case.name,
                found.verdict.word(),
                said
            ));
        }
    }
    wrong
}

#[test]
fn every_alteration_is_noticed_and_named() {
    let mut bench = bench();
    bytes(&mut bench);
    whole_lines(&mut bench);
    whole_files(&mut bench);
    proofs(&mut bench);
    seals(&mut bench);
    let n = bench.cases.len();
    let half = bench.cases.split_off(n / 2);
    let (book, first) = (&bench.book, bench.cases);
    let (a, b) = thread::scope(|it| {
        let other = it.spawn(|| judged(book, half));
        (judged(book, first), other.join().unwrap())
    });
    let wrong: Vec<String> = a.into_iter().chain(b).collect();
    assert!(
        wrong.is_empty(),
        "{} of {n}:\n{}",
        wrong.len(),
        wrong.iter().take(40).cloned().collect::<String>()
    );
    assert!(n >= 2000, "only {n} alterations");
}

/// What a maker who holds the key can put into a dossier and nobody can see from it; each is told to the reader.
#[test]
fn what_cannot_be_seen_is_said() {
    let bench = bench();
    for path in PRESENTED.into_iter().filter(|it| *it != LEFT_OUT) {
        let mut folder = bench.good.clone();
        folder.set(path, "other words");
        let found = bench
            .book
            .judge(&mut folder.listed_anew(Some(&bench.book.key)));
        assert_eq!(found.verdict.word(), PROVEN, "{path}");
        assert!(found.presented.contains(&path.to_owned()), "{path}");
    }
    // What it says of the files that are left out is held against their list.
    let mut folder = bench.good.clone();
    folder.set(LEFT_OUT, "other words");
    let mut anew = folder.listed_anew(Some(&bench.book.key));
    assert_eq!(bench.book.judge(&mut anew).verdict.word(), "altered");
    // A line in the middle, held back with its file and its proof, leaves a gap in the numbers.
    let drop = |photo: u32| {
        let is_it = |it: &LedgerLine| it.what == "photo" && it.open["photo"] == photo;
        let gone = bench.book.lines.iter().find(|it| is_it(it)).unwrap().no;
        let mut folder = bench.good.clone();
        let mut kept = lines(&folder);
        kept.retain(|it| !is_it(&LedgerLine::read(it).unwrap()));
        set_lines(&mut folder, &kept);
        folder = edit_json(&folder, package::PROOFS, |it| {
            it["lines"]
                .as_array_mut()
                .unwrap()
                .retain(|it| it["no"] != gone);
        });
        folder
            .0
            .retain(|path, _| !path.contains(&format!("IMG_{photo:04}")));
        bench
            .book
            .judge(&mut folder.listed_anew(Some(&bench.book.key)))
    };
    let found = drop(3);
    assert_eq!(found.verdict.word(), INCOMPLETE);
    assert!(
        faults(&found).contains("3 is the first"),
        "{}",
        faults(&found)
    );
    // The last photo leaves none there, but one in the running numbers of the lines.
    let found = drop(6);
    assert_eq!(found.verdict.word(), INCOMPLETE);
    assert!(
        faults(&found).starts_with("running: between line 15 and line 17: 1 of the lines"),
        "{}",
        faults(&found)
    );
    // What came after the last line leaves none at all.
    let found = bench.book.judge(&mut bench.good.clone());
    assert_eq!(found.verdict.word(), PROVEN);
    let told = |it: &Check| it.code == "running" && it.about.contains("nothing in here can show");
    assert!(found.checks.iter().any(told));
}

/// A clock may have been wrong, so nothing is called altered; but no verdict stands without the times that contradict each other.
#[test]
fn times_that_contradict_each_other_stand_beside_the_verdict() {
    let bench = bench();
    for (at, want) in [
        (
            "2026-04-01T00:00:00Z",
            "seal 1 says 2026-04-01T00:00:00Z, but covers line 7, which says 2026-05-01T07:00:00Z: the seal is dated before its lines.",
        ),
        (
            "2026-05-01T10:30:00Z",
            "line 9 (and 1 more) says 2026-05-01T09:00:00Z, but seal 1 of 2026-05-01T10:30:00Z does not cover it: it came after that seal and is dated before it.",
        ),
    ] {
        let found = bench.book.judge(&mut seal_dated(&bench.book, 0, at));
        assert_eq!(found.verdict.word(), PROVEN);
        assert!(
            found.beside.iter().any(|it| it == want),
            "{:#?}",
            found.beside
        );
    }
}

/// A file that is lost, a line that is withheld: the rest still stands, but nobody says "proven" of it.
#[test]
fn lost_and_withheld_is_incomplete() {
    let bench = bench();
    let found = bench.book.judge(&mut bench.book.dossier_without("errand"));
    assert_eq!(found.verdict.word(), INCOMPLETE);
    assert!(
        faults(&found).contains("line 14 is left out (private)"),
        "{}",
        faults(&found)
    );
    let lost = edit_json(&bench.good, package::LEFT_OUT, |it| {
        for file in it["files"]
            .as_array_mut()
            .unwrap()
            .iter_mut()
            .filter(|it| it["no"] == 22)
        {
            file["why"] = "lost".into();
        }
    });
    let found = bench
        .book
        .judge(&mut lost.listed_anew(Some(&bench.book.key)));
    assert_eq!(found.verdict.word(), INCOMPLETE);
    assert!(
        found
            .beside
            .contains(&"2 of 3 kept papers and messages enclosed, 1 lost.".to_owned()),
        "{:#?}",
        found.beside
    );
}

/// Gives names in any order and bytes in pieces of any length, with pauses.
struct Odd<'a> {
    folder: &'a Folder,
    turn: u64,
}

struct Pieces<'a> {
    bytes: &'a [u8],
    turn: u64,
}

impl Read for Pieces<'_> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        self.turn = next(self.turn);
        if self.turn.is_multiple_of(11) {
            return Err(io::ErrorKind::Interrupted.into());
        }
        let n = (1 + self.turn as usize % 700)
            .min(buf.len())
            .min(self.bytes.len());
        buf[..n].copy_from_slice(&self.bytes[..n]);
        self.bytes = &self.bytes[n..];
        Ok(n)
    }
}

fn next(turn: u64) -> u64 {
    turn.wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407)
        >> 1
}

impl FileSource for Odd<'_> {
    fn names(&mut self) -> io::Result<Vec<String>> {
        let mut names: Vec<String> = self.folder.0.keys().cloned().collect();
        let mut turn = self.turn;
        for at in (1..names.len()).rev() {
            turn = next(turn);
            names.swap(at, turn as usize % (at + 1));
        }
        Ok(names)
    }

    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>> {
        self.turn = next(self.turn);
        let bytes = self.folder.0.get(path).ok_or(io::ErrorKind::NotFound)?;
        Ok(Box::new(Pieces {
            bytes,
            turn: self.turn,
        }))
    }
}

/// A dossier in a folder.
struct OnDisk(PathBuf);

impl FileSource for OnDisk {
    fn names(&mut self) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        let mut todo = vec![self.0.clone()];
        while let Some(folder) = todo.pop() {
            for entry in fs::read_dir(folder)? {
                let path = entry?.path();
                match path.is_dir() {
                    true => todo.push(path),
                    false => names.push(
                        path.strip_prefix(&self.0)
                            .unwrap()
                            .to_str()
                            .unwrap()
                            .to_owned(),
                    ),
                }
            }
        }
        Ok(names)
    }

    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>> {
        Ok(Box::new(fs::File::open(self.0.join(path))?))
    }
}

/// Harmless, because nothing that was digested changes: the order in which a disk or a zip gives the names, the pieces in which
/// bytes come, the times of files, where the folder lies, what systems leave behind in folders. Not harmless is a changed line end in `CHECK.txt`: its
/// bytes are listed, and whoever changed them could have changed a command too.
#[test]
fn harmless_differences_raise_no_alarm() {
    let bench = bench();
    let mut count = 0_u64;
    for turn in 0..160_u64 {
        let mut odd = Odd {
            folder: &bench.good,
            turn,
        };
        let found = bench.book.judge(&mut odd);
        assert_eq!(
            (found.verdict.word(), faults(&found)),
            (PROVEN, String::new()),
            "{turn}"
        );
        count += 1;
    }
    for folder in [
        "",
        "data/",
        "data/originals/",
        "data/originals/1-purchase/",
        "data/seals/",
        "data/ledger/",
        "data/kept/",
        "data/exhibits/",
    ] {
        for name in LITTER {
            let mut it = bench.good.clone();
            it.set(&format!("{folder}{name}"), "left behind");
            let found = bench.book.judge(&mut it);
            assert_eq!(
                (found.verdict.word(), faults(&found)),
                (PROVEN, String::new()),
                "{folder}{name}"
            );
            assert!(
                found
                    .checks
                    .iter()
                    .any(|it| it.outcome == Outcome::Told && it.about.contains(name))
            );
            count += 1;
        }
    }
    let dir = tempfile::tempdir().unwrap();
    bench.good.write_out(&dir.path().join("as sent"));
    let mut disk = OnDisk(dir.path().join("as sent"));
    for name in ["moved", "moved again, é", "last place"] {
        let to = dir.path().join(name);
        fs::rename(&disk.0, &to).unwrap();
        disk.0 = to;
        for path in disk.names().unwrap() {
            let file = fs::File::options()
                .append(true)
                .open(disk.0.join(path))
                .unwrap();
            file.set_modified(SystemTime::UNIX_EPOCH + Duration::from_secs(86_400 * count))
                .unwrap();
        }
        let found = bench.book.judge(&mut disk);
        assert_eq!(
            (found.verdict.word(), faults(&found)),
            (PROVEN, String::new()),
            "{name}"
        );
        count += 1;
    }
    // Another reader's signature beside the set, made anew by the same key, is the same: Ed25519 has no chance in it.
    let again = bench.good.listed_anew(Some(&bench.book.key));
    assert!(again == bench.good);
    assert!(count >= 200, "{count}");
    let mut crlf = bench.good.clone();
    let text = crlf.text(package::CHECK_TEXT).replace('\n', "\r\n");
    crlf.set(package::CHECK_TEXT, text);
    let found = bench.book.judge(&mut crlf);
    assert_eq!(found.verdict.word(), ALTERED);
    assert!(
        faults(&found)
            .lines()
            .all(|it| it.contains(package::CHECK_TEXT) || it.contains("bag-info.txt")),
        "{}",
        faults(&found)
    );
}

/// A key that is not the book's cannot sign the set either.
#[test]
fn a_strangers_signature_is_none() {
    let bench = bench();
    let stranger = Key::from_seed(&[42; 32]);
    let mut folder = bench.good.clone();
    let set = folder.0[package::SET].clone();
    folder.set(package::SET_SIGNATURE, stranger.sign(&set));
    let found = bench.book.judge(&mut folder);
    assert_eq!(found.verdict.word(), ALTERED);
    assert!(faults(&found).starts_with("set_signature"));
}
