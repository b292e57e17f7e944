//! Checks the seals of a stock book: each signed, each with the root of its lines, each time stamp of its statement.

use crate::evidence::check::Check;
use crate::evidence::check::Outcome;
use crate::evidence::check::Stamp;
use crate::evidence::check::Tools;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::statement::Statement;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::record::StoredLine;
use crate::record::StoredSeal;
use crate::work::WorkError;
use crate::work::open_book::OpenBook;
use crate::work::proof::check_book::Tally;
use crate::work::proof::seal::PUBLIC_KEY;
use crate::work::proof::seal::folder;

/// What the seals came to.
pub(in crate::work) struct SealsFound {
    pub(in crate::work) checks: Vec<Check>,
    /// Time stamps that hold: how many lines each covers, and not later than.
    pub(in crate::work) stamps: Vec<(u64, Moment)>,
    /// How many lines the newest seal covers.
    pub(in crate::work) size: u64,
    pub(in crate::work) fingerprint: Option<String>,
}

/// Checks them.
///
/// # Errors
/// When the database cannot be read.
pub(in crate::work) fn seals(
    book: &OpenBook,
    stored: &[StoredLine],
    judge: &dyn Tools,
) -> Result<SealsFound, WorkError> {
    // Hashed anew: what is stored beside the lines might have been changed with them.
    let leaves: Vec<Digest> = stored
        .iter()
        .map(|it| merkle::leaf(it.text.as_bytes()))
        .collect();
    let seals = book.record.seals()?;
    let mut tally = Tally::new(
        "seals",
        match seals.len() {
            1 => "1 seal: signed by the book's key, with the root of its lines".to_owned(),
            many => {
                format!("{many} seals: signed by the book's key, each with the root of its lines")
            }
        },
    );
    if seals.is_empty() {
        tally.missing("there is no seal yet: `asfound seal` makes one");
    }
    let pem = read(&folder(book).join(PUBLIC_KEY)).ok();
    let key = pem.and_then(|it| PublicKey::read_pem(&String::from_utf8_lossy(&it)).ok());
    if key.is_none() && !seals.is_empty() {
        tally.missing(format!("the public key `seals/{PUBLIC_KEY}` is not there"));
    }
    let (mut stamps, mut covered) = (Stamps::default(), 0);
    let mut last = 0;
    for seal in &seals {
        let no = seal.no;
        let Ok(statement) = Statement::read(&seal.statement) else {
            tally.wrong(format!("seal {no} cannot be read"));
            continue;
        };
        let size = usize::try_from(statement.size).unwrap_or(usize::MAX);
        let root = leaves.get(..size).map(merkle::root);
        if root != Some(statement.root) {
            tally.wrong(format!("the first {size} lines are not those of seal {no}"));
        }
        if no != last + 1 {
            tally.wrong(format!("seal {} is gone", last + 1));
        }
        last = no;
        if let Some(key) = &key {
            let signed = key.verify(seal.statement.as_bytes(), &seal.signature);
            if signed.is_err() || key.digest() != statement.key {
                tally.wrong(format!("seal {no} is not signed by the book's key"));
            }
        }
        stamps.judge(judge, seal, &statement);
        covered = covered.max(statement.size);
    }
    let mut checks = vec![tally.check(), stamps.check()];
    checks.extend(unsealed(stored.len() as u64, covered).filter(|_| !seals.is_empty()));
    Ok(SealsFound {
        checks,
        stamps: stamps.good,
        size: covered,
        fingerprint: key.map(|it| it.fingerprint()),
    })
}

/// Tells lines that no seal covers yet; between two seals that is as it should be.
fn unsealed(lines: u64, covered: u64) -> Option<Check> {
    let newer = lines.checked_sub(covered).filter(|it| *it > 0)?;
    Some(Check {
        code: "unsealed",
        outcome: Outcome::Told,
        about: format!(
            "lines after the newest seal: {newer}; nothing shows yet that they were not changed: `asfound seal`"
        ),
    })
}

/// What the time stamps came to.
#[derive(Default)]
struct Stamps {
    good: Vec<(u64, Moment)>,
    told: Vec<String>,
    wrong: Vec<String>,
}

impl Stamps {
    fn judge(&mut self, judge: &dyn Tools, seal: &StoredSeal, statement: &Statement) {
        let (no, Some(reply)) = (seal.no, &seal.reply) else {
            return;
        };
        match judge.stamp(seal.statement.as_bytes(), Some(&seal.request), reply) {
            Stamp::At(at) => {
                self.told
                    .push(format!("seal {no} was there not later than {at}"));
                self.good.push((statement.size, at));
            }
            Stamp::Unknown(why) => self.told.push(format!(
                "the time stamp of seal {no} was not checked: {why}; give the authority's root with `--root FILE`"
            )),
            Stamp::Wrong(why) => self.wrong.push(format!("the time stamp of seal {no}: {why}")),
        }
    }

    fn check(&self) -> Check {
        let (outcome, lines) = match self.wrong.is_empty() {
            true => (Outcome::Told, &self.told),
            false => (Outcome::Wrong, &self.wrong),
        };
        Check {
            code: "stamps",
            outcome,
            about: match lines.is_empty() {
                true => "no seal is time-stamped".to_owned(),
                false => lines.join("; "),
            },
        }
    }
}
