//! Putting papers and messages by with a piece: the listing as it stood, the thread with the buyer, a delivery note.

use std::collections::BTreeSet;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

use serde::Serialize;

use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::entry::Countersigned;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::seal::letter::Letter;
use crate::evidence::seal::letter::Named;
use crate::evidence::seal::statement::Statement;
use crate::kit::digest::Digest;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::model::ids::StockNo;
use crate::record::KeptFile;
use crate::trade::TradeBook;
use crate::vault;
use crate::vault::names;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Quiet;

/// Name of the folder in a piece's folder.
pub(in crate::work) const FOLDER: &str = "kept";

/// How a line says that it was confirmed: on a paper, in a message that names the seal, or in one that names the key and no seal.
pub(in crate::work) const PAPER: &str = "paper";
pub(in crate::work) const MESSAGE: &str = "message";
pub(in crate::work) const KEY: &str = "key";

/// That the other side confirmed a seal.
#[derive(Clone, Debug)]
pub struct Signature {
    /// As what: `buyer`, `carrier` or `agent`.
    pub by: String,
    /// Number of the seal.
    pub seal: u32,
    /// Who it was; private.
    pub who: Option<String>,
}

/// A confirmation as it was entered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Confirmed {
    /// As what.
    pub by: String,
    /// `paper`, `message` or, of a message that names the key and no seal, `key`.
    pub how: &'static str,
    /// Number of the seal.
    pub seal: u32,
}

impl Confirmed {
    /// What is entered, in a clause.
    #[must_use]
    pub fn words(&self) -> String {
        let (by, seal) = (&self.by, self.seal);
        match self.how {
            MESSAGE => format!("a message of the {by} names seal {seal}"),
            KEY => format!("a message of the {by} names the key, and no seal: it confirms none"),
            _ => format!("the {by} confirmed seal {seal} (paper)"),
        }
    }
}

/// One paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KeptLine {
    /// Its name in the piece's `kept` folder.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: Digest,
    /// Whether the piece had these bytes before.
    pub already: bool,
    /// Words in its name that claim something about the piece: whoever gets the dossier reads them.
    pub claims: Vec<String>,
    /// What the other side confirmed with it; `None` when nothing.
    pub confirms: Option<Confirmed>,
}

/// Copies files into the piece's `kept` folder, byte for byte and read-only, and enters them; the same bytes are kept once.
///
/// # Errors
/// When there is no such piece, or a file cannot be read or written.
pub fn keep(
    book: &mut OpenBook,
    stock_no: &StockNo,
    files: &[PathBuf],
    signature: Option<&Signature>,
) -> Result<Vec<KeptLine>, WorkError> {
    let piece = book.piece(stock_no)?;
    let signed = signature.map(|it| Sealed::find(book, it)).transpose()?;
    let folder = book.piece_folder(&piece).join(FOLDER);
    // With the lock held nobody else writes there: what lies there unfinished was left by a run that was killed.
    let _lock = book.lock(&Quiet)?;
    vault::sweep(&folder, Duration::ZERO)?;
    let mut lines = Vec::new();
    for file in files {
        let bytes = read(file)?;
        let sha256 = Digest::of(&bytes);
        let entry = signed
            .as_ref()
            .map(|it| it.entry(file, &bytes))
            .transpose()?;
        let known = book.record.kept(stock_no)?;
        if let Some(it) = known.iter().find(|it| it.sha256 == sha256) {
            lines.push(KeptLine {
                name: it.name.clone(),
                sha256,
                already: true,
                claims: claims(&book.trade, &it.name),
                confirms: confirm(book, stock_no, entry)?,
            });
            continue;
        }
        make_folder(&folder)?;
        let name = vault::keep(
            &folder,
            &free(&known, file),
            &BTreeSet::new(),
            &bytes,
            sha256,
        )?;
        book.record.add_kept(stock_no, &name, sha256)?;
        lines.push(KeptLine {
            claims: claims(&book.trade, &name),
            name,
            sha256,
            already: false,
            confirms: confirm(book, stock_no, entry)?,
        });
    }
    Ok(lines)
}

/// A signature and the seal that it confirms.
struct Sealed<'a> {
    given: &'a Signature,
    statement: Statement,
    key: PublicKey,
}

impl<'a> Sealed<'a> {
    fn find(book: &OpenBook, given: &'a Signature) -> Result<Self, WorkError> {
        let seals = book.record.seals()?;
        let seal = seals.iter().find(|it| it.no == given.seal);
        let seal = seal.ok_or_else(|| {
            WorkError::asked_with(
                format!("there is no seal {}", given.seal),
                "its number stands on the sheet and in the message; `asfound seal` prints the newest",
            )
        })?;
        let unread =
            |why: String| WorkError::asked(format!("seal {} cannot be read: {why}", given.seal));
        let statement = Statement::read(&seal.statement).map_err(|why| unread(why.to_string()))?;
        let key = PublicKey::from_bytes(&statement.key.0).map_err(|why| unread(why.to_string()))?;
        Ok(Self {
            given,
            statement,
            key,
        })
    }

    /// The line for a file. A text is a message, and must name the seal, or the key and no seal; anything else is taken for a picture
    /// of a paper.
    fn entry(
        &self,
        file: &Path,
        bytes: &[u8],
    ) -> Result<(Countersigned, Option<String>), WorkError> {
        let how = match std::str::from_utf8(bytes) {
            Ok(text) => self.how(file, text)?,
            Err(_) => PAPER,
        };
        let entry = Countersigned {
            by: self.given.by.clone(),
            how: how.to_owned(),
            sha256: Digest::of(bytes),
            seal: self.given.seal,
            size: self.statement.size,
            root: self.statement.root,
        };
        Ok((entry, self.given.who.clone()))
    }

    /// What a message is to be entered as.
    fn how(&self, file: &Path, text: &str) -> Result<&'static str, WorkError> {
        let (no, file) = (self.given.seal, file.display());
        let seal = Letter::of(no, &self.statement, &self.key);
        let (what, hint) = match seal.named_in(text) {
            Named::Seal => return Ok(MESSAGE),
            Named::Key => return Ok(KEY),
            Named::Other(why) => (
                format!("`{file}` does not name seal {no}: {why}"),
                "nothing was kept: give `--seal` the number that the message names, or keep it without `--signed-by`",
            ),
            Named::Nothing => (
                format!(
                    "`{file}` is a text that does not name the key {}",
                    self.key.fingerprint()
                ),
                "keep the reply as it came, with the message that it answers; without `--signed-by` any text is kept",
            ),
        };
        Err(WorkError::asked_with(what, hint))
    }
}

/// Enters what the other side confirmed; the same is entered once.
fn confirm(
    book: &mut OpenBook,
    stock_no: &StockNo,
    entry: Option<(Countersigned, Option<String>)>,
) -> Result<Option<Confirmed>, WorkError> {
    let Some((it, who)) = entry else {
        return Ok(None);
    };
    let known = book.record.lines_of(stock_no)?;
    let same = |line: &LedgerLine| {
        let read = Entry::read(line);
        read.is_ok_and(|read| read == Entry::from(EntryKind::Countersigned(it.clone())))
    };
    let mut known = known
        .iter()
        .filter_map(|it| LedgerLine::read(&it.text).ok());
    if !known.any(|line| same(&line)) {
        book.record
            .add_countersigned(stock_no, &it, who.as_deref())?;
    }
    Ok(Some(Confirmed {
        how: [MESSAGE, KEY]
            .into_iter()
            .find(|how| *how == it.how)
            .unwrap_or(PAPER),
        by: it.by,
        seal: it.seal,
    }))
}

/// The words of a name that claim something, each once.
fn claims(book: &TradeBook, name: &str) -> Vec<String> {
    let stem = name.rsplit_once('.').map_or(name, |it| it.0);
    let text = stem.replace('_', " ");
    let found = book.claims.in_text(&text);
    let mut words: Vec<String> = Vec::new();
    for word in found.iter().map(|it| text[it.start..it.end].to_owned()) {
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words
}

/// A name that no paper of the piece has, capitals aside, and that a dossier can carry.
fn free(known: &[KeptFile], file: &Path) -> String {
    let name = names::safe(file.file_name().unwrap_or_default()).replace('%', "_");
    let taken = |name: &String| {
        known
            .iter()
            .any(|it| it.name.to_lowercase() == name.to_lowercase())
    };
    let mut numbered = (1..).map(|turn| names::numbered(&name, turn));
    numbered.find(|it| !taken(it)).unwrap_or(name)
}
