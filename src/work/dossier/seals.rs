//! The seals that a dossier rests on: whether they cover the piece, and still fit the ledger.

use crate::evidence::dossier::package::SealFiles;
use crate::evidence::key::pair::Key;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::statement::Statement;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::model::ids::StockNo;
use crate::record::StoredLine;
use crate::record::StoredSeal;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::proof::seal_files::PUBLIC_KEY;
use crate::work::proof::seal_files::folder;

/// The piece's lines with what seals them.
pub(in crate::work) struct Sealed {
    /// The newest seal.
    pub(in crate::work) no: u32,
    /// How many lines it covers.
    pub(in crate::work) size: u64,
    /// The book's first line, those about its keys, and the piece's.
    pub(in crate::work) lines: Vec<StoredLine>,
    /// Of the whole ledger.
    pub(in crate::work) leaves: Vec<Digest>,
    /// All seals, with what they say.
    pub(in crate::work) seals: Vec<(StoredSeal, Statement)>,
    /// The public key of the newest; `None` where there is no seal yet.
    pub(in crate::work) key: Option<PublicKey>,
    /// Why the piece's lines are not all sealed, in a clause; nothing can be written then.
    pub(in crate::work) open: Option<String>,
}

impl Sealed {
    /// The root of the newest seal.
    pub(in crate::work) fn root(&self) -> Digest {
        let newest = self.seals.last();
        newest.map_or_else(|| merkle::root(&[]), |it| it.1.root)
    }

    /// The key's fingerprint; empty where there is no seal yet.
    pub(in crate::work) fn fingerprint(&self) -> String {
        self.key
            .as_ref()
            .map_or_else(String::new, PublicKey::fingerprint)
    }

    /// Whether all of the piece's lines are sealed.
    ///
    /// # Errors
    /// When they are not.
    pub(in crate::work) fn covers_all(&self) -> Result<(), WorkError> {
        self.open.as_ref().map_or(Ok(()), |why| {
            Err(WorkError::asked_with(
                why,
                "seal the book first: `asfound seal`",
            ))
        })
    }

    /// The number of the first seal that covers a line.
    pub(in crate::work) fn seal_of(&self, line: u64) -> Option<u32> {
        let seals = &mut self.seals.iter();
        seals.find(|it| it.1.size > line).map(|it| it.0.no)
    }

    /// The earliest time stamp that covers a line, with its seal.
    pub(in crate::work) fn stamped(&self, line: u64) -> Option<(u32, Moment)> {
        let covers = self.seals.iter().filter(|it| it.1.size > line);
        covers
            .filter_map(|it| Some((it.0.no, it.0.stamped?)))
            .min_by_key(|it| it.1)
    }

    /// As they are enclosed; a request without its reply is of no use to anybody.
    pub(in crate::work) fn files(&self) -> Vec<SealFiles> {
        let file = |it: &StoredSeal| SealFiles {
            no: it.no,
            statement: it.statement.clone(),
            signature: it.signature.clone(),
            query: it.reply.is_some().then(|| it.request.clone()),
            reply: it.reply.clone(),
        };
        self.seals.iter().map(|it| file(&it.0)).collect()
    }
}

/// The seals of a piece's lines, which cover all of them.
///
/// # Errors
/// When they do not, or as [`seals_so_far`].
pub(in crate::work) fn sealed(
    book: &OpenBook,
    stock_no: &StockNo,
    key: Option<&Key>,
) -> Result<Sealed, WorkError> {
    let it = seals_so_far(book, stock_no, key)?;
    it.covers_all()?;
    Ok(it)
}

/// The seals of a piece's lines, whether they cover all of them or not.
///
/// # Errors
/// When the ledger no longer fits its newest seal, or when the public key is not there.
pub(in crate::work) fn seals_so_far(
    book: &OpenBook,
    stock_no: &StockNo,
    key_given: Option<&Key>,
) -> Result<Sealed, WorkError> {
    let mut seals = Vec::new();
    for seal in book.record.seals()? {
        let statement = Statement::read(&seal.statement)
            .map_err(|why| broken(format!("seal {} cannot be read: {why}", seal.no)))?;
        seals.push((seal, statement));
    }
    let (no, size) = seals.last().map_or((0, 0), |it| (it.0.no, it.1.size));
    let all = book.record.lines()?;
    let leaves: Vec<Digest> = all
        .iter()
        .map(|it| merkle::leaf(it.text.as_bytes()))
        .collect();
    let covered = usize::try_from(size).ok().and_then(|it| leaves.get(..it));
    let is_of = |root: Digest| covered.map(merkle::root) == Some(root);
    if seals.last().is_some_and(|it| !is_of(it.1.root)) {
        return Err(broken(format!(
            "the ledger is no longer the one that seal {no} sealed"
        )));
    }
    let keys = book.record.key_changes()?.into_iter().map(|it| it.0);
    let mut lines: Vec<StoredLine> = book.record.first_line()?.into_iter().chain(keys).collect();
    lines.extend(book.record.lines_of(stock_no)?);
    lines.sort_by_key(|it| it.no);
    let is_edition =
        |it: &&StoredLine| LedgerLine::read(&it.text).is_ok_and(|it| it.what == "edition");
    let newer = lines.iter().filter(|it| it.no >= size);
    let open = newer.filter(|it| !is_edition(it)).count();
    let s = if open == 1 { "" } else { "s" };
    let open = match (seals.last(), open) {
        (None, _) => Some("there is no seal yet".to_owned()),
        (_, 0) => None,
        _ => Some(format!(
            "{open} line{s} of {stock_no} or of the book's key came into the ledger after the newest seal"
        )),
    };
    let key = seals.last().map(|it| it.1.key);
    let key = key.map(|it| public_key(book, key_given, it)).transpose()?;
    Ok(Sealed {
        no,
        size,
        lines,
        leaves,
        seals,
        key,
        open,
    })
}

/// The key that signed the newest seal.
fn public_key(book: &OpenBook, key: Option<&Key>, digest: Digest) -> Result<PublicKey, WorkError> {
    let path = folder(book).join(PUBLIC_KEY);
    let key = match key {
        Some(key) => Some(key.public()),
        None => {
            let pem = read(&path)?;
            PublicKey::read_pem(&String::from_utf8_lossy(&pem)).ok()
        }
    };
    key.filter(|it| it.digest() == digest).ok_or_else(|| {
        broken("the book's key is not the one that signed its newest seal".to_owned())
    })
}

fn broken(what: String) -> WorkError {
    WorkError::asked_with(what, "`asfound verify` says what is wrong")
}
