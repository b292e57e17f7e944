//! Sealing the ledger: signing its size and root, and taking in an authority's time stamp.

use std::path::PathBuf;
use std::time::Duration;

use serde::Serialize;

use crate::evidence::key::pair::Key;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::merkle;
use crate::evidence::ledger::merkle::Tree;
use crate::evidence::seal::letter::Letter;
use crate::evidence::seal::letter::NamedPiece;
use crate::evidence::seal::statement::Statement;
use crate::evidence::stamp::reply;
use crate::evidence::stamp::reply::Given;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::kit::random;
use crate::model::ids::StockNo;
use crate::record::StoredSeal;
use crate::tongue::Language;
use crate::tongue::Tongue;
use crate::tongue::say;
use crate::vault;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Quiet;
use crate::work::proof::authority;
use crate::work::proof::authority::Patience;
use crate::work::proof::keys;
use crate::work::proof::keys::KeyTold;
use crate::work::proof::keys::NewKey;
use crate::work::proof::named_pieces::named_pieces;
use crate::work::proof::seal_files;
use crate::work::proof::seal_files::PUBLIC_KEY;
use crate::work::proof::seal_files::is_stamp;
use crate::work::sidecars::all_sidecars::AllTexts;
use crate::work::sidecars::all_sidecars::LeftText;
use crate::work::sidecars::all_sidecars::sync_all;

/// What seal is wanted.
#[derive(Clone, Debug, Default)]
pub struct SealRequest {
    /// A reply of a time-stamp authority to the newest request.
    pub reply: Option<PathBuf>,
    /// Address of an authority to ask.
    pub authority: Option<String>,
    /// Root certificates of the authority, as its owner publishes them.
    pub roots: Vec<PathBuf>,
    /// The passphrase of the key.
    pub passphrase: Option<String>,
    /// What to do about the passphrase of a key that is there.
    pub lock: LockWish,
    /// Another key in the place of the book's.
    pub new_key: Option<NewKey>,
    /// Whether the clock was ahead before, so that the new seal may be dated before what it covers.
    pub clock_was_ahead: bool,
    /// Pieces that the letter is to name; when none is told, those of which the seal is the first to cover something.
    pub pieces: Vec<StockNo>,
    /// The language of the letter and of the line for invoices; `None` for the book's.
    pub language: Option<Language>,
}

/// What to do with the stored key.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LockWish {
    /// Leave it as it is; a new one is stored open.
    #[default]
    Leave,
    /// Store it under the passphrase from now on.
    Lock,
}

/// What came of it.
#[derive(Clone, Debug, Serialize)]
pub struct Sealed {
    /// Number of the seal.
    pub no: u32,
    /// How many lines of the ledger it covers.
    pub size: u64,
    /// The root of its tree.
    pub root: Digest,
    /// Whether it is signed; always so.
    pub signed: bool,
    /// Whether this command made it; else nothing was new since.
    pub new: bool,
    /// Not later than this, by an authority; `None` without one.
    pub time_stamp: Option<Moment>,
    /// The authority's name, where a reply was checked by this command.
    pub authority: Option<String>,
    /// The book's key, as it may be printed on an invoice.
    pub fingerprint: String,
    /// How it is kept, and those before it.
    pub key: KeyTold,
    /// Files of the seal: statement, signature, request, reply, public key.
    pub files: Vec<String>,
    /// How many changed sidecars were taken in first.
    pub texts: usize,
    /// Sidecars that were changed and are in no line, so that the seal does not cover them.
    pub unread: Vec<LeftText>,
    /// Sidecars whose newest text has mistakes: it is sealed as it is, and the text before it stays in force.
    pub faulty: Vec<LeftText>,
    /// A text to send to the buyer, which is an anchor in time without any authority.
    pub letter: String,
    /// A line for the seller's invoices, by which a stranger can tell the book's seals from another's.
    pub invoice_line: String,
}

/// Takes in what was changed in the sidecars of all pieces, and seals the ledger as it then is, unless nothing came since the newest
/// seal; then takes in or fetches a time stamp.
///
/// # Errors
/// When the key cannot be used, the reply does not hold, or files cannot be read or written.
pub fn seal(book: &mut OpenBook, order: &SealRequest) -> Result<Sealed, WorkError> {
    // Two at once would make two keys, or two seals of one number.
    let _lock = book.lock(&Quiet)?;
    seal_files::is_free(book, &book.record.seals()?)?;
    for no in &order.pieces {
        book.record.piece(no)?;
    }
    // What is refused changes no key.
    let replaces = order.new_key.is_some() && order.reply.is_none();
    if replaces || is_due(book, order)? {
        goes_on(book, order)?;
    }
    let passphrase = order.passphrase.as_deref();
    let key = match &order.new_key {
        Some(wanted) => keys::replace(book, wanted, passphrase)?,
        None => keys::key(book, passphrase)?,
    };
    let texts = sync_all(book)?;
    let (mut stored, new) = match book.record.seals()?.pop() {
        Some(it) if !is_due(book, order)? => (it, false),
        _ if order.reply.is_some() => {
            return Err(WorkError::asked_with(
                "there is no seal that this could be the reply to",
                "make one with `asfound seal`, send its request to the authority, then give the reply",
            ));
        }
        _ => (make(book, &key, order)?, true),
    };
    if order.lock == LockWish::Lock && order.new_key.is_none() {
        keys::store(book, &key, passphrase)?;
    }
    let reply = match (&order.reply, &order.authority) {
        (Some(path), _) => Some(read(path)?),
        (None, Some(address)) if stored.stamped.is_none() => Some(authority::ask(
            address,
            &stored.request,
            Patience::default(),
        )?),
        _ => None,
    };
    let mut authority = None;
    if let Some(reply) = reply {
        seal_files::has_room(book, stored.no, &reply)?;
        let (at, name) = check(&stored, &reply, &order.roots)?;
        book.record.stamp_seal(stored.no, &reply, at)?;
        (stored.reply, stored.stamped) = (Some(reply), Some(at));
        authority = Some(name);
    }
    // A run that was killed may have left a seal without its files, and drafts; with the lock held nobody else writes there.
    for folder in [&book.root, &seal_files::folder(book)] {
        vault::sweep(folder, Duration::ZERO)?;
    }
    for it in book.record.seals()? {
        write(book, &it, &key.public())?;
    }
    let files = write(book, &stored, &key.public())?;
    let told = Told {
        tongue: book.settings_or_usual()?.0.tongue(order.language),
        pieces: named_pieces(book, &stored, &order.pieces)?,
        new,
        authority,
        key: keys::told(book)?.ok_or_else(|| WorkError::asked("the seal is not there"))?,
        files,
        texts,
    };
    told.of(&stored)
}

/// Whether a seal is to be made of what is in the ledger now; a change of key that is on record already makes none by itself.
fn is_due(book: &OpenBook, order: &SealRequest) -> Result<bool, WorkError> {
    // A reply belongs to the request that was sent out, whatever came into the ledger meanwhile.
    if order.reply.is_some() {
        return Ok(false);
    }
    match book.record.seals()?.pop() {
        Some(newest) => Ok(!is_covered(book, &newest)?),
        None => Ok(true),
    }
}

/// Whether a seal covers all lines, but for those that tell of time stamps: they come after the seal that was stamped.
fn is_covered(book: &OpenBook, seal: &StoredSeal) -> Result<bool, WorkError> {
    let Ok(statement) = Statement::read(&seal.statement) else {
        return Ok(false);
    };
    let leaves = book.record.leaves()?;
    let these = usize::try_from(statement.size);
    let these = these.ok().and_then(|it| leaves.get(..it));
    if these.map(merkle::root) != Some(statement.root) {
        return Ok(false);
    }
    let newer = book.record.lines_from(statement.size)?;
    Ok(newer.iter().all(is_stamp))
}

/// Asks that the clock is not behind the newest seal and the lines since: a seal that is dated before what it covers is the first thing
/// that the other side would ask about.
///
/// # Errors
/// When it is; says what to do.
fn goes_on(book: &OpenBook, order: &SealRequest) -> Result<(), WorkError> {
    if order.clock_was_ahead {
        return Ok(());
    }
    let newest = book.record.seals()?.pop();
    let sealed = newest.and_then(|it| Some((it.no, Statement::read(&it.statement).ok()?)));
    let size = sealed.as_ref().map_or(0, |it| it.1.size);
    let sealed = sealed.map(|(no, it)| (it.at, format!("seal {no}")));
    let lines = book.record.lines_from(size)?;
    let lines = lines.iter().filter_map(|it| {
        let at = LedgerLine::read(&it.text).ok()?.at;
        Some((at, format!("line {}", it.no)))
    });
    let Some((at, what)) = lines.chain(sealed).max_by_key(|it| it.0) else {
        return Ok(());
    };
    let now = book.now;
    match at <= now {
        true => Ok(()),
        false => Err(WorkError::asked_with(
            format!("the clock went back: it says {now}, and {what} is of {at}"),
            "nothing was sealed: set the clock right and seal again. If it is right now and was ahead then, `asfound seal --clock-was-ahead`; \
             every check will name these two times",
        )),
    }
}

fn make(book: &mut OpenBook, key: &Key, order: &SealRequest) -> Result<StoredSeal, WorkError> {
    // Texts that were taken in just now may be all that is new.
    goes_on(book, order)?;
    let leaves = book.record.leaves()?;
    let tree = &Tree {
        size: leaves.len() as u64,
        root: merkle::root(&leaves),
    };
    let first = book.record.first_line()?;
    let name = first.map_or_else(|| Digest::of(b""), |it| it.leaf);
    let statement = Statement::new(name, tree, book.now, key.public().digest()).text();
    let nonce = random::draw().map_err(WorkError::Chance)?;
    let mut seal = StoredSeal {
        no: 0,
        signature: key.sign(statement.as_bytes()).to_vec(),
        request: reply::request(statement.as_bytes(), nonce),
        statement,
        reply: None,
        stamped: None,
    };
    seal.no = book.record.add_seal(&seal)?;
    Ok(seal)
}

/// The time that a reply proves, rounded up to the whole second that is surely not before, and who says so.
fn check(
    seal: &StoredSeal,
    reply: &[u8],
    roots: &[PathBuf],
) -> Result<(Moment, String), WorkError> {
    if roots.is_empty() {
        return Err(WorkError::asked_with(
            "a time stamp is only worth what stands behind it: the authority's root certificate is needed",
            "give it with `--root FILE`, as the authority's owner publishes it",
        ));
    }
    let roots = roots
        .iter()
        .map(|it| Ok(read(it)?))
        .collect::<Result<Vec<_>, WorkError>>()?;
    let roots: Vec<&[u8]> = roots.iter().map(Vec::as_slice).collect();
    let given = Given {
        roots: &roots,
        extra: &[],
    };
    let request = Some(seal.request.as_slice());
    let stamp = reply::check_reply(seal.statement.as_bytes(), request, reply, &given)?;
    let at = stamp.time.at_latest(stamp.accuracy);
    let at =
        at.ok_or_else(|| WorkError::asked("the time in the reply lies beyond the calendar"))?;
    Ok((at, stamp.authority))
}

/// Writes the files of a seal that are not there, and the public key; gives their paths.
fn write(book: &OpenBook, seal: &StoredSeal, key: &PublicKey) -> Result<Vec<String>, WorkError> {
    let mut paths = seal_files::write(book, seal)?;
    let path = seal_files::folder(book).join(PUBLIC_KEY);
    let pem = key.pem();
    if read(&path).ok().as_deref() != Some(pem.as_bytes()) {
        write_whole(&path, pem.as_bytes())?;
    }
    paths.push(path);
    Ok(paths.iter().map(|it| it.display().to_string()).collect())
}

/// What is told beside the seal.
struct Told {
    /// The language of the letter and of the line for invoices.
    tongue: Tongue,
    pieces: Vec<NamedPiece>,
    new: bool,
    authority: Option<String>,
    key: KeyTold,
    files: Vec<String>,
    texts: AllTexts,
}

impl Told {
    fn of(self, seal: &StoredSeal) -> Result<Sealed, WorkError> {
        let unread =
            |why: String| WorkError::asked(format!("seal {} cannot be read: {why}", seal.no));
        let statement = Statement::read(&seal.statement).map_err(|why| unread(why.to_string()))?;
        // A seal that was kept for its reply may be of the key before.
        let key = PublicKey::from_bytes(&statement.key.0).map_err(|why| unread(why.to_string()))?;
        Ok(Sealed {
            no: seal.no,
            size: statement.size,
            root: statement.root,
            signed: true,
            new: self.new,
            time_stamp: seal.stamped,
            authority: self.authority,
            fingerprint: key.fingerprint(),
            key: self.key,
            files: self.files,
            texts: self.texts.taken,
            unread: self.texts.unread,
            faulty: self.texts.faulty,
            letter: Letter::of(seal.no, &statement, &key).text(&self.pieces, self.tongue),
            invoice_line: say::invoice_line(key.fingerprint()).said(self.tongue),
        })
    }
}
