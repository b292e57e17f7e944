//! The book of one run as files again: copied, or shown in a folder that is gone afterwards.

use std::fs;
use std::io;
use std::path::Path;

use crate::kit::copies;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::make_folder;
use crate::kit::files::write_secret;
use crate::work::WorkError;
use crate::work::backup::book_files::plain;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Object;
use crate::work::backup::run::Run;
use crate::work::backup::run::StoredFile;
use crate::work::backup::store::Store;
use crate::work::book::open_book::DATABASE;
use crate::work::progress::Progress;
use crate::work::proof::book_dossiers;

/// Longest file that is copied where others are only shown: what a user may write to.
const SHORT: u64 = 64 * 1024;

/// How files come into the folder.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum How {
    /// Copied and read back.
    Copied,
    /// Shown in place of a copy, whatever their bytes are; what belongs to a dossier is copied.
    Shown,
}

/// Lays out the book of a run in an empty folder; gives what could not be given back.
///
/// # Errors
/// When the database of the run is not whole, or the folder cannot be written to.
pub(super) fn lay_out(
    store: &Store,
    run: &Run,
    folder: &Path,
    progress: &dyn Progress,
) -> Result<Vec<Amiss>, WorkError> {
    let out = Laying {
        store,
        run,
        folder,
        how: How::Copied,
        progress,
    };
    let mut amiss = out.begin()?;
    amiss.extend(out.files(&|_| true)?);
    Ok(amiss)
}

/// A book that is laid out.
pub(super) struct Laying<'a> {
    pub(super) store: &'a Store,
    pub(super) run: &'a Run,
    pub(super) folder: &'a Path,
    pub(super) how: How,
    pub(super) progress: &'a dyn Progress,
}

impl Laying<'_> {
    /// Its database and keys.
    ///
    /// # Errors
    /// When the database of the run is not whole, or the folder cannot be written to.
    pub(super) fn begin(&self) -> Result<Vec<Amiss>, WorkError> {
        make_folder(self.folder)?;
        if !self.give(self.run.database, &self.folder.join(DATABASE), false)? {
            return Err(WorkError::asked_with(
                format!(
                    "the database of run {} is not there, or damaged",
                    self.run.run
                ),
                "`asfound backup` stores it again; an earlier run may be whole: `asfound restore BACKUP FOLDER --run N`",
            ));
        }
        let mut amiss = Vec::new();
        for key in &self.run.keys {
            match (self.store.key_text(key.public)?, is_inside(&key.path)) {
                (Some(text), true) => write_secret(&self.folder.join(&key.path), &text)?,
                _ => amiss.push(told(&key.path, LOST)),
            }
        }
        Ok(amiss)
    }

    /// Those of its files that are wanted, by their paths.
    ///
    /// # Errors
    /// When the folder cannot be written to.
    pub(super) fn files(&self, is_wanted: &dyn Fn(&str) -> bool) -> Result<Vec<Amiss>, WorkError> {
        let mut amiss = Vec::new();
        for part in &self.run.folders {
            let Some(mut files) = self.store.files(part)? else {
                if is_wanted(&format!("{}/", part.name)) {
                    let name = match part.name.as_str() {
                        "" => "the files at the top",
                        name => name,
                    };
                    amiss.push(told(
                        name,
                        "is not given back: its list is not there, or damaged",
                    ));
                }
                continue;
            };
            files.retain(|it| is_wanted(&it.path));
            self.progress.begin("giving back", files.len());
            for it in &files {
                self.progress.step();
                amiss.extend(self.file(it)?);
            }
            self.progress.end();
        }
        Ok(amiss)
    }

    fn file(&self, it: &StoredFile) -> Result<Option<Amiss>, WorkError> {
        let path = self.folder.join(&it.path);
        if !is_inside(&it.path) {
            let why = "is not given back: its path leads out of the book";
            return Ok(Some(told(&it.path, why)));
        }
        make_folder(path.parent().unwrap_or(self.folder))?;
        // A link within a dossier is no part of it: what belongs to one is copied.
        let in_dossier = it.path.split('/').nth(1) == Some(book_dossiers::FOLDER);
        let is_shown = self.how == How::Shown && !in_dossier;
        let shown = match is_shown {
            true => self.store.plain_file(it.object.sha256),
            false => None,
        };
        let given = (shown.is_none() || it.object.bytes <= SHORT)
            && self.give(it.object, &path, it.read_only)?;
        if let Some(shown) = shown.filter(|_| !given) {
            show(&shown, &path)?;
        }
        Ok((!given && self.how == How::Copied).then(|| told(&it.path, LOST)))
    }

    /// Copies bytes out and reads them back; `false` where the backup does not have them.
    fn give(&self, it: Object, to: &Path, read_only: bool) -> Result<bool, FileError> {
        let copied = self.store.copy_out(it.sha256, to, read_only)?;
        if copied != Some(it.into()) {
            let _ = fs::remove_file(to);
            return Ok(false);
        }
        match copies::sum(to)? == it.into() {
            true => Ok(true),
            false => {
                let why = io::Error::other("other bytes came back than were written");
                Err(why).at("read back", to)
            }
        }
    }
}

fn told(file: &str, why: &str) -> Amiss {
    Amiss {
        file: file.to_owned(),
        why: why.to_owned(),
    }
}

const LOST: &str = "is not given back: it is not there, or damaged, in the backup";

fn is_inside(path: &str) -> bool {
    plain(Path::new(path)).as_deref() == Some(path)
}

/// Lets `path` show a file that lies elsewhere; `false` where that is not there.
fn show(from: &Path, path: &Path) -> Result<bool, FileError> {
    if !from.is_file() {
        return Ok(false);
    }
    #[cfg(unix)]
    std::os::unix::fs::symlink(from, path).at("make", path)?;
    #[cfg(not(unix))]
    fs::hard_link(from, path)
        .or_else(|_| fs::copy(from, path).map(drop))
        .at("make", path)?;
    Ok(true)
}
