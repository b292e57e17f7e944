//! A bag (RFC 8493, BagIt 1.0): files with manifests beside them, here always by SHA-256 and SHA-512; how one is written.
//!
//! Where the files go or come from, a folder or a zip, is the caller's business.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::io;
use std::io::Read;

use crate::evidence::dossier::paths;
use crate::evidence::dossier::paths::PathFault;
use crate::kit::checksums::Checksums;
use crate::kit::checksums::Summing;

/// The whole of `bagit.txt`.
pub const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

/// The label of the count of the payload: octets, a dot, files.
pub const OXUM: &str = "Payload-Oxum";

/// Takes the files of a bag.
pub trait FileSink {
    /// Takes one file, reading `from` to its end; `path` has `/` between its steps.
    ///
    /// # Errors
    /// When the file cannot be written or read.
    fn file(&mut self, path: &str, from: &mut dyn Read) -> io::Result<()>;
}

/// Gives the files of a bag.
pub trait FileSource {
    /// The paths of all files, folders left out, with `/` between their steps, in any order.
    ///
    /// # Errors
    /// When they cannot be listed.
    fn names(&mut self) -> io::Result<Vec<String>>;

    /// Opens one of them.
    ///
    /// # Errors
    /// When it cannot be opened.
    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>>;
}

/// Why a bag cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum BagError {
    /// A path that is not safe on every system.
    #[error("`{path}` has no place in a bag: {why}")]
    Path {
        /// The path.
        path: String,
        /// Why not.
        why: PathFault,
    },
    /// A second file of the same path, capitals aside.
    #[error("`{0}` is in the bag already; capitals do not tell paths apart on every system")]
    Twice(String),
    /// A label of `bag-info.txt` with a colon, a line end or spaces around it.
    #[error("`{0}` is no label for `bag-info.txt`")]
    Label(String),
    /// Reading or writing failed.
    #[error("could not put `{path}` into the bag")]
    Io {
        /// Which file.
        path: String,
        /// Why not.
        source: io::Error,
    },
}

/// Writes a bag, one file at a time; nothing is held whole.
pub struct Writer<'a> {
    sink: &'a mut dyn FileSink,
    payload: BTreeMap<String, Checksums>,
    folded: BTreeSet<String>,
    tags: Vec<(&'static str, &'static str)>,
}

impl<'a> Writer<'a> {
    /// Into an empty place.
    pub fn new(sink: &'a mut dyn FileSink) -> Self {
        Self {
            sink,
            payload: BTreeMap::new(),
            folded: BTreeSet::new(),
            tags: Vec::new(),
        }
    }

    /// Puts a file below `data/`; `path` is given without it.
    ///
    /// # Errors
    /// When the path is not safe or taken, or the file cannot be read or written.
    pub fn payload(&mut self, path: &str, mut from: impl Read) -> Result<Checksums, BagError> {
        let path = format!("data/{path}");
        if let Err(why) = paths::safe(&path) {
            return Err(BagError::Path { path, why });
        }
        if !self.folded.insert(path.to_lowercase()) {
            return Err(BagError::Twice(path));
        }
        let sums = put(self.sink, &path, &mut from)?;
        self.payload.insert(path, sums.clone());
        Ok(sums)
    }

    /// Puts a text beside `data/`, as a tag file of its own (RFC 8493, section 2.2.4).
    pub fn tag(&mut self, path: &'static str, text: &'static str) {
        self.tags.push((path, text));
    }

    /// Whether a path below `data/` is still free.
    #[must_use]
    pub fn is_free(&self, path: &str) -> bool {
        !self.folded.contains(&format!("data/{path}").to_lowercase())
    }

    /// Writes the manifests and the rest; `info` are labels and values for `bag-info.txt`, to which the count is added.
    ///
    /// Returns the text of `tagmanifest-sha256.txt`, on which every other byte of the bag depends.
    ///
    /// # Errors
    /// When a label is none or a file cannot be written.
    pub fn finish(self, info: &[(&str, &str)]) -> Result<String, BagError> {
        let octets: u64 = self.payload.values().map(|it| it.bytes).sum();
        let oxum = format!("{octets}.{}", self.payload.len());
        let mut lines = String::new();
        for (label, value) in info.iter().chain([&(OXUM, oxum.as_str())]) {
            if label.is_empty() || label.trim() != *label || label.contains([':', '\n', '\r']) {
                return Err(BagError::Label((*label).to_owned()));
            }
            let value = value.split_whitespace().collect::<Vec<_>>().join(" ");
            lines.push_str(&format!("{label}: {value}\n"));
        }
        let tags = [
            ("bagit.txt", DECLARATION.to_owned()),
            ("bag-info.txt", lines),
            ("manifest-sha256.txt", manifest(&self.payload, Kind::Sha256)),
            ("manifest-sha512.txt", manifest(&self.payload, Kind::Sha512)),
        ];
        let mut sums = BTreeMap::new();
        let own = self.tags.iter().map(|it| (it.0, it.1.to_owned()));
        for (path, text) in tags.into_iter().chain(own) {
            let sum = put(self.sink, path, &mut text.as_bytes())?;
            sums.insert(path.to_owned(), sum);
        }
        let wide = manifest(&sums, Kind::Sha512);
        put(self.sink, "tagmanifest-sha512.txt", &mut wide.as_bytes())?;
        let narrow = manifest(&sums, Kind::Sha256);
        put(self.sink, "tagmanifest-sha256.txt", &mut narrow.as_bytes())?;
        Ok(narrow)
    }
}

fn put(sink: &mut dyn FileSink, path: &str, from: &mut dyn Read) -> Result<Checksums, BagError> {
    let mut summing = Summing::new(from);
    let done = sink.file(path, &mut summing);
    done.map_err(|source| BagError::Io {
        path: path.to_owned(),
        source,
    })?;
    Ok(summing.sums())
}

/// By what a manifest digests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// SHA-256.
    Sha256,
    /// SHA-512.
    Sha512,
}

impl Kind {
    /// Both, the stronger last.
    pub const ALL: [Self; 2] = [Self::Sha256, Self::Sha512];

    /// As in a manifest's name.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Sha256 => "sha256",
            Self::Sha512 => "sha512",
        }
    }

    /// Hex digits of a digest.
    #[must_use]
    pub fn digits(self) -> usize {
        match self {
            Self::Sha256 => 64,
            Self::Sha512 => 128,
        }
    }

    /// The digest of its kind.
    #[must_use]
    pub fn of(self, sums: &Checksums) -> String {
        match self {
            Self::Sha256 => sums.sha256.to_string(),
            Self::Sha512 => sums.sha512.clone(),
        }
    }
}

/// A manifest as this program spells it: by path, two spaces, small hex digits, LF.
pub(crate) fn manifest(files: &BTreeMap<String, Checksums>, kind: Kind) -> String {
    let line = |(path, sums): (&String, &Checksums)| {
        format!("{}  {}\n", kind.of(sums), paths::spelled(path))
    };
    files.iter().map(line).collect()
}

#[cfg(test)]
#[path = "tests/bag.rs"]
mod tests;
