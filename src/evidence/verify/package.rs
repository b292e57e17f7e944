//! A dossier as a source: the files of its bag, in a folder or a zip.

use std::collections::BTreeSet;
use std::io;
use std::io::BufRead as _;
use std::io::BufReader;
use std::io::Read as _;

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::evidence::dossier::bag::FileSource;
use crate::evidence::dossier::bag_read;
use crate::evidence::dossier::bag_read::Bag;
use crate::evidence::dossier::how_to_check::how_to_check;
use crate::evidence::dossier::package::CHECK_PAGE;
use crate::evidence::dossier::package::CHECK_TEXT;
use crate::evidence::dossier::package::CONSISTENCY;
use crate::evidence::dossier::package::KEY;
use crate::evidence::dossier::package::LEFT_OUT;
use crate::evidence::dossier::package::LEFT_OUT_TEXT;
use crate::evidence::dossier::package::LINES;
use crate::evidence::dossier::package::PRIVATE;
use crate::evidence::dossier::package::PROOFS;
use crate::evidence::dossier::package::SET;
use crate::evidence::dossier::package::SET_SIGNATURE;
use crate::evidence::dossier::package::is_of_ledger;
use crate::evidence::dossier::package::seal_number;
use crate::evidence::dossier::package::seal_path;
use crate::evidence::seal::proofs;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::verify::bag;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::FileKind;
use crate::evidence::verify::source::FileState;
use crate::evidence::verify::source::NamedFile;
use crate::evidence::verify::source::RawLine;
use crate::evidence::verify::source::RawSeal;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::SignedSet;
use crate::evidence::verify::source::Source;
use crate::evidence::verify::source::Tree;
use crate::kit::digest::Digest;
use crate::tongue::Language;

/// The longest text of a dossier that is read whole, bytes.
const TEXT_MAX: u64 = 32 << 20;

/// The longest line that is read, bytes.
const LINE_MAX: u64 = 1 << 20;

/// The files of a dossier.
pub struct Package<'a> {
    files: &'a mut dyn FileSource,
    bag: Bag,
    /// Digest of the checking page that this program encloses.
    page: Option<Digest>,
}

impl<'a> Package<'a> {
    /// Reads and digests every file.
    ///
    /// # Errors
    /// When the files cannot even be listed.
    pub fn open(files: &'a mut dyn FileSource, page: Option<Digest>) -> io::Result<Self> {
        let bag = bag_read::read(files)?;
        Ok(Self { files, bag, page })
    }

    fn has(&self, path: &str) -> bool {
        self.bag.files.contains_key(path)
    }

    /// The bytes of a file; `None`, and a note, when it is not there or cannot be read.
    fn bytes(&mut self, notes: &mut Notes, code: &'static str, path: &str) -> Option<Vec<u8>> {
        if !self.has(path) {
            notes.missing(code, format!("`{path}` is not there"));
            return None;
        }
        let mut bytes = Vec::new();
        let read = self
            .files
            .open(path)
            .and_then(|it| it.take(TEXT_MAX).read_to_end(&mut bytes));
        match read {
            Ok(n) if (n as u64) < TEXT_MAX => Some(bytes),
            Ok(_) => {
                notes.wrong(code, format!("`{path}` is too long for what it should be"));
                None
            }
            Err(why) => {
                notes.missing(code, format!("`{path}` cannot be read: {why}"));
                None
            }
        }
    }

    /// The bytes of a file that need not be there.
    fn maybe(&mut self, notes: &mut Notes, code: &'static str, path: &str) -> Option<Vec<u8>> {
        self.has(path)
            .then(|| self.bytes(notes, code, path))
            .flatten()
    }

    /// The text of a file; `None`, and a note, when it is not there or no text.
    fn text(&mut self, notes: &mut Notes, code: &'static str, path: &str) -> Option<String> {
        let bytes = self.bytes(notes, code, path)?;
        let text = String::from_utf8(bytes).ok();
        if text.is_none() {
            notes.wrong(code, format!("`{path}` is not UTF-8 text"));
        }
        text
    }

    /// A canonical JSON file; `None`, and a note, when it is not there or is not one.
    fn json<T: Serialize + DeserializeOwned>(
        &mut self,
        notes: &mut Notes,
        code: &'static str,
        path: &str,
    ) -> Option<T> {
        match proofs::read(&self.text(notes, code, path)?) {
            Ok(it) => Some(it),
            Err(why) => {
                notes.wrong(code, format!("`{path}`: {why}"));
                None
            }
        }
    }

    /// Whether the text about what is left out names every file that the list names.
    fn left_out_in_words(&mut self, notes: &mut Notes, list: &LeftOut) {
        const CODE: &str = "left_out";
        if !self.has(LEFT_OUT_TEXT) {
            return;
        }
        let text = self.text(notes, CODE, LEFT_OUT_TEXT).unwrap_or_default();
        for it in &list.files {
            if !text.contains(&it.sha256.to_string()) {
                let about = format!(
                    "`{LEFT_OUT_TEXT}` does not name the file of line {} that is left out",
                    it.no
                );
                notes.wrong(CODE, about);
            }
        }
    }

    fn set(&mut self, notes: &mut Notes) -> Option<SignedSet> {
        const CODE: &str = "set_signature";
        let signature = self.bytes(notes, CODE, SET_SIGNATURE);
        let list = self.bytes(notes, CODE, SET);
        Some(SignedSet {
            list: list?,
            signature: signature?,
            names: (format!("`{SET}`"), format!("`{SET_SIGNATURE}`")),
        })
    }

    fn lines(&mut self, notes: &mut Notes) -> Vec<RawLine> {
        const CODE: &str = "lines";
        let mut rows: Vec<RawLine> = Vec::new();
        if !self.has(LINES) {
            notes.missing(CODE, format!("`{LINES}` is not there"));
            return rows;
        }
        let Ok(from) = self.files.open(LINES) else {
            notes.missing(CODE, format!("`{LINES}` cannot be opened"));
            return rows;
        };
        let mut from = BufReader::new(from);
        loop {
            let mut bytes = Vec::new();
            let place = format!("`{LINES}`, row {}", rows.len() + 1);
            match from.by_ref().take(LINE_MAX).read_until(b'\n', &mut bytes) {
                Ok(0) => return rows,
                Err(why) => {
                    notes.missing(CODE, format!("`{LINES}` cannot be read: {why}"));
                    return rows;
                }
                Ok(_) => {
                    let ended = bytes.pop_if(|it| *it == b'\n').is_some();
                    if !ended {
                        notes.wrong(CODE, format!("{place}: it has no end"));
                    }
                    rows.push(RawLine {
                        bytes,
                        place,
                        beside: None,
                    });
                    if !ended {
                        return rows;
                    }
                }
            }
        }
    }

    fn private(&mut self, notes: &mut Notes) -> Vec<(String, PrivatePart)> {
        const CODE: &str = "private";
        let mut parts = Vec::new();
        if !self.has(PRIVATE) {
            return parts;
        }
        let text = self.text(notes, CODE, PRIVATE).unwrap_or_default();
        if !text.ends_with('\n') {
            notes.wrong(CODE, format!("`{PRIVATE}`: its last row has no end"));
        }
        for (row, raw) in text.split_terminator('\n').enumerate() {
            match proofs::read::<PrivatePart>(raw) {
                Ok(part) => parts.push((format!("`{PRIVATE}`"), part)),
                Err(why) => {
                    notes.wrong(CODE, format!("`{PRIVATE}`, row {}: {why}", row + 1));
                }
            }
        }
        parts
    }

    fn seals(&mut self, notes: &mut Notes) -> Vec<RawSeal> {
        let paths = self.bag.files.keys();
        let numbers: BTreeSet<u32> = paths.filter_map(|it| seal_number(it)).collect();
        let mut seals = Vec::new();
        for no in numbers {
            let path = |ending: &str| seal_path(no, ending);
            let statement = self.text(notes, "seals", &path("json"));
            let signature = statement
                .is_some()
                .then(|| self.bytes(notes, "signatures", &path("sig")));
            seals.push(RawSeal {
                no,
                statement,
                signature: signature.flatten(),
                query: self.maybe(notes, "stamps", &path("tsq")),
                reply: self.maybe(notes, "stamps", &path("tsr")),
                stamped: None,
            });
        }
        seals
    }

    /// Whether the enclosed page is this program's.
    fn own_page(&self, notes: &mut Notes) {
        let (Some(want), Some(have)) = (self.page, self.bag.files.get(CHECK_PAGE)) else {
            return;
        };
        let about = match have.sha256 == want {
            true => format!("`{CHECK_PAGE}` is the page that this program encloses."),
            false => format!(
                "`{CHECK_PAGE}` is not the page that this program encloses: it is of another version, or \
                 somebody else's. Do not rely on what it shows."
            ),
        };
        notes.told("presented", about);
    }

    /// Whether the enclosed commands are this program's.
    fn own_text(&self, notes: &mut Notes) {
        let own = Language::ALL.map(|it| Digest::of(how_to_check(it).as_bytes()));
        let have = self.bag.files.get(CHECK_TEXT);
        if have.is_some_and(|it| !own.contains(&it.sha256)) {
            let about = format!(
                "`{CHECK_TEXT}` is not the text that this program encloses: it is of another version, or somebody else's. Have its \
                 commands read before they are run."
            );
            notes.told("presented", about);
        }
    }
}

/// Whether a line must name every file at such a place.
fn is_bound(path: &str) -> bool {
    let inside = path.strip_prefix("data/");
    inside.is_some_and(|it| {
        FileKind::ALL
            .iter()
            .any(|kind| it.split('/').next() == Some(kind.folder()) && it.contains('/'))
    })
}

impl Source for Package<'_> {
    fn scope(&self) -> Scope {
        Scope::Piece
    }

    fn read(&mut self, notes: &mut Notes) -> Contents {
        bag::check(&self.bag, notes);
        let key = self.text(notes, "key", KEY);
        let lines = self.lines(notes);
        let private = match lines.is_empty() {
            true => Vec::new(),
            false => self.private(notes),
        };
        let left_out = self.json(notes, "left_out", LEFT_OUT).unwrap_or_default();
        self.left_out_in_words(notes, &left_out);
        Contents {
            key: key.map(|it| (it, format!("`{KEY}`"))),
            set: self.set(notes),
            lines,
            private,
            left_out,
            seals: self.seals(notes),
            tree: Tree::Parts {
                proofs: self.json(notes, "inclusion", PROOFS),
                steps: self.json(notes, "consistency", CONSISTENCY),
            },
            record: None,
        }
    }

    fn bound(&mut self) -> Vec<(String, Digest)> {
        let files = self.bag.files.iter();
        let bound = files.filter(|(path, _)| is_bound(path) && !bag::is_litter(&self.bag, path));
        bound
            .map(|(path, sums)| (path.clone(), sums.sha256))
            .collect()
    }

    fn find(&mut self, it: &NamedFile) -> FileState {
        let mut sums = it
            .places
            .iter()
            .filter_map(|place| self.bag.files.get(&format!("data/{place}")));
        // Another file in its place is told by that file: no line, or another, names it.
        match sums.any(|sums| sums.sha256 == it.sha256) {
            true => FileState::Here,
            false => FileState::Gone(None),
        }
    }

    fn rest(&mut self, notes: &mut Notes) -> Vec<String> {
        let known = |path: &str| {
            is_bound(path) || is_of_ledger(path) || path == KEY || seal_number(path).is_some()
        };
        let paths = self.bag.files.keys();
        let found: Vec<String> = paths
            .filter(|it| it.starts_with("data/") && !known(it) && !bag::is_litter(&self.bag, it))
            .cloned()
            .collect();
        if found.is_empty() {
            notes.told("presented", "There is nothing but what lines vouch for.");
        } else {
            let about = format!(
                "No line vouches for these {} files; they are the presenter's own words, or were made from the rest: {}.",
                found.len(),
                found.join(", ")
            );
            notes.told("presented", about);
        }
        self.own_page(notes);
        self.own_text(notes);
        found
    }
}
