//! The rules of the house, checked by `cargo test`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Longest file, tests aside.
const FILE_LINES_MAX: usize = 400;

/// Longest function.
const FN_LINES_MAX: usize = 70;

/// Most files beside each other in a folder, `mod.rs` and tests aside.
const FILES_MAX: usize = 15;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

pub(crate) fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

pub(crate) fn files(dir: &str, ext: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut todo = vec![root().join(dir)];
    while let Some(dir) = todo.pop() {
        for entry in fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                todo.push(path);
            } else if path.extension().is_some_and(|it| it == ext) {
                found.push(path.strip_prefix(root()).unwrap().to_owned());
            }
        }
    }
    found.sort();
    found
}

/// `src/room/…` or `src/room.rs`; `None` for `main.rs` and `lib.rs`.
fn room(path: &Path) -> Option<String> {
    let name = path.components().nth(1)?.as_os_str().to_str()?;
    let name = name.strip_suffix(".rs").unwrap_or(name);
    (name != "main" && name != "lib").then(|| name.to_owned())
}

/// Whether a room is a crate of its own, with a `Cargo.toml` in its folder.
fn is_member(room: &str) -> bool {
    root().join("src").join(room).join("Cargo.toml").is_file()
}

/// Test code that stands in files of its own: `tests.rs`, `tests/…`, `fixture.rs`, `fixture/…`, `samples.rs`.
pub(crate) fn is_test(path: &Path) -> bool {
    let name = |it: std::path::Component<'_>| {
        let it = it.as_os_str().to_string_lossy();
        ["tests", "tests.rs", "fixture", "fixture.rs", "samples.rs"].contains(&it.as_ref())
    };
    path.components().any(name)
}

/// The code of a file without the tests at its end. A file of tests that is only declared ends nothing.
pub(crate) fn code_of(text: &str) -> &str {
    const HEAD: &str = "#[cfg(test)]\nmod ";
    let opens = |at: usize| {
        let name = text[at + HEAD.len()..].lines().next();
        name.is_some_and(|it| it.ends_with('{'))
    };
    let tests = text.match_indices(HEAD).find(|(at, _)| opens(*at));
    tests.map_or(text, |(at, _)| &text[..at])
}

struct Room {
    may_use: BTreeSet<String>,
    crates: BTreeSet<String>,
}

/// Reads the room table out of `DEVELOPERS.md`, so that page and code can't drift.
fn rooms() -> Vec<(String, Room)> {
    let words = |cell: &str| cell.split_whitespace().map(str::to_owned).collect();
    read("DEVELOPERS.md")
        .lines()
        .skip_while(|line| !line.starts_with("| room"))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            (
                cells[1].to_owned(),
                Room {
                    may_use: words(cells[2]),
                    crates: words(cells[3]),
                },
            )
        })
        .collect()
}

/// Every identifier that follows `prefix` in `text`, comments left out.
fn after<'a>(text: &'a str, prefix: &str) -> Vec<(usize, &'a str)> {
    let mut found = Vec::new();
    for (n, line) in text.lines().enumerate() {
        let line = line.split("//").next().unwrap();
        for (at, _) in line.match_indices(prefix) {
            let rest = &line[at + prefix.len()..];
            let end = rest
                .find(|c: char| !c.is_alphanumeric() && c != '_')
                .unwrap_or(rest.len());
            found.push((n + 1, &rest[..end]));
        }
    }
    found
}

#[test]
fn rooms_are_listed_in_flow_order_and_use_only_earlier_ones() {
    let rooms = rooms();
    let mut seen = BTreeSet::new();
    for (name, room) in &rooms {
        for used in &room.may_use {
            assert!(
                seen.contains(used),
                "{name} may not use {used}: it comes later"
            );
        }
        seen.insert(name.clone());
    }
    let lib = read("src/lib.rs");
    let mut declared = [after(&lib, "pub use "), after(&lib, "pub mod ")].concat();
    declared.sort_unstable();
    let declared: Vec<&str> = declared.into_iter().map(|(_, it)| it).collect();
    let listed: Vec<&str> = rooms.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(
        declared, listed,
        "lib.rs and DEVELOPERS.md list the rooms differently"
    );
}

#[test]
fn each_room_uses_only_what_its_row_allows() {
    let rooms: BTreeMap<String, Room> = rooms().into_iter().collect();
    let mut owned: BTreeSet<&String> = rooms.values().flat_map(|it| &it.crates).collect();
    // Every other room says `crate::room`, so that its row is looked at.
    owned.extend(rooms.keys().filter(|it| is_member(it)));
    let mut wrong = Vec::new();
    for path in files("src", "rs") {
        let Some(name) = room(&path) else { continue };
        if is_test(&path) {
            continue;
        }
        let text = read(&path);
        let text = code_of(&text);
        let here = &rooms[&name];
        // What a crate of its own calls `crate::` is itself; others it could not reach.
        let inner = if is_member(&name) { "" } else { text };
        for (line, used) in after(inner, "crate::") {
            if used.is_empty() || (used != name && !here.may_use.contains(used)) {
                wrong.push(format!("{}:{line}: crate::{used}", path.display()));
            }
        }
        for outside in &owned {
            // A crate of its own reaches another one by its plain name.
            let member = is_member(&name) && here.may_use.contains(*outside);
            if here.crates.contains(*outside) || **outside == name || member {
                continue;
            }
            let used = text.lines().any(|line| {
                let line = line.split("//").next().unwrap();
                line.trim_start().starts_with(&format!("use {outside};"))
                    || line.match_indices(&format!("{outside}::")).any(|(at, _)| {
                        let before = line[..at].chars().next_back();
                        !before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':')
                    })
            });
            if used {
                wrong.push(format!(
                    "{}: {outside} belongs to another room",
                    path.display()
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

/// The names in a section of a `Cargo.toml`, in the spelling of Rust.
fn listed(manifest: &str, section: &str) -> BTreeSet<String> {
    let names = manifest
        .lines()
        .skip_while(|line| *line != section)
        .skip(1)
        .take_while(|line| !line.starts_with('['))
        .filter_map(|line| line.split(['.', ' ', '=']).next())
        .filter(|it| !it.is_empty() && !it.starts_with('#'));
    names.map(|it| it.replace('-', "_")).collect()
}

#[test]
fn a_room_that_is_a_crate_lists_the_crates_of_its_row_and_rooms_that_are_crates() {
    let everybodys = ["serde", "serde_json", "thiserror"].map(str::to_owned);
    for (name, room) in rooms().iter().filter(|(name, _)| is_member(name)) {
        let manifest = read(Path::new("src").join(name).join("Cargo.toml"));
        let dependencies = listed(&manifest, "[dependencies]");
        let own: BTreeSet<String> = dependencies
            .into_iter()
            .filter(|it| !everybodys.contains(it))
            .collect();
        let row: BTreeSet<String> = room.crates.union(&room.may_use).cloned().collect();
        assert_eq!(own, row, "src/{name}/Cargo.toml and its row differ");
        let inner = room.may_use.iter().find(|it| !is_member(it));
        assert!(inner.is_none(), "{name} can't reach {inner:?}");
        assert!(
            manifest.contains("[lints]\nworkspace = true\n"),
            "src/{name}/Cargo.toml leaves out the lints of the house"
        );
        let profile = format!("[profile.dev.package.{name}]");
        assert!(
            read("Cargo.toml").contains(&profile),
            "why is {name} a crate of its own? {profile} is missing in Cargo.toml"
        );
    }
}

#[test]
fn files_and_functions_stay_short() {
    let mut wrong = Vec::new();
    for path in files("src", "rs") {
        if is_test(&path) {
            continue;
        }
        let text = read(&path);
        let code = code_of(&text);
        if code.lines().count() > FILE_LINES_MAX {
            wrong.push(format!(
                "{}: {} lines",
                path.display(),
                code.lines().count()
            ));
        }
        let lines: Vec<&str> = code.lines().collect();
        for (n, line) in lines.iter().enumerate() {
            let indent = line.len() - line.trim_start().len();
            let head = line.trim_start();
            let is_fn =
                head.starts_with("fn ") || (head.starts_with("pub") && head.contains(" fn "));
            if !is_fn || head.ends_with('}') {
                continue;
            }
            let close = format!("{}}}", " ".repeat(indent));
            let len = lines[n..].iter().position(|it| **it == close).unwrap_or(0) + 1;
            if len > FN_LINES_MAX {
                wrong.push(format!(
                    "{}:{}: function of {len} lines",
                    path.display(),
                    n + 1
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

#[test]
fn no_folder_is_crowded() {
    let mut beside: BTreeMap<PathBuf, usize> = BTreeMap::new();
    for path in files("src", "rs") {
        if !is_test(&path) && !path.ends_with("mod.rs") {
            *beside.entry(path.parent().unwrap().to_owned()).or_default() += 1;
        }
    }
    beside.retain(|_, count| *count > FILES_MAX);
    assert!(beside.is_empty(), "files beside each other: {beside:?}");
}

#[test]
fn every_folder_says_what_comes_in_and_what_goes_out() {
    let mut silent = Vec::new();
    for path in files("src", "rs") {
        let opens = path.ends_with("mod.rs") || (path.ends_with("lib.rs") && room(&path).is_some());
        if !opens || is_test(&path) {
            continue;
        }
        let text = read(&path);
        let head: Vec<&str> = text
            .lines()
            .take_while(|it| it.starts_with("//!"))
            .collect();
        let head = head.join(" ");
        let ways = ["In: ", "In and out: ", " into ", "->"];
        if !ways.iter().any(|it| head.contains(it)) {
            silent.push(path);
        }
    }
    assert!(silent.is_empty(), "say nothing of In and Out: {silent:#?}");
}

#[test]
fn every_template_is_embedded_and_used() {
    let embedded: BTreeSet<&str> = asfound::report::TEMPLATES.iter().map(|it| it.0).collect();
    let mut there = BTreeSet::new();
    for ext in ["html", "css", "js"] {
        for path in files("templates", ext) {
            if !path.starts_with(MARKING_PAGE) {
                there.insert(path.file_name().unwrap().to_str().unwrap().to_owned());
            }
        }
    }
    let there: BTreeSet<&str> = there.iter().map(String::as_str).collect();
    assert_eq!(there, embedded, "templates/ and report::TEMPLATES differ");
    let mut texts: String = there
        .iter()
        .map(|it| read(Path::new("templates").join(it)))
        .collect();
    for path in files("src/report", "rs") {
        if !path.ends_with("templates.rs") {
            texts.push_str(&read(&path));
        }
    }
    for name in there.iter().filter(|it| **it != "page.html") {
        assert!(
            texts.contains(&format!("\"{name}\"")),
            "no template uses {name}"
        );
    }
}

/// The files of the marking page.
const MARKING_PAGE: &str = "templates/mark";

#[test]
fn every_file_of_the_marking_page_is_embedded_and_used() {
    let mut there = BTreeMap::new();
    for entry in fs::read_dir(root().join(MARKING_PAGE)).unwrap() {
        let path = entry.unwrap().path();
        assert!(
            path.is_file(),
            "{}: the page has no folders",
            path.display()
        );
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        there.insert(name, fs::read_to_string(&path).unwrap());
    }
    there.insert("palette.css".into(), read("templates/palette.css"));
    let embedded: BTreeMap<String, String> = asfound::desk::ASSETS
        .iter()
        .map(|it| {
            (
                it.name.to_owned(),
                String::from_utf8(it.bytes.to_vec()).unwrap(),
            )
        })
        .collect();
    assert_eq!(
        there.keys().collect::<Vec<_>>(),
        embedded.keys().collect::<Vec<_>>(),
        "templates/mark/ and desk::ASSETS differ"
    );
    assert_eq!(
        there, embedded,
        "a file of the page is embedded in another state"
    );
    for it in asfound::desk::ASSETS {
        let media_type = match it.name.rsplit('.').next().unwrap() {
            "html" => "text/html; charset=utf-8",
            "css" => "text/css; charset=utf-8",
            "mjs" => "text/javascript; charset=utf-8",
            "svg" => "image/svg+xml",
            other => panic!("{}: nobody knows how to serve .{other}", it.name),
        };
        assert_eq!(it.media_type, media_type, "{}", it.name);
        let used = |(name, text): (&String, &String)| {
            let ways = [
                format!("\"/assets/{}\"", it.name),
                format!("\"./{}\"", it.name),
            ];
            name != it.name && ways.iter().any(|way| text.contains(way.as_str()))
        };
        assert!(
            it.name == "mark.html" || there.iter().any(used),
            "no file of the page uses {}",
            it.name
        );
    }
}

#[test]
fn every_migration_is_applied_in_order() {
    let sql = files("src/record/file/migrations", "sql");
    assert_eq!(sql.len(), asfound::record::STEPS.len());
    for (n, (path, step)) in sql.iter().zip(asfound::record::STEPS).enumerate() {
        let name = path.file_name().unwrap().to_str().unwrap();
        assert!(
            name.starts_with(&format!("{:04}_", n + 1)),
            "{name} is out of order"
        );
        assert_eq!(read(path), *step);
    }
}

/// Steps that were released, by the SHA-256 of their text; a step in this list is never edited.
const RELEASED: &[&str] = &[
    "31042119a305ad9d3b7931f3a38e4f04c28b6266e9e679661b29ba8f45561083",
    "b3aa9b5d6f4f0c8d6195ba05ac954f588eafd8464cb2c209a57b463e2a467315",
    "6502ef624ef11c37796e823001ff59fb41e832a7a1ab61f9644eee5c6ca1a8f9",
];

#[test]
fn released_migrations_stay_as_they_are() {
    for (step, digest) in asfound::record::STEPS.iter().zip(RELEASED) {
        let now = asfound::kit::digest::Digest::of(step.as_bytes()).to_string();
        assert_eq!(now, *digest, "a released step was edited");
    }
}

/// Most packages in the lock file; each one is somebody's code that we ship.
const PACKAGES_MAX: usize = 260;

/// Most packages that are there in two versions.
const TWICE_MAX: usize = 4;

/// Packages that have an open advisory, by the advisory.
const ADVISED_AGAINST: [(&str, &str); 1] = [("rsa", "RUSTSEC-2023-0071")];

/// The packages of the lock file that come from elsewhere, so without the members of the house: name and version.
pub(crate) fn locked() -> BTreeSet<(String, String)> {
    let text = read("Cargo.lock");
    let value = |package: &str, key: &str| {
        let line = package.lines().find_map(|it| it.strip_prefix(key));
        line.unwrap().trim_matches([' ', '=', '"']).to_owned()
    };
    // What has no source is a crate of this repository.
    text.split("[[package]]")
        .skip(1)
        .filter(|it| it.contains("\nsource = "))
        .map(|it| (value(it, "name"), value(it, "version")))
        .collect()
}

#[test]
fn the_lock_file_stays_small() {
    let locked = locked();
    let count = locked.len() + 1;
    assert!(count <= PACKAGES_MAX, "{count} packages");
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for (name, _) in &locked {
        *versions.entry(name).or_default() += 1;
    }
    for (name, advisory) in ADVISED_AGAINST {
        assert!(!versions.contains_key(name), "{name}: {advisory}");
    }
    versions.retain(|_, count| *count > 1);
    assert!(versions.len() <= TWICE_MAX, "more than once: {versions:?}");
}

#[test]
fn the_top_level_holds_what_it_should() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        ".gitignore",
        ".ci",
        "src",
        "templates",
        "tests",
        "demo",
    ];
    let git = std::process::Command::new("git")
        .args(["ls-files"])
        .current_dir(root())
        .output();
    let Ok(git) = git else { return };
    for path in String::from_utf8_lossy(&git.stdout).lines() {
        let first = path.split('/').next().unwrap();
        assert!(
            known.contains(&first),
            "{path} has no place at the top level"
        );
    }
}

/// The one place that writes to standard output and standard error.
const PRINTER: &str = "src/cli/output/mod.rs";

#[test]
fn only_one_place_prints() {
    for path in files("src", "rs") {
        if path == Path::new(PRINTER) || is_test(&path) {
            continue;
        }
        let text = read(&path);
        let code = code_of(&text);
        for word in ["println!", "eprintln!", "print!(", "::stdout", "::stderr"] {
            assert!(!code.contains(word), "{}: {word}", path.display());
        }
    }
}

#[test]
fn every_test_file_is_declared() {
    let declared: BTreeSet<String> = after(&read("tests/it/main.rs"), "mod ")
        .into_iter()
        .map(|(_, it)| it.to_owned())
        .collect();
    for path in files("tests/it", "rs") {
        let stem = path.file_stem().unwrap().to_str().unwrap();
        assert!(
            stem == "main" || declared.contains(stem),
            "tests/it/{stem}.rs never runs"
        );
    }
}

#[test]
fn src_takes_in_no_file_of_tests() {
    let takes = |path: &PathBuf| {
        let text = read(path);
        let mut lines = text.lines();
        lines.any(|it| {
            let names = it.contains("include_") || it.contains("#[path");
            names && it.contains("../tests/")
        })
    };
    let found: Vec<PathBuf> = files("src", "rs").into_iter().filter(takes).collect();
    assert!(found.is_empty(), "{found:?}");
}
