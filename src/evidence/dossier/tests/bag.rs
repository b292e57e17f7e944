//! Bags written and read. The cases of faulty bags restate, in small bags of our own, those of the open conformance suite
//! LibraryOfCongress/bagit-conformance-suite (CC0, folders v0.97/invalid, v0.97/warning and v1.0/invalid) and RFC 8493.

#[path = "bag/faults.rs"]
mod faults;

use std::collections::BTreeMap;
use std::io;
use std::io::Read;

use super::FileSink;
use super::FileSource;
use super::Writer;
use crate::evidence::dossier::bag_read::Bag;
use crate::evidence::dossier::bag_read::Fault;
use crate::evidence::dossier::bag_read::FaultKind;
use crate::evidence::dossier::bag_read::read;

#[derive(Clone, Default)]
pub(super) struct Memory(BTreeMap<String, Vec<u8>>);

impl FileSink for Memory {
    fn file(&mut self, path: &str, from: &mut dyn Read) -> io::Result<()> {
        let mut bytes = Vec::new();
        from.read_to_end(&mut bytes)?;
        assert!(
            self.0.insert(path.to_owned(), bytes).is_none(),
            "{path} written twice"
        );
        Ok(())
    }
}

impl FileSource for Memory {
    fn names(&mut self) -> io::Result<Vec<String>> {
        Ok(self.0.keys().rev().cloned().collect())
    }

    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>> {
        let bytes = self.0.get(path).ok_or(io::ErrorKind::NotFound)?;
        Ok(Box::new(bytes.as_slice()))
    }
}

pub(super) const NAMES: [&str; 4] = ["a.txt", "b/ü 1.jpg", "b/50%.txt", "c/line\nend\r.txt"];

pub(super) fn good() -> Memory {
    bag_of(&NAMES)
}

pub(super) fn bag_of(names: &[&str]) -> Memory {
    let mut memory = Memory::default();
    let mut writer = Writer::new(&mut memory);
    for name in names {
        writer.payload(name, name.as_bytes()).unwrap();
    }
    writer
        .finish(&[
            ("External-Description", "a bag\nof four"),
            ("Bagging-Date", "2026-06-21"),
        ])
        .unwrap();
    memory
}

pub(super) fn text(memory: &Memory, path: &str) -> String {
    String::from_utf8(memory.0[path].clone()).unwrap()
}

pub(super) fn set(memory: &mut Memory, path: &str, bytes: impl Into<Vec<u8>>) {
    memory.0.insert(path.to_owned(), bytes.into());
}

/// Without tag manifests, so that only the change itself is told.
pub(super) fn bare() -> Memory {
    let mut it = good();
    it.0.retain(|path, _| !path.starts_with("tagmanifest"));
    it
}

pub(super) fn kinds(memory: &mut Memory) -> Vec<FaultKind> {
    let bag = read(memory).unwrap();
    let mut kinds: Vec<FaultKind> = bag.faults.iter().map(|it| it.kind).collect();
    kinds.dedup();
    kinds
}

#[test]
fn a_written_bag_is_valid_and_says_what_was_put_in() {
    let mut memory = good();
    let Bag {
        files,
        info,
        faults,
    } = read(&mut memory).unwrap();
    assert_eq!(faults, []);
    assert_eq!(files.len(), 4 + 6);
    let octets: usize = NAMES.iter().map(|it| it.len()).sum();
    let pairs: Vec<String> = info.iter().map(|(a, b)| format!("{a}={b}")).collect();
    assert_eq!(
        pairs,
        [
            "External-Description=a bag of four".to_owned(),
            "Bagging-Date=2026-06-21".to_owned(),
            format!("Payload-Oxum={octets}.4")
        ]
    );
    let manifest = text(&memory, "manifest-sha256.txt");
    assert!(
        manifest.contains("  data/b/50%25.txt\n")
            && manifest.contains("  data/c/line%0Aend%0D.txt\n")
    );
}

#[test]
fn nothing_unsafe_or_double_is_written() {
    let mut memory = Memory::default();
    let mut writer = Writer::new(&mut memory);
    writer.payload("a/B.jpg", &b""[..]).unwrap();
    assert!(!writer.is_free("A/b.JPG") && writer.is_free("a/c.jpg"));
    for wrong in ["a/b.jpg", "a/B.jpg", "../x", "", "a//b", "x\\y", "a/./b"] {
        assert!(writer.payload(wrong, &b""[..]).is_err(), "{wrong}");
    }
    assert!(writer.finish(&[("Contact-Name:", "x")]).is_err());
}

#[test]
fn a_changed_file_beside_the_payload_is_told_by_the_tag_manifest() {
    for path in [
        "bagit.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
        "manifest-sha512.txt",
    ] {
        let mut it = good();
        let longer = format!("{}\n", text(&it, path));
        set(&mut it, path, longer);
        let bag = read(&mut it).unwrap();
        let told = |fault: &&Fault| fault.kind == FaultKind::Digest && fault.path == path;
        assert_eq!(bag.faults.iter().filter(told).count(), 2, "{path}");
        it.0.remove(path);
        assert!(!read(&mut it).unwrap().is_valid(), "{path}");
    }
}

#[test]
fn what_the_standard_allows_is_valid_but_told_as_another_spelling() {
    let changes: [fn(&mut Memory); 4] = [
        |it| {
            set(
                it,
                "bagit.txt",
                "BagIt-Version: 1.0\r\nTag-File-Character-Encoding: UTF-8",
            )
        },
        |it| {
            let text = text(it, "manifest-sha256.txt");
            set(it, "manifest-sha256.txt", text.replace("  ", " \t"));
        },
        |it| {
            let text = text(it, "manifest-sha256.txt").replace('\n', "\r\n");
            set(it, "manifest-sha256.txt", text);
        },
        |it| {
            let text = text(it, "manifest-sha256.txt");
            let lines: Vec<String> = text
                .lines()
                .rev()
                .map(|line| format!("{}{}\n", line[..64].to_uppercase(), &line[64..]))
                .collect();
            set(it, "manifest-sha256.txt", lines.concat());
        },
    ];
    for (n, change) in changes.iter().enumerate() {
        let mut it = bare();
        change(&mut it);
        let bag = read(&mut it).unwrap();
        assert!(
            bag.is_valid() && bag.faults.len() == 1,
            "{n}: {:?}",
            bag.faults
        );
    }
}

/// Folders on a disk, for the reference tool.
fn write_out(memory: &Memory, folder: &std::path::Path) {
    for (path, bytes) in &memory.0 {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
}

fn read_in(folder: &std::path::Path) -> Memory {
    let mut memory = Memory::default();
    let mut todo = vec![folder.to_owned()];
    while let Some(dir) = todo.pop() {
        for entry in std::fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                todo.push(path);
            } else {
                let name = path
                    .strip_prefix(folder)
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .to_owned();
                memory.0.insert(name, std::fs::read(path).unwrap());
            }
        }
    }
    memory
}

/// bagit.py 1.9.0 calls our bags valid and we call its bags valid; runs where `ASFOUND_REFERENCE` is set.
///
/// Names with `%` are left out: that tool does not spell them as RFC 8493, section 2.1.3 says.
#[test]
fn the_reference_tool_agrees_both_ways() {
    let Some(reference) = std::env::var_os("ASFOUND_REFERENCE") else {
        return;
    };
    let run = |args: &[&str], folder: &std::path::Path| {
        let mut command = std::process::Command::new("python3");
        command.env(
            "PYTHONPATH",
            std::path::Path::new(&reference).join("python"),
        );
        command
            .args(["-m", "bagit", "--quiet"])
            .args(args)
            .arg(folder);
        command.output().unwrap().status.success()
    };
    let dir = tempfile::tempdir().unwrap();
    let ours = dir.path().join("ours");
    let names: Vec<&str> = NAMES.into_iter().filter(|it| !it.contains('%')).collect();
    write_out(&bag_of(&names), &ours);
    assert!(run(&["--validate"], &ours));
    std::fs::write(ours.join("data/a.txt"), "other").unwrap();
    assert!(!run(&["--validate"], &ours));

    let theirs = dir.path().join("theirs");
    let mut plain = Memory::default();
    for name in ["a.txt", "b/ü 1.jpg"] {
        set(&mut plain, name, name);
    }
    write_out(&plain, &theirs);
    assert!(run(&["--sha256", "--sha512"], &theirs));
    // It writes version 0.97, whose payload and manifests are the same; only the declaration is put right.
    std::fs::write(theirs.join("bagit.txt"), super::DECLARATION).unwrap();
    let mut found = read_in(&theirs);
    found.0.retain(|path, _| !path.starts_with("tagmanifest"));
    let bag = read(&mut found).unwrap();
    assert!(bag.is_valid(), "{:?}", bag.faults);
    assert_eq!(bag.files.len(), 2 + 4);
    set(&mut found, "data/a.txt", "other");
    assert!(!read(&mut found).unwrap().is_valid());
}
