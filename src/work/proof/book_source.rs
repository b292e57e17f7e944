//! A stock book as a source for the engine that verifies.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;
use std::path::PathBuf;

use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::FileKind;
use crate::evidence::verify::source::FileState;
use crate::evidence::verify::source::NamedFile;
use crate::evidence::verify::source::RawLine;
use crate::evidence::verify::source::RawSeal;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Source;
use crate::evidence::verify::source::Tools;
use crate::evidence::verify::source::Tree;
use crate::kit::checksums::Checksums;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::record::RecordError;
use crate::record::StoredLine;
use crate::record::StoredSeal;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::keep::FOLDER;
use crate::work::progress::Progress;
use crate::work::proof::book_dossiers;
use crate::work::proof::book_rows::Rows;
use crate::work::proof::book_rows::stamp;
use crate::work::proof::book_texts;
use crate::work::proof::keys;
use crate::work::proof::seal_files;
use crate::work::proof::seal_files::PUBLIC_KEY;
use crate::work::proof::seal_files::folder;
use crate::work::sidecars::all_sidecars::AllTexts;
use crate::work::sidecars::all_sidecars::LeftText;

/// An original, a paper or the page of an edition that is gone or changed.
pub(in crate::work) struct Lost {
    /// Where it should be.
    pub(in crate::work) path: PathBuf,
    /// What it was.
    pub(in crate::work) digest: Digest,
    /// How long it was; `None` when that was not recorded.
    pub(in crate::work) bytes: Option<u64>,
}

/// A book, read.
pub(in crate::work) struct BookSource<'a> {
    book: &'a OpenBook,
    tools: &'a dyn Tools,
    progress: &'a dyn Progress,
    lines: Vec<StoredLine>,
    seals: Vec<StoredSeal>,
    /// By stock number.
    pieces: BTreeMap<String, Rows>,
    /// How many texts the lines name beside each picture.
    named: BTreeMap<(String, u32), usize>,
    /// What was told while reading.
    early: Notes,
    /// Sidecars that were changed: how many this check took in, and which it could not.
    texts: &'a AllTexts,
    /// Sidecars that have another text than the record, though their time and length are those at which they were read.
    unseen: Vec<LeftText>,
    /// Files that are gone or changed.
    pub(in crate::work) lost: Vec<Lost>,
}

impl<'a> BookSource<'a> {
    /// Reads the whole record, into which changed sidecars were taken as told; the files are looked at later.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub(in crate::work) fn open(
        book: &'a OpenBook,
        texts: &'a AllTexts,
        tools: &'a dyn Tools,
        progress: &'a dyn Progress,
    ) -> Result<Self, WorkError> {
        let mut early = Notes::default();
        let seals = match book.record.seals() {
            Err(error @ RecordError::Nonsense(_)) => {
                early.wrong("seals", error.to_string());
                Vec::new()
            }
            seals => seals?,
        };
        seal_files::check(book, &seals, &mut early);
        keys::check(book, &mut early)?;
        for about in book.record.at_odds()? {
            early.wrong("record", about);
        }
        let mut pieces = BTreeMap::new();
        for no in book.record.stock_numbers()? {
            if let Some(rows) = Rows::read(book, &no, &mut early)? {
                pieces.insert(no.to_string(), rows);
            }
        }
        Ok(Self {
            book,
            tools,
            progress,
            lines: book.record.lines()?,
            seals,
            pieces,
            named: BTreeMap::new(),
            early,
            texts,
            unseen: Vec::new(),
            lost: Vec::new(),
        })
    }

    fn private(&self) -> Vec<(String, PrivatePart)> {
        let with = self.lines.iter();
        let with = with.filter_map(|it| Some((it.no, it.private.clone()?)));
        with.map(|(no, text)| ("the private part".to_owned(), PrivatePart { no, text }))
            .collect()
    }

    fn key(&self, notes: &mut Notes) -> Option<(String, String)> {
        let name = format!("`seals/{PUBLIC_KEY}`");
        let pem = read(&folder(self.book).join(PUBLIC_KEY)).ok();
        if pem.is_none() && !self.seals.is_empty() {
            notes.missing("key", format!("the public key {name} is not there"));
        }
        Some((String::from_utf8_lossy(&pem?).into_owned(), name))
    }

    /// Where a file should lie, in the book; `None` when the record has no place for it.
    pub(in crate::work) fn inside(&self, it: &NamedFile) -> Option<String> {
        let (path, _) = self.path(it)?;
        let inside = path.strip_prefix(&self.book.root).unwrap_or(&path);
        Some(inside.display().to_string())
    }

    /// Where a file should lie, and how long it was; `None` when the record has no place for it.
    fn path(&self, it: &NamedFile) -> Option<(PathBuf, Option<u64>)> {
        let rows = self.pieces.get(&it.piece)?;
        match it.kind {
            FileKind::Original => {
                let photo = rows.photos.iter().find(|photo| photo.no == it.no)?;
                let path = self.book.original(&rows.piece, photo);
                Some((path, Some(photo.bytes)))
            }
            FileKind::Report => {
                let mut all = rows.editions.iter();
                let (_, made) =
                    all.find(|(reader, made)| *reader == it.name && made.no == it.no)?;
                Some((self.book.root.join(&made.path), None))
            }
            FileKind::Kept => {
                let folder = self.book.piece_folder(&rows.piece).join(FOLDER);
                Some((folder.join(&it.name), None))
            }
            FileKind::Sidecar => None,
        }
    }

    /// The texts beside a photo are kept in the record, each in its turn.
    fn text(&mut self, it: &NamedFile) -> FileState {
        self.named.insert((it.piece.clone(), it.no), it.turn + 1);
        let rows = self.pieces.get(&it.piece);
        let texts = rows.and_then(|rows| rows.texts.get(&it.no));
        let place = format!(
            "{}: text {} beside picture {}",
            it.piece,
            it.turn + 1,
            it.no
        );
        let newest = texts.is_some_and(|texts| texts.len() == it.turn + 1);
        match texts.and_then(|texts| texts.get(it.turn)) {
            Some(text) if Digest::of(text.text.as_bytes()) == it.sha256 => {
                let text = text.text.clone();
                match newest {
                    true => self.beside(it, &text),
                    false => FileState::Here,
                }
            }
            Some(_) => FileState::Other(place),
            None => FileState::Gone(Some(place)),
        }
    }

    /// The file of the newest text of a photo that is in the book. What is changed in it was taken in or named before, unless its time
    /// and length did not change with it.
    fn beside(&mut self, it: &NamedFile, text: &str) -> FileState {
        let Some(rows) = self.pieces.get(&it.piece) else {
            return FileState::Here;
        };
        let Some(photo) = rows.photos.iter().find(|photo| photo.no == it.no) else {
            return FileState::Here;
        };
        let original = self.book.original(&rows.piece, photo);
        let path = original.with_file_name(format!("{}.toml", photo.name));
        let shown = path.strip_prefix(&self.book.root).unwrap_or(&path);
        let shown = shown.display().to_string();
        let bytes = match path.is_file() {
            true => read(&path).ok(),
            false => None,
        };
        let Some(bytes) = bytes else {
            return FileState::Gone(Some(shown));
        };
        let known = self.texts.unread.iter().any(|it| it.file == shown);
        if !known && String::from_utf8_lossy(&bytes) != text {
            self.unseen.push(LeftText {
                file: shown,
                why: "its length and time are still those at which it was read; save it once more, so that it is read".to_owned(),
            });
        }
        FileState::Here
    }
}

impl Source for BookSource<'_> {
    fn scope(&self) -> Scope {
        Scope::Book
    }

    fn read(&mut self, notes: &mut Notes) -> Contents {
        *notes = std::mem::take(&mut self.early);
        let line = |it: &StoredLine| RawLine {
            bytes: it.text.as_bytes().to_vec(),
            place: format!("line {}", it.no),
            beside: Some((it.no, it.leaf)),
        };
        let seal = |it: &StoredSeal| RawSeal {
            no: it.no,
            statement: Some(it.statement.clone()),
            signature: Some(it.signature.clone()),
            query: Some(it.request.clone()),
            reply: it.reply.clone(),
            stamped: it.stamped,
        };
        let rows = self.pieces.values().flat_map(Rows::retold);
        let stamps = self.seals.iter().filter_map(stamp);
        Contents {
            key: self.key(notes),
            set: None,
            lines: self.lines.iter().map(line).collect(),
            private: self.private(),
            seals: self.seals.iter().map(seal).collect(),
            tree: Tree::Whole,
            left_out: LeftOut::default(),
            record: Some(rows.chain(stamps).collect()),
        }
    }

    fn bound(&mut self) -> Vec<(String, Digest)> {
        let photos = self.pieces.values().map(|it| it.photos.len()).sum();
        self.progress.begin("checking", photos);
        Vec::new()
    }

    fn find(&mut self, it: &NamedFile) -> FileState {
        if it.kind == FileKind::Sidecar {
            return self.text(it);
        }
        let Some((path, bytes)) = self.path(it) else {
            return FileState::Gone(None);
        };
        if it.kind == FileKind::Original {
            self.progress.step();
        }
        let shown = path.strip_prefix(&self.book.root).unwrap_or(&path);
        let shown = shown.display().to_string();
        let state = match digest_of(&path) {
            Some(digest) if digest == it.sha256 => return FileState::Here,
            Some(_) => FileState::Other(shown),
            None => FileState::Gone(Some(shown)),
        };
        self.lost.push(Lost {
            path,
            digest: it.sha256,
            bytes,
        });
        state
    }

    fn rest(&mut self, notes: &mut Notes) -> Vec<String> {
        self.progress.end();
        let unread: Vec<&LeftText> = self.texts.unread.iter().chain(&self.unseen).collect();
        untold(&unread, self.texts.taken, notes);
        for rows in self.pieces.values() {
            book_texts::check(self.book, rows, &self.named, notes);
        }
        notes.close(
            "findings",
            "Every numbered finding is one that a text beside a picture states.",
        );
        book_dossiers::check(self.book, self.pieces.values(), self.tools, notes);
        Vec::new()
    }
}

/// Tells the sidecars that were changed and are in no line.
fn untold(unread: &[&LeftText], taken: usize, notes: &mut Notes) {
    const CODE: &str = "unread";
    let n = unread.len();
    if n > 0 {
        let (were, are) = match n {
            1 => ("sidecar was", "is"),
            _ => ("sidecars were", "are"),
        };
        let names = unread
            .iter()
            .map(|it| format!("`{}` ({})", it.file, it.why));
        let names = names.collect::<Vec<_>>().join(", ");
        notes.missing(
            CODE,
            format!("{n} {were} changed since and {are} in no line: {names}"),
        );
    }
    if taken > 0 {
        let (were, they) = match taken {
            1 => ("sidecar was", "it has its line now, which no seal covers"),
            _ => (
                "sidecars were",
                "they have their lines now, which no seal covers",
            ),
        };
        let about = format!(
            "{taken} {were} changed since they were last read, and this check took them in: {they}"
        );
        notes.told(CODE, about);
    } else {
        notes.close(
            CODE,
            "Every sidecar lies there as the newest line about it says.",
        );
    }
}

/// Digest of a file; `None` when it cannot be read.
pub(in crate::work) fn digest_of(path: &Path) -> Option<Digest> {
    let sums = Checksums::of(File::open(path).ok()?).ok()?;
    Some(sums.sha256)
}
