//! A backup into a book.

use std::fs;
use std::path::Path;

use serde::Serialize;

use crate::kit::clock::Moment;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::is_free;
use crate::kit::files::make_folder;
use crate::kit::files::replace;
use crate::work::WorkError;
use crate::work::backup::lay_out::lay_out;
use crate::work::backup::other_copy::OtherCopy;
use crate::work::backup::other_copy::other_copy;
use crate::work::backup::place::Place;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Run;
use crate::work::backup::store::Store;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::verify::GivenToJudge;
use crate::work::proof::verify::Verified;
use crate::work::proof::verify::verify_book;

/// A run that can be given back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct RunMade {
    /// Its number.
    pub run: u32,
    /// When it was made.
    pub at: Moment,
    /// How many lines the ledger of the book had.
    pub lines: usize,
}

/// The runs of a backup that are whole, the oldest first.
///
/// # Errors
/// When it is no backup, or cannot be read.
pub fn runs(backup: &Place, passphrase: Option<&str>) -> Result<Vec<RunMade>, WorkError> {
    let made = Store::open(backup, passphrase)?.whole_runs()?;
    let made = made.into_iter().map(|it| RunMade {
        run: it.run,
        at: it.at,
        lines: usize::try_from(it.lines).unwrap_or(usize::MAX),
    });
    Ok(made.collect())
}

/// What was given back.
#[derive(Clone, Debug, Serialize)]
pub struct Restored {
    /// The new book's folder.
    pub book: String,
    /// Number of the run.
    pub run: u32,
    /// When it was made.
    pub at: Moment,
    /// Files that could not be given back.
    pub amiss: Vec<Amiss>,
    /// Folders beside it that restores of that name left when they were stopped.
    pub leftovers: Vec<String>,
    /// The newest run of another copy of this book, which has lines that this one lacks.
    pub other_copy: Option<OtherCopy>,
    /// Whether every file is there and nothing is wrong; that the book has no seal yet is nothing wrong.
    pub is_whole: bool,
    /// What a check of the new book found.
    pub verified: Verified,
}

/// Gives back the book of a run, or of the newest one, in a folder that is empty or not there, and checks it. Stopped in between, it
/// leaves nothing under that name.
///
/// # Errors
/// When the folder is not empty, there is no such run, or its database is not whole.
pub fn restore(
    backup: &Place,
    to: &Path,
    run: Option<u32>,
    passphrase: Option<&str>,
    now: Moment,
    progress: &dyn Progress,
) -> Result<Restored, WorkError> {
    let store = Store::open(backup, passphrase)?;
    let run = find(&store, run)?;
    if !is_free(to)? {
        return Err(WorkError::NotEmpty(to.to_owned()));
    }
    let to = std::path::absolute(to).at("look for", to)?;
    let there = to.ancestors().find_map(|it| it.canonicalize().ok());
    if there.is_some_and(|it| it.starts_with(store.shown())) {
        return Err(WorkError::asked_with(
            format!("`{}` lies inside the backup", to.display()),
            "name a folder outside it",
        ));
    }
    let parent = to.parent().unwrap_or(&to);
    make_folder(parent)?;
    let name = to.file_name().unwrap_or_default().to_string_lossy();
    let draft = parent.join(format!("{UNFINISHED}{}-{name}", std::process::id()));
    let leftovers = leftovers(parent, &name, &draft)?;
    let mut amiss = Vec::new();
    replace(&to, &draft, "make", || {
        // What cannot be made there is told of the place that was named.
        fs::create_dir(&draft).at("make the folder", &to)?;
        amiss = lay_out(&store, &run, &draft, progress)?;
        // Some systems rename a folder only to where none is; one that is not empty stays.
        let _ = fs::remove_dir(&to);
        Ok::<(), WorkError>(())
    })?;
    let mut book = OpenBook::open_to_read(&to, now)?;
    let runs = store.whole_runs()?;
    let leaves = book.record.leaves()?;
    let other_copy = other_copy(&store, runs.iter(), None, (run.run, &leaves), now)?;
    let verified = verify_book(&mut book, &GivenToJudge::default(), None, progress)?;
    let is_sealed = !book.record.seals()?.is_empty();
    let mut wrong = verified.checks.iter().filter(|it| !it.ok);
    let is_right = wrong.all(|it| it.code == "seals" && !is_sealed);
    Ok(Restored {
        is_whole: is_right && amiss.is_empty() && other_copy.is_none(),
        book: to.display().to_string(),
        run: run.run,
        at: run.at,
        amiss,
        leftovers,
        other_copy,
        verified,
    })
}

/// What restores to this name left unfinished beside it. One of them may still be running, so none is removed.
fn leftovers(parent: &Path, name: &str, own: &Path) -> Result<Vec<String>, FileError> {
    let mut found = Vec::new();
    for entry in fs::read_dir(parent).at("list", parent)? {
        let path = entry.at("list", parent)?.path();
        let other = path.file_name().unwrap_or_default().to_string_lossy();
        let of_it = other
            .strip_prefix(UNFINISHED)
            .and_then(|it| it.split_once('-'));
        if of_it.is_some_and(|it| it.1 == name) && path != own && path.is_dir() {
            found.push(path.display().to_string());
        }
    }
    found.sort();
    Ok(found)
}

fn find(store: &Store, no: Option<u32>) -> Result<Run, WorkError> {
    let runs = store.runs()?;
    let wanted = match no {
        Some(no) => runs.iter().find(|it| it.no == no),
        None => runs.last(),
    };
    let Some(wanted) = wanted else {
        let all = store.whole_runs()?;
        let all = all
            .iter()
            .map(|it| format!("{} of {}", it.run, it.at.local_day()));
        let all: Vec<String> = all.collect();
        return Err(WorkError::asked_with(
            "the backup has no such run",
            match all.is_empty() {
                true => "its first run was not finished: run `asfound backup` again".to_owned(),
                false => format!("it has these: {}", all.join(", ")),
            },
        ));
    };
    store.run(wanted)?.ok_or_else(|| {
        WorkError::asked_with(
            format!("the list of run {} is damaged", wanted.no),
            "name another one with `--run N`",
        )
    })
}
