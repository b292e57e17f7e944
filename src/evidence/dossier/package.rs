//! The package for a third party: where its files lie, and how those that prove are put into its bag.

use crate::evidence::dossier::bag::BagError;
use crate::evidence::dossier::bag::Writer;
use crate::evidence::dossier::how_to_check::how_to_check;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::seal::proofs;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::seal::statement::Statement;
use crate::evidence::seal::statement::StatementError;
use crate::evidence::seal::statement::file_name;
use crate::kit::digest::Digest;
use crate::tongue::Language;

/// The lines, canonical JSON, one a row: the first of the book, then the piece's.
pub const LINES: &str = "data/ledger/lines.jsonl";

/// The private parts of lines, where they are enclosed.
pub const PRIVATE: &str = "data/ledger/private.jsonl";

/// The proofs from lines to a seal.
pub const PROOFS: &str = "data/ledger/proofs.json";

/// The proofs from seal to seal.
pub const CONSISTENCY: &str = "data/ledger/consistency.json";

/// What is left out.
pub const LEFT_OUT: &str = "data/ledger/left-out.json";

/// The same for people.
pub const LEFT_OUT_TEXT: &str = "data/left-out.txt";

/// The book's public key.
pub const KEY: &str = "data/seals/book-key.pem";

/// The page that checks a dossier in a browser.
pub const CHECK_PAGE: &str = "data/check.html";

/// How to check a dossier with two common programs.
pub const CHECK_TEXT: &str = "data/CHECK.txt";

/// The list of lists, on which every other byte of the set depends.
pub const SET: &str = "tagmanifest-sha256.txt";

/// Its signature by the book's key, 64 bytes.
pub const SET_SIGNATURE: &str = "tagmanifest-sha256.sig";

/// Where to begin, for people: beside `data`, where a folder is opened first.
pub const START_HERE: &str = "START-HERE.txt";

/// Where a file of a seal lies.
#[must_use]
pub fn seal_path(no: u32, ending: &str) -> String {
    format!("data/seals/{}", file_name(no, ending))
}

/// The number of the seal that a file belongs to; `None` when it belongs to none.
#[must_use]
pub fn seal_number(path: &str) -> Option<u32> {
    let (stem, ending) = path.strip_prefix("data/seals/seal-")?.split_once('.')?;
    let no: u32 = stem.parse().ok().filter(|it| *it > 0)?;
    let known = ["json", "sig", "tsq", "tsr"].contains(&ending);
    (known && seal_path(no, ending) == path).then_some(no)
}

/// Whether a file is one of the ledger's.
#[must_use]
pub fn is_of_ledger(path: &str) -> bool {
    [LINES, PRIVATE, PROOFS, CONSISTENCY, LEFT_OUT].contains(&path)
}

/// The files of a seal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealFiles {
    /// Its number, from 1.
    pub no: u32,
    /// The statement, to the byte what was signed.
    pub statement: String,
    /// Its signature, 64 bytes.
    pub signature: Vec<u8>,
    /// The time-stamp request, if one was made.
    pub query: Option<Vec<u8>>,
    /// The reply to it, if it came.
    pub reply: Option<Vec<u8>>,
}

/// What proves.
#[derive(Clone, Copy, Debug)]
pub struct Proof<'a> {
    /// The first line of the book and the piece's lines that are shown, by number.
    pub lines: &'a [LedgerLine],
    /// The private parts that are shown, by number.
    pub private: &'a [PrivatePart],
    /// The leaf hashes of the whole ledger, at least as far as the newest seal.
    pub leaves: &'a [Digest],
    /// All seals, by number, without a gap.
    pub seals: &'a [SealFiles],
    /// The public key in PEM.
    pub key: &'a str,
    /// What is left out.
    pub left_out: &'a LeftOut,
    /// The same for people, with names and reasons.
    pub left_out_text: &'a str,
    /// The language of `CHECK.txt`.
    pub language: Language,
}

/// Why a dossier cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum DossierError {
    /// There is no seal.
    #[error("there is no seal yet: seal the book first")]
    NoSeal,
    /// A seal's statement is not one.
    #[error("seal {no} cannot be read")]
    Seal {
        /// Its number.
        no: u32,
        /// Why not.
        source: StatementError,
    },
    /// A seal covers more lines than the ledger has.
    #[error("the ledger is shorter than a seal of it")]
    Short,
    /// The bag cannot be written.
    #[error(transparent)]
    Bag(#[from] BagError),
}

/// Puts lines, proofs, seals, key, `left-out.txt`, `CHECK.txt` and `START-HERE.txt` into the bag.
///
/// # Errors
/// When there is no seal, a seal does not fit the ledger, or the bag cannot be written.
pub fn put(writer: &mut Writer, it: &Proof) -> Result<(), DossierError> {
    let mut seals = Vec::new();
    for seal in it.seals {
        let statement = Statement::read(&seal.statement);
        let statement = statement.map_err(|source| DossierError::Seal {
            no: seal.no,
            source,
        })?;
        seals.push((seal.no, statement));
    }
    let (newest, statement) = seals.last().ok_or(DossierError::NoSeal)?;
    let shown = it.lines.iter().map(|line| line.no);
    let numbers: Vec<u64> = shown
        .chain(it.left_out.lines.iter().map(|line| line.no))
        .collect();
    let proofs =
        proofs::proofs(*newest, statement, it.leaves, &numbers).ok_or(DossierError::Short)?;
    let steps = proofs::steps(&seals, it.leaves).ok_or(DossierError::Short)?;
    let rows = |all: Vec<String>| -> String { all.iter().map(|row| format!("{row}\n")).collect() };
    let lines = rows(it.lines.iter().map(LedgerLine::text).collect());
    let private = rows(it.private.iter().map(proofs::text).collect());
    let texts = [
        (LINES, lines),
        (PRIVATE, private),
        (PROOFS, proofs::text(&proofs)),
        (CONSISTENCY, proofs::text(&steps)),
        (LEFT_OUT, proofs::text(it.left_out)),
        (LEFT_OUT_TEXT, it.left_out_text.to_owned()),
        (CHECK_TEXT, how_to_check(it.language)),
        (KEY, it.key.to_owned()),
    ];
    writer.tag(START_HERE, include_str!("start_here.txt"));
    for (path, text) in texts {
        if path != PRIVATE || !it.private.is_empty() {
            payload(writer, path, text.as_bytes())?;
        }
    }
    for seal in it.seals {
        let path = |ending: &str| seal_path(seal.no, ending);
        payload(writer, &path("json"), seal.statement.as_bytes())?;
        payload(writer, &path("sig"), &seal.signature)?;
        for (ending, bytes) in [("tsq", &seal.query), ("tsr", &seal.reply)] {
            if let Some(bytes) = bytes {
                payload(writer, &path(ending), bytes)?;
            }
        }
    }
    Ok(())
}

fn payload(writer: &mut Writer, path: &str, bytes: &[u8]) -> Result<(), BagError> {
    let path = path.strip_prefix("data/").unwrap_or(path);
    writer.payload(path, bytes).map(|_| ())
}
