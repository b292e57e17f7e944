//! Opening a backup to read or to write, and beginning one.

use std::cell::RefCell;
use std::time::Duration;

use serde::Serialize;

use crate::evidence::key::passphrase::NewPassphrase;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::make_folder;
use crate::kit::files::sync_folder;
use crate::kit::lock::Lock;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::marker::LOCK;
use crate::work::backup::marker::Marker;
use crate::work::backup::marker::has_others;
use crate::work::backup::marker::is_begun;
use crate::work::backup::marker::lock_anew;
use crate::work::backup::marker::unlocked;
use crate::work::backup::place::Place;
use crate::work::backup::run::Changed;
use crate::work::backup::scratch::Scratch;
use crate::work::backup::store::Store;
use crate::work::progress::Progress;

impl Store {
    /// Opens one to read.
    ///
    /// # Errors
    /// When it is none, of a newer program, or the passphrase does not open it.
    pub(in crate::work) fn open(
        place: &Place,
        passphrase: Option<&str>,
    ) -> Result<Self, WorkError> {
        let marker = Marker::read(place)?;
        let (place, scratch) = match place {
            Place::Folder(root) => (Place::Folder(root.canonicalize().at("open", root)?), None),
            Place::Bucket(_) => (place.clone(), Some(Scratch::new()?)),
        };
        let secret = match marker.encrypted {
            true => Some(unlocked(&place, passphrase)?),
            false => None,
        };
        Ok(Self {
            place,
            marker,
            secret,
            scratch,
            listed: RefCell::default(),
        })
    }

    /// Opens one to write, or begins it where nothing lies or the folder is not there, and keeps others from writing; what a run left
    /// unfinished is removed.
    ///
    /// # Errors
    /// When something else lies there, it is of another book, or it cannot be written to.
    pub(in crate::work) fn open_or_begin(
        place: &Place,
        marker: Marker,
        passphrase: Option<&str>,
        progress: &dyn Progress,
    ) -> Result<(Self, Option<Lock>), WorkError> {
        let shown = place.shown("");
        if !is_begun(place)? && has_others(place)? {
            let (what, hint) = match place {
                Place::Folder(_) => ("the folder ", "a folder that is empty, not there yet,"),
                Place::Bucket(_) => ("", "a prefix under which nothing lies,"),
            };
            return Err(WorkError::asked_with(
                format!("{what}`{}` is not empty, and no backup", shown.display()),
                format!("name {hint} or a backup of this book"),
            ));
        }
        if let Place::Folder(root) = place {
            make_folder(root)?;
        }
        let lock = lock(place, progress)?;
        if !is_begun(place)? {
            marker.write(place, passphrase)?;
        }
        let store = Self::open(place, passphrase)?;
        if store.marker.book != marker.book {
            return Err(WorkError::asked_with(
                format!(
                    "`{}` is the backup of another book: `{}`, not `{}`",
                    shown.display(),
                    store.marker.name,
                    marker.name
                ),
                "name another place; each book has a backup of its own",
            ));
        }
        if marker.encrypted && !store.marker.encrypted {
            return Err(WorkError::asked_with(
                "this backup was begun without a passphrase",
                "name another place for one with `--encrypt`",
            ));
        }
        store.prepare(lock.as_ref())?;
        Ok((store, lock))
    }

    /// Keeps others from writing to a folder, which would sweep away what is written; learns what lies in a bucket, which knows no
    /// locks and needs none: what is written there is whole at once, and nothing is removed.
    ///
    /// # Errors
    /// When it cannot be written to, or does not tell.
    pub(in crate::work) fn lock(&self, progress: &dyn Progress) -> Result<Option<Lock>, FileError> {
        self.learn()?;
        lock(&self.place, progress)
    }

    fn learn(&self) -> Result<(), FileError> {
        let entries = self.place.entries("objects/")?;
        let mut listed = self.listed.borrow_mut();
        for it in entries {
            let name = it.name.rsplit('/').next().unwrap_or_default();
            if let Ok(sha256) = name.parse() {
                listed.insert(sha256, (it.bytes, Changed::of_tag(&it.tag, it.bytes)));
            }
        }
        Ok(())
    }

    /// Makes the folders of one in a folder, and sweeps them; learns what lies in a bucket.
    fn prepare(&self, lock: Option<&Lock>) -> Result<(), WorkError> {
        let Place::Folder(root) = &self.place else {
            return Ok(self.learn()?);
        };
        for first in 0..=u8::MAX {
            make_folder(&root.join(format!("objects/{first:02x}")))?;
        }
        let day = Duration::from_secs(24 * 3600);
        let age = match lock.is_some_and(Lock::is_held) {
            true => Duration::ZERO,
            false => day,
        };
        for folder in ["", "keys", "runs"] {
            let folder = root.join(folder);
            make_folder(&folder)?;
            vault::sweep(&folder, age)?;
        }
        sync_folder(&root.join("objects"));
        sync_folder(root);
        Ok(())
    }
}

/// A backup whose passphrase is another now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KeptAnew {
    /// Where it lies.
    pub backup: String,
    /// Whether all in it is under a passphrase: it is.
    pub encrypted: bool,
}

/// Keeps a backup under another passphrase from now on; nothing else in it changes. Whoever kept what opened it before still opens it by the old one.
///
/// # Errors
/// When it has none, the one so far does not open it, the new one is too short, or it cannot be written; it then opens as before.
pub fn keep_under(
    place: &Place,
    passphrase: Option<&str>,
    new: &str,
    progress: &dyn Progress,
) -> Result<KeptAnew, WorkError> {
    let new = NewPassphrase::new(new)?;
    if !Marker::read(place)?.encrypted {
        return Err(WorkError::asked_with(
            "this backup was begun without a passphrase",
            "name another place for one with `--encrypt`",
        ));
    }
    let _lock = lock(place, progress)?;
    let secret = unlocked(place, passphrase)?;
    lock_anew(place, &secret, &new)?;
    Ok(KeptAnew {
        backup: place.shown("").display().to_string(),
        encrypted: true,
    })
}

fn lock(place: &Place, progress: &dyn Progress) -> Result<Option<Lock>, FileError> {
    let Place::Folder(root) = place else {
        return Ok(None);
    };
    let wait = || progress.say("another run is writing to this backup; waiting for it");
    Lock::take(&root.join(LOCK), wait).map(Some)
}
