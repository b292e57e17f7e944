//! The licences of all packages in the lock file: printed by the program, and written anew by this test.
//!
//! `ASFOUND_ACCEPT=1` writes the file from the sources that cargo has; read it before it is committed.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

use crate::tidy::locked;

const FILE: &str = "src/cli/licences.txt";

/// Packages that name a licence, but bring no text of it, and the package whose text is the same licence's.
const TEXT_OF: &str = "anstyle";

const HEAD: &str = "\
Packages that asfound is built from, for all systems and with what only its tests need: name, version, licence by its SPDX
identifier, the numbers of the texts below, and who holds the rights. A package without a text of its own has the usual text.
";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The licence files of a package, in the order of their names.
fn files(folder: &Path) -> Vec<PathBuf> {
    let is_licence = |path: &PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().to_lowercase();
        let kinds = ["licen", "copying", "notice", "unlicense", "copyright"];
        path.is_file() && !name.ends_with(".rs") && kinds.iter().any(|it| name.starts_with(it))
    };
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|it| it.unwrap().path())
        .filter(is_licence)
        .collect();
    found.sort();
    found
}

/// A text without the lines that name who holds the rights, and those lines.
fn parted(text: &str) -> (String, Vec<String>) {
    let text = text.replace('\r', "");
    let names = |line: &&str| {
        let line = line.trim().to_lowercase();
        line.starts_with("copyright") && line.contains(|c: char| c.is_ascii_digit() || c == '©')
            || line.starts_with("copyright (c)")
    };
    let holders = text.lines().filter(names).map(|it| it.trim().to_owned());
    let rest: Vec<&str> = text.lines().filter(|it| !names(it)).collect();
    (rest.join("\n").trim().to_owned(), holders.collect())
}

/// The file, by what cargo knows.
fn written() -> String {
    let run = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let known: Value = serde_json::from_slice(&run.stdout).unwrap();
    let mut packages: Vec<&Value> = known["packages"].as_array().unwrap().iter().collect();
    // The members of the house have no source.
    packages.retain(|it| !it["source"].is_null());
    let folder = |it: &Value| {
        let manifest = PathBuf::from(it["manifest_path"].as_str().unwrap());
        manifest.parent().unwrap().to_owned()
    };
    let usual = packages.iter().find(|it| it["name"] == TEXT_OF).unwrap();
    let usual = files(&folder(usual));
    let (mut list, mut texts, mut numbers) = (String::new(), Vec::new(), BTreeMap::new());
    packages.sort_by_key(|it| (it["name"].to_string(), it["version"].to_string()));
    for it in packages {
        let mut own = files(&folder(it));
        let licence = it["license"].as_str().unwrap_or("see the text");
        let (mut used, mut holders) = (BTreeSet::new(), BTreeSet::new());
        if own.is_empty() {
            assert!(
                licence.contains("MIT") || licence.contains("Apache-2.0"),
                "{it}"
            );
            own.clone_from(&usual);
        }
        for path in own {
            let Ok(text) = fs::read_to_string(&path) else {
                panic!("{}: no text", path.display());
            };
            let (text, named) = parted(&text);
            // The same words, however they are broken into lines.
            let key = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let number = *numbers.entry(key.to_lowercase()).or_insert_with(|| {
                texts.push(text);
                texts.len()
            });
            used.insert(number);
            if !usual.contains(&path) || it["name"] == TEXT_OF {
                holders.extend(named);
            }
        }
        let used: Vec<String> = used.iter().map(usize::to_string).collect();
        let (name, version) = (
            it["name"].as_str().unwrap(),
            it["version"].as_str().unwrap(),
        );
        writeln!(list, "{name} {version} | {licence} | {}", used.join(" ")).unwrap();
        for holder in holders {
            writeln!(list, "    {holder}").unwrap();
        }
    }
    let mut whole = format!("{HEAD}\n{list}");
    for (n, text) in texts.iter().enumerate() {
        let rule = "=".repeat(70);
        write!(whole, "\n{rule}\nText {}\n{rule}\n\n{text}\n", n + 1).unwrap();
    }
    whole
}

#[test]
fn the_licences_are_those_of_the_lock_file_and_are_printed() {
    if std::env::var_os("ASFOUND_ACCEPT").is_some_and(|it| it == "1") {
        fs::write(root().join(FILE), written()).unwrap();
    }
    let text = fs::read_to_string(root().join(FILE)).unwrap();
    let mut named = BTreeSet::new();
    for line in text.lines().take_while(|it| !it.starts_with("===")) {
        let parts: Vec<&str> = line.split(" | ").collect();
        let [package, licence, numbers] = parts[..] else {
            continue;
        };
        let (name, version) = package.split_once(' ').unwrap();
        assert!(
            named.insert((name.to_owned(), version.to_owned())),
            "{line}"
        );
        assert!(!licence.is_empty() && !numbers.is_empty(), "{line}");
        for number in numbers.split(' ') {
            assert!(text.contains(&format!("\nText {number}\n")), "{line}");
        }
    }
    assert_eq!(
        named,
        locked(),
        "{FILE} and Cargo.lock name different packages"
    );
    let run = Command::new(env!("CARGO_BIN_EXE_asfound"))
        .args(["install", "licences"])
        .output()
        .unwrap();
    let printed = String::from_utf8(run.stdout).unwrap();
    assert!(printed == text, "what is printed is not {FILE}");
}
