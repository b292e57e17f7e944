//! Reads a bag (RFC 8493) and tells what is wrong with it. Files are read once, a piece at a time; only the texts beside the
//! payload are held.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::io;
use std::io::Read as _;

use crate::evidence::dossier::bag::DECLARATION;
use crate::evidence::dossier::bag::FileSource;
use crate::evidence::dossier::bag::Kind;
use crate::evidence::dossier::bag::OXUM;
use crate::evidence::dossier::package::START_HERE;
use crate::evidence::dossier::paths;
use crate::kit::checksums::Checksums;
use crate::kit::checksums::Summing;

/// The longest text beside the payload that is read, bytes.
const TEXT_MAX: u64 = 64 << 20;

/// A bag as found.
#[derive(Clone, Debug, Default)]
pub struct Bag {
    /// Every file that could be read, payload and the rest.
    pub files: BTreeMap<String, Checksums>,
    /// Labels and values of `bag-info.txt`, in order.
    pub info: Vec<(String, String)>,
    /// What is wrong, by kind and path.
    pub faults: Vec<Fault>,
}

/// Something wrong with a bag.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// Of which kind.
    pub kind: FaultKind,
    /// Which file.
    pub path: String,
    /// What, in plain words.
    pub about: String,
}

/// Kinds of faults.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultKind {
    /// `bagit.txt` is missing or says something else.
    Declaration,
    /// A path that leaves the bag, or that is there twice.
    Path,
    /// A file that a manifest names is not there, or a manifest is not.
    Missing,
    /// A file is there but cannot be read.
    Unreadable,
    /// A payload file that no manifest names.
    Extra,
    /// A file is not the one that was digested.
    Digest,
    /// A manifest is not one, or two manifests disagree.
    Manifest,
    /// `bag-info.txt` is not one.
    Info,
    /// The payload is not what `bag-info.txt` counts.
    Count,
    /// Allowed by the standard, but not as this program writes it: somebody else's bag, or a change.
    Spelling,
}

impl Bag {
    /// Whether the standard calls it valid.
    #[must_use]
    pub fn is_valid(&self) -> bool {
        self.faults.iter().all(|it| it.kind == FaultKind::Spelling)
    }

    fn fault(&mut self, kind: FaultKind, path: &str, about: impl Into<String>) {
        self.faults.push(Fault {
            kind,
            path: path.to_owned(),
            about: about.into(),
        });
    }
}

/// Reads a bag.
///
/// # Errors
/// When its files cannot be listed.
pub fn read(source: &mut dyn FileSource) -> io::Result<Bag> {
    let mut names = source.names()?;
    names.sort();
    let mut bag = Bag::default();
    let names = distinct(&mut bag, names);
    let mut texts = BTreeMap::new();
    for name in &names {
        match sums_of(source, name) {
            Ok((sums, text)) => {
                bag.files.insert(name.clone(), sums);
                texts.insert(name.clone(), text);
            }
            Err(why) => bag.fault(
                FaultKind::Unreadable,
                name,
                format!("it cannot be read: {why}"),
            ),
        }
    }
    declaration(&mut bag, texts.get("bagit.txt"));
    info(&mut bag, texts.get("bag-info.txt"));
    let payload = listed(&mut bag, &texts, "manifest-");
    let tags = listed(&mut bag, &texts, "tagmanifest-");
    if payload.is_empty() {
        bag.fault(
            FaultKind::Missing,
            "manifest-sha256.txt",
            "there is no manifest by SHA-256 or SHA-512",
        );
    }
    compare(&mut bag, &payload, &names);
    compare(&mut bag, &tags, &names);
    if names.contains(START_HERE) && !tags.iter().any(|it| it.sums.contains_key(START_HERE)) {
        bag.fault(FaultKind::Extra, START_HERE, "no manifest names it");
    }
    extra(&mut bag, &payload, &names);
    bag.faults.sort();
    bag.faults.dedup();
    Ok(bag)
}

/// Refuses paths that leave the bag, and the second of two that some systems take for one.
fn distinct(bag: &mut Bag, names: Vec<String>) -> BTreeSet<String> {
    let mut folded = BTreeSet::new();
    let mut kept = BTreeSet::new();
    for name in names {
        if let Err(why) = paths::safe(&name) {
            bag.fault(FaultKind::Path, &name, format!("it is not opened: {why}"));
        } else if !folded.insert(name.to_lowercase()) {
            let about = "another file has the same path, capitals aside; only the first is read";
            bag.fault(FaultKind::Path, &name, about);
        } else {
            kept.insert(name);
        }
    }
    kept
}

/// Digests a file; of those beside the payload the bytes too.
fn sums_of(source: &mut dyn FileSource, name: &str) -> io::Result<(Checksums, Vec<u8>)> {
    let from = source.open(name)?;
    if name.starts_with("data/") {
        return Ok((Checksums::of(from)?, Vec::new()));
    }
    let mut summing = Summing::new(from.take(TEXT_MAX));
    let mut text = Vec::new();
    let n = summing.read_to_end(&mut text)?;
    if n as u64 == TEXT_MAX {
        return Err(io::Error::other("it is too long for what it should be"));
    }
    Ok((summing.sums(), text))
}

/// The lines of a text, ended by LF, CRLF or CR; the last may lack its end.
fn lines(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let end = rest.find(['\n', '\r']).unwrap_or(rest.len());
        found.push(&rest[..end]);
        rest = &rest[end..];
        rest = rest
            .strip_prefix("\r\n")
            .or_else(|| rest.strip_prefix(['\n', '\r']))
            .unwrap_or(rest);
    }
    found
}

fn declaration(bag: &mut Bag, text: Option<&Vec<u8>>) {
    let Some(bytes) = text else {
        if !bag.faults.iter().any(|it| it.path == "bagit.txt") {
            bag.fault(FaultKind::Missing, "bagit.txt", "it is not there");
        }
        return;
    };
    if bytes == DECLARATION.as_bytes() {
        return;
    }
    let text = String::from_utf8_lossy(bytes);
    if lines(&text) == lines(DECLARATION) {
        let about = "its line ends are not those of this program";
        bag.fault(FaultKind::Spelling, "bagit.txt", about);
    } else {
        let about =
            "it does not say, in two lines: BagIt-Version: 1.0, Tag-File-Character-Encoding: UTF-8";
        bag.fault(FaultKind::Declaration, "bagit.txt", about);
    }
}

fn info(bag: &mut Bag, text: Option<&Vec<u8>>) {
    const PATH: &str = "bag-info.txt";
    let Some(bytes) = text else { return };
    let Ok(text) = std::str::from_utf8(bytes) else {
        return bag.fault(FaultKind::Info, PATH, "it is not UTF-8");
    };
    let mut found: Vec<(String, String)> = Vec::new();
    for line in lines(text) {
        if line.starts_with([' ', '\t']) {
            match found.last_mut() {
                Some((_, value)) => value.push_str(&format!(" {}", line.trim())),
                None => bag.fault(FaultKind::Info, PATH, "its first line continues nothing"),
            }
            continue;
        }
        match line.split_once(':') {
            Some((label, value)) if !label.is_empty() && label.trim() == label => {
                found.push((label.to_owned(), value.trim().to_owned()));
            }
            _ => bag.fault(
                FaultKind::Info,
                PATH,
                format!("`{line}` is no label and value"),
            ),
        }
    }
    let counts: Vec<String> = found
        .iter()
        .filter(|(label, _)| label.eq_ignore_ascii_case(OXUM))
        .map(|(_, value)| value.clone())
        .collect();
    bag.info = found;
    let payload = |it: &&String| it.starts_with("data/");
    let files = bag.files.keys().filter(payload).count();
    let octets: u64 = bag
        .files
        .iter()
        .filter(|(path, _)| payload(path))
        .map(|(_, sums)| sums.bytes)
        .sum();
    match counts.as_slice() {
        [] => {}
        [one] if *one == format!("{octets}.{files}") => {}
        [one] => {
            let about = format!("it counts `{one}`, but there are {octets} bytes in {files} files");
            bag.fault(FaultKind::Count, PATH, about);
        }
        _ => bag.fault(
            FaultKind::Info,
            PATH,
            "it counts the payload more than once",
        ),
    }
}

/// A manifest: its file's name, its kind, and the digest of every path in it.
struct Listed {
    name: String,
    kind: Kind,
    sums: BTreeMap<String, String>,
}

/// Reads the manifests whose names begin so.
fn listed(bag: &mut Bag, texts: &BTreeMap<String, Vec<u8>>, prefix: &str) -> Vec<Listed> {
    let mut found = Vec::new();
    for kind in Kind::ALL {
        let name = format!("{prefix}{}.txt", kind.word());
        let Some(bytes) = texts.get(&name) else {
            continue;
        };
        let Ok(text) = std::str::from_utf8(bytes) else {
            bag.fault(FaultKind::Manifest, &name, "it is not UTF-8");
            continue;
        };
        let mut sums = BTreeMap::new();
        let mut plain = String::new();
        for line in lines(text) {
            match entry(line, kind, prefix) {
                Ok((sum, path)) => {
                    plain.push_str(&format!("{sum}  {}\n", paths::spelled(&path)));
                    if sums.insert(path.clone(), sum).is_some() {
                        let about = format!("it names `{path}` twice");
                        bag.fault(FaultKind::Manifest, &name, about);
                    }
                }
                Err(why) => bag.fault(FaultKind::Manifest, &name, format!("{why}: `{line}`")),
            }
        }
        if plain != text || !sorted(&plain) {
            let about = "its spelling or order is not that of this program";
            bag.fault(FaultKind::Spelling, &name, about);
        }
        found.push(Listed { name, kind, sums });
    }
    found
}

fn sorted(plain: &str) -> bool {
    let path = |line: &str| line.split_once("  ").map(|(_, path)| paths::meant(path));
    plain
        .lines()
        .map(path)
        .is_sorted_by_key(|it| it.and_then(Result::ok))
}

/// One line of a manifest: the digest in small digits, and the path.
fn entry(line: &str, kind: Kind, prefix: &str) -> Result<(String, String), String> {
    let is_space = |c: char| c == ' ' || c == '\t';
    let (sum, path) = line
        .split_once(is_space)
        .ok_or_else(|| "a line of it is no digest and path".to_owned())?;
    let path = path.trim_start_matches(is_space);
    if sum.len() != kind.digits() || !sum.bytes().all(|it| it.is_ascii_hexdigit()) {
        return Err("a line of it has no digest of its kind".to_owned());
    }
    let path = paths::meant(path).map_err(|why| why.to_string())?;
    paths::safe(&path).map_err(|why| why.to_string())?;
    let payload = path.starts_with("data/");
    if payload != (prefix == "manifest-") || path.starts_with("tagmanifest-") {
        return Err("a line of it names a file that belongs into another manifest".to_owned());
    }
    Ok((sum.to_ascii_lowercase(), path))
}

fn compare(bag: &mut Bag, manifests: &[Listed], names: &BTreeSet<String>) {
    for it in manifests {
        for (path, want) in &it.sums {
            let have = bag.files.get(path).map(|sums| it.kind.of(sums));
            match have {
                Some(have) if have == *want => {}
                Some(_) => {
                    let about = format!("it is not the file that `{}` lists", it.name);
                    bag.fault(FaultKind::Digest, path, about);
                }
                None if names.contains(path) => {}
                None => bag.fault(FaultKind::Missing, path, "it is not there"),
            }
            for other in manifests {
                if !other.sums.contains_key(path) {
                    let about = format!("it does not name `{path}`, which `{}` names", it.name);
                    bag.fault(FaultKind::Manifest, &other.name, about);
                }
            }
        }
    }
}

fn extra(bag: &mut Bag, manifests: &[Listed], names: &BTreeSet<String>) {
    if manifests.is_empty() {
        return;
    }
    for name in names.iter().filter(|it| it.starts_with("data/")) {
        if !manifests.iter().any(|it| it.sums.contains_key(name)) {
            bag.fault(FaultKind::Extra, name, "no manifest names it");
        }
    }
}
