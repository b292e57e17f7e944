//! What the engine is fed with: the parts of a book or of a dossier as they lie there, nothing of them believed yet.

use crate::evidence::dossier::package::SealFiles;
use crate::evidence::dossier::package::seal_path;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::seal::letter::Letter;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::seal::proofs::Proofs;
use crate::evidence::seal::proofs::Step;
use crate::evidence::verify::notes::Notes;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;

/// How much of a ledger there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// All of it, in a book.
    Book,
    /// The first line and those about one piece, in a dossier, where something may be said to be left out.
    Piece,
}

/// A line as it lies there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RawLine {
    /// Its bytes, without a line end.
    pub bytes: Vec<u8>,
    /// Where it lies, for people.
    pub place: String,
    /// The number and the hash that are kept beside it, where some are.
    pub beside: Option<(u64, Digest)>,
}

/// A seal as it lies there. What is not there or cannot be read, the source has told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RawSeal {
    /// Its number.
    pub no: u32,
    /// The statement, to the byte what was signed.
    pub statement: Option<String>,
    /// Its signature.
    pub signature: Option<Vec<u8>>,
    /// The time-stamp request.
    pub query: Option<Vec<u8>>,
    /// The reply to it.
    pub reply: Option<Vec<u8>>,
    /// The time that is kept beside the reply, where one is.
    pub stamped: Option<Moment>,
}

impl From<SealFiles> for RawSeal {
    fn from(it: SealFiles) -> Self {
        Self {
            no: it.no,
            statement: Some(it.statement),
            signature: Some(it.signature),
            query: it.query,
            reply: it.reply,
            stamped: None,
        }
    }
}

/// What leads from lines to seals.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tree {
    /// All lines are there: their hashes give every root.
    Whole,
    /// Proofs for the lines of one piece, and from seal to seal; `None` where the source has told what is wrong with them.
    Parts {
        /// From lines to a seal.
        proofs: Option<Proofs>,
        /// From each seal to the next.
        steps: Option<Vec<Step>>,
    },
}

/// A list on which every byte of a set of files depends, and its signature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedSet {
    /// What is signed.
    pub list: Vec<u8>,
    /// The signature.
    pub signature: Vec<u8>,
    /// The names of both, for people.
    pub names: (String, String),
}

/// Everything but the files that lines name.
#[derive(Clone, Debug)]
pub struct Contents {
    /// The public key in PEM, and its name for people.
    pub key: Option<(String, String)>,
    /// The signature over the whole; `None` where there is no whole to sign, or the source has told what is wrong with it.
    pub set: Option<SignedSet>,
    /// The lines, in the order in which they lie there.
    pub lines: Vec<RawLine>,
    /// Private parts of lines, each with where it lies.
    pub private: Vec<(String, PrivatePart)>,
    /// The seals, by number.
    pub seals: Vec<RawSeal>,
    /// What leads from the lines to them.
    pub tree: Tree,
    /// What is said to be left out.
    pub left_out: LeftOut,
    /// What a record says, where there is one beside the ledger.
    pub record: Option<Vec<Retold>>,
}

/// One row of a record, as the line that would be written of it today.
#[derive(Clone, Debug, PartialEq)]
pub struct Retold {
    /// Stock number.
    pub piece: String,
    /// What a line of it would say.
    pub kind: EntryKind,
    /// What its private part would tell; `None` when nothing.
    pub told: Option<serde_json::Value>,
    /// When the row says that it was entered, where it keeps that beside what the line tells.
    pub at: Option<Moment>,
}

/// What kind of file a line names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FileKind {
    /// An original.
    Original,
    /// What was written beside a photo.
    Sidecar,
    /// The page of an edition.
    Report,
    /// A paper or message.
    Kept,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Original, Self::Sidecar, Self::Report, Self::Kept];

    /// The code of the check that such a file is the one that was named.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::Original => "originals",
            Self::Sidecar => "sidecars",
            Self::Report => "reports",
            Self::Kept => "kept",
        }
    }

    /// The code of the check that such a file is there.
    #[must_use]
    pub fn code_of_absence(self) -> &'static str {
        match self {
            Self::Original => "photos",
            other => other.code(),
        }
    }

    /// The folder below `data/` of a dossier.
    #[must_use]
    pub fn folder(self) -> &'static str {
        self.code()
    }

    /// Several of them.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Kept => "kept papers and messages",
            other => other.code(),
        }
    }
}

/// A file that a line names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedFile {
    /// Number of the line.
    pub line: u64,
    /// Stock number.
    pub piece: String,
    /// Its kind.
    pub kind: FileKind,
    /// Number of the photo or of the edition; 0 of a paper.
    pub no: u32,
    /// Name of the paper, reader of the edition; else empty.
    pub name: String,
    /// How many lines before it name a text beside the same photo.
    pub turn: usize,
    /// Digest.
    pub sha256: Digest,
    /// Where it may lie in a dossier, below `data/`.
    pub places: Vec<String>,
    /// For people.
    pub label: String,
}

/// What was found of a file that a line names; places are for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileState {
    /// It is there, with the bytes that the line names.
    Here,
    /// Another lies at its place.
    Other(String),
    /// Nothing is at its place; `None` where it has none.
    Gone(Option<String>),
}

/// Gives what is to be checked.
pub trait Source {
    /// How much of a ledger it has.
    fn scope(&self) -> Scope;

    /// Everything but the files that lines name; what cannot be read is told in the notes.
    fn read(&mut self, notes: &mut Notes) -> Contents;

    /// The files in places where a line must name every file, with their digests and places.
    fn bound(&mut self) -> Vec<(String, Digest)>;

    /// Looks for a file that a line names; asked once for each, in the order of the lines.
    fn find(&mut self, it: &NamedFile) -> FileState;

    /// Checks what only this source has; called last. Gives the files in it that no line and no seal vouches for.
    fn rest(&mut self, notes: &mut Notes) -> Vec<String>;
}

/// What a time stamp shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stamp {
    /// The statement was there not later than at this moment, by an authority whose root the judge was given.
    At(Moment),
    /// It fits the statement as far as can be seen, but its authority is not known to the judge.
    Unknown {
        /// Why not.
        why: String,
        /// The time that it says, unproven.
        says: Option<Moment>,
    },
    /// It is not one, or of other bytes; why.
    Wrong(String),
}

/// What a judge needs besides the source.
pub trait Tools {
    /// What a time stamp (RFC 3161) shows of a statement; the roots are the caller's.
    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp;

    /// Digest of the checking page that the caller's program would enclose, if it has one.
    fn page(&self) -> Option<Digest>;

    /// Letters that the judge holds, and wants the record held to.
    fn letters(&self) -> &[Letter] {
        &[]
    }
}

/// How a part of a seal is called.
#[must_use]
pub fn seal_part(scope: Scope, no: u32, ending: &str) -> String {
    match (scope, ending) {
        (Scope::Piece, _) => format!("`{}`", seal_path(no, ending)),
        (Scope::Book, "sig") => format!("the signature of seal {no}"),
        (Scope::Book, "tsr") => format!("the time stamp of seal {no}"),
        (Scope::Book, _) => format!("seal {no}"),
    }
}
