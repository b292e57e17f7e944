//! Whether the runs of a backup are states of one book, or two copies of it went on apart.

use std::collections::BTreeSet;
use std::path::Path;

use serde::Serialize;

use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::record::Record;
use crate::work::WorkError;
use crate::work::backup::run::Run;
use crate::work::backup::scratch::Scratch;
use crate::work::backup::store::Store;
use crate::work::book::open_book::DATABASE;

/// How two copies of one book stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct OtherCopy {
    /// Number of the run of the other copy.
    pub run: u32,
    /// When it was made.
    pub at: Moment,
    /// Lines of its ledger.
    pub its_lines: usize,
    /// Lines of the ledger of this book.
    pub lines: usize,
    /// How many lines, from the first on, both have.
    pub same_lines: usize,
}

impl OtherCopy {
    /// Of two ledgers, in a sentence without a full stop; `this` says which book is meant.
    #[must_use]
    pub fn told(&self, this: &str) -> String {
        let how = match self.same_lines == self.lines {
            true => "a newer copy of the book is in the backup",
            false => {
                "another copy of the book was backed up here, and each has what the other lacks"
            }
        };
        let end = match self.same_lines == self.lines {
            true => {
                "Back up the newer one again, and this ends. If this older one is the one that goes on"
            }
            false => {
                "Decide which copy goes on, and tell it by hand what only the other was told; the two cannot be joined. Then, from the copy that \
                 goes on"
            }
        };
        format!(
            "{how}: run {} of {} has {} ledger lines, {this} {}, the first {} of them the same; `asfound restore BACKUP DIR --run {}` gives \
             it back. {end}, `asfound backup BACKUP --set-aside {}`: that run stays in the backup, and this ends",
            self.run, self.at, self.its_lines, self.lines, self.same_lines, self.run, self.run
        )
    }
}

/// Sums of the first lines of a ledger, of none to all; a run writes down the last one.
pub(super) fn sums(leaves: &[Digest]) -> Vec<Digest> {
    let mut all = vec![Digest::of(&[])];
    for leaf in leaves {
        let before = all.last().map_or([0; 32], |it| it.0);
        all.push(Digest::of(&[before, leaf.0].concat()));
    }
    all
}

/// Whether a run has the first of these lines and no others; `None` where it wrote no sum down.
fn is_first(run: &Run, sums: &[Digest]) -> Option<bool> {
    let of_it = usize::try_from(run.lines).ok().and_then(|it| sums.get(it));
    run.ledger.map(|it| Some(&it) == of_it)
}

/// The newest run with lines that the ledger of `leaves` lacks; of the runs after `no`, one that does not go on from it. It is found in
/// every later run, since no run is ever taken away, until the person sets it aside, and with it all that came before it.
///
/// # Errors
/// When the way to a copy failed, or there is no room to look at it.
pub(super) fn other_copy<'a>(
    store: &Store,
    runs: impl Iterator<Item = &'a Run>,
    set_aside: Option<u32>,
    (no, leaves): (u32, &[Digest]),
    now: Moment,
) -> Result<Option<OtherCopy>, WorkError> {
    let mut in_line = vec![sums(leaves)];
    let mut are_older = true;
    let runs: Vec<&Run> = runs.collect();
    let aside: BTreeSet<u32> = { runs.iter() }
        .filter_map(|it| it.set_aside)
        .chain(set_aside)
        .collect();
    // What was set aside is told no more, in whatever run it lies.
    for run in runs.iter().filter(|it| aside.contains(&it.run)) {
        in_line.extend(its_leaves(store, run, now)?.map(|it| sums(&it)));
    }
    for run in runs.into_iter().rev() {
        let firsts = in_line.iter().filter_map(|it| is_first(run, it));
        // Of the runs without a sum, which an earlier version made, the newest alone is looked at.
        if firsts.clone().any(|it| it) || (run.ledger.is_none() && !std::mem::take(&mut are_older))
        {
            continue;
        }
        // A copy that cannot be read, or is of an older format, cannot be compared; `verify` tells of the first.
        let Some(its) = its_leaves(store, run, now)? else {
            continue;
        };
        let same = its.iter().zip(leaves).take_while(|(a, b)| a == b).count();
        let goes_on = run.run > no && same == leaves.len();
        if same < its.len() && !goes_on && !aside.contains(&run.run) {
            return Ok(Some(OtherCopy {
                run: run.run,
                at: run.at,
                its_lines: its.len(),
                lines: leaves.len(),
                same_lines: same,
            }));
        }
        in_line.push(sums(&its));
    }
    Ok(None)
}

fn its_leaves(store: &Store, run: &Run, now: Moment) -> Result<Option<Vec<Digest>>, WorkError> {
    let database = run.database.sha256;
    if let Some(file) = store.plain_file(database) {
        return Ok(leaves_in(&file, now));
    }
    let scratch = Scratch::new()?;
    let file = scratch.0.join(DATABASE);
    let copied = store.copy_out(database, &file, false)?;
    Ok(copied.and_then(|_| leaves_in(&file, now)))
}

fn leaves_in(file: &Path, now: Moment) -> Option<Vec<Digest>> {
    Record::open_copy(file, now).ok()?.leaves().ok()
}
