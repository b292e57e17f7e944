//! No circle of files inside a room: whoever reads a file has read all that it rests on before it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::path::Path;

use crate::tidy::code_of;
use crate::tidy::files;
use crate::tidy::is_test;
use crate::tidy::read;

/// `report::drawing::view` of `src/report/drawing/view.rs`; a `mod.rs` goes by its folder.
fn module(path: &Path) -> String {
    let path = path.strip_prefix("src").unwrap().with_extension("");
    let names = path.iter().map(|it| it.to_str().unwrap());
    let names: Vec<&str> = names.filter(|it| *it != "mod").collect();
    names.join("::")
}

/// The files of the source by their modules, and what each `mod.rs` hands on: the name it gives, and whose it is.
struct Source {
    files: BTreeMap<String, String>,
    handed_on: BTreeMap<String, String>,
}

impl Source {
    fn read() -> Self {
        let mut it = Self {
            files: BTreeMap::new(),
            handed_on: BTreeMap::new(),
        };
        for path in files("src", "rs") {
            if is_test(&path) || path.iter().count() < 3 {
                continue;
            }
            let text = read(&path);
            let (module, code) = (module(&path), code_of(&text));
            for line in code.lines().filter(|_| path.ends_with("mod.rs")) {
                it.hand_on(&module, line);
            }
            it.files
                .insert(module, plain(code, path.ends_with("mod.rs")));
        }
        it
    }

    fn hand_on(&mut self, module: &str, line: &str) {
        let Some((_, of)) = line
            .strip_prefix("pub")
            .and_then(|it| it.split_once("use "))
        else {
            return;
        };
        let of = of.trim_end_matches(';');
        let (of, name) = match of.split_once(" as ") {
            Some((of, name)) => (of, name),
            None => (of, of.rsplit("::").next().unwrap()),
        };
        let of = match of.strip_prefix("crate::") {
            Some(of) => of.to_owned(),
            None => format!("{module}::{of}"),
        };
        self.handed_on.insert(format!("{module}::{name}"), of);
    }

    /// The module in which a path ends, through everything that is handed on.
    fn end_of(&self, path: &str) -> Option<&str> {
        let mut ends: Vec<usize> = path.match_indices("::").map(|it| it.0).collect();
        ends.push(path.len());
        for end in ends.into_iter().rev() {
            let (start, rest) = path.split_at(end);
            // A module and what it hands on may have one name: with more behind it, the module is meant.
            let named = rest.is_empty() || !self.files.contains_key(start);
            if let Some(of) = self.handed_on.get(start).filter(|_| named) {
                return self.end_of(&format!("{of}{rest}"));
            }
            if let Some((module, _)) = self.files.get_key_value(start) {
                return Some(module);
            }
        }
        None
    }

    /// The modules of the same room that a module names.
    fn ties(&self, module: &str) -> BTreeSet<&str> {
        let room = |it: &str| it.split("::").next().unwrap().to_owned();
        let code = &self.files[module];
        let named = code.match_indices("crate::").filter_map(|(at, it)| {
            let path = &code[at + it.len()..];
            let end = path.find(|c: char| !c.is_alphanumeric() && c != '_' && c != ':');
            self.end_of(path[..end.unwrap_or(path.len())].trim_end_matches(':'))
        });
        named
            .filter(|it| *it != module && room(it) == room(module))
            .collect()
    }
}

/// Code without comments, without `pub(in ...)`, and in a `mod.rs` without what is only handed on.
fn plain(code: &str, hands_on: bool) -> String {
    let lines = code.lines().filter(|it| {
        let hands = hands_on && it.starts_with("pub") && it.contains("use ");
        !hands
    });
    let lines = lines.map(|it| it.split("//").next().unwrap().replace("pub(in crate::", ""));
    lines.collect::<Vec<_>>().join("\n")
}

/// Every module that can be reached from one.
fn reached<'a>(from: &'a str, ties: &BTreeMap<&'a str, BTreeSet<&'a str>>) -> BTreeSet<&'a str> {
    let mut found = BTreeSet::new();
    let mut todo = vec![from];
    while let Some(it) = todo.pop() {
        todo.extend(ties[it].iter().filter(|it| found.insert(**it)));
    }
    found
}

#[test]
fn no_files_of_a_room_lie_in_a_circle() {
    let source = Source::read();
    let ties = source.files.keys().map(|it| (it.as_str(), source.ties(it)));
    let ties: BTreeMap<&str, BTreeSet<&str>> = ties.collect();
    let mut circles = Vec::new();
    for module in ties.keys() {
        if !reached(module, &ties).contains(module) {
            continue;
        }
        let back = ties[module].iter();
        let back = back.filter(|it| reached(it, &ties).contains(module));
        circles.push(format!("{module} -> {:?}", back.collect::<Vec<_>>()));
    }
    assert!(
        circles.is_empty(),
        "circles:
{}
",
        circles.join(
            "
"
        )
    );
}

#[test]
fn a_tie_is_followed_through_what_is_handed_on() {
    let mut source = Source {
        files: BTreeMap::from([
            ("room".to_owned(), String::new()),
            ("room::inner".to_owned(), String::new()),
            (
                "room::user".to_owned(),
                "use crate::room::Thing;\nfn f() { crate::room::make() }".to_owned(),
            ),
        ]),
        handed_on: BTreeMap::new(),
    };
    source.hand_on("room", "pub use inner::Thing;");
    source.hand_on("room", "pub use inner::inner;");
    assert_eq!(source.end_of("room::inner"), Some("room::inner"));
    assert_eq!(source.end_of("room::Thing::new"), Some("room::inner"));
    assert_eq!(
        source.ties("room::user"),
        BTreeSet::from(["room", "room::inner"])
    );
}
