//! The files of a book into a backup: what is new is copied, and what changed on either side is read again.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

use crate::evidence::key::file;
use crate::kit::clock::Day;
use crate::kit::copies;
use crate::kit::copies::Sum;
use crate::kit::files::FileError;
use crate::kit::files::read;
use crate::work::WorkError;
use crate::work::backup::backed_up::BackedUp;
use crate::work::backup::book_files::Lying;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Changed;
use crate::work::backup::run::Folder;
use crate::work::backup::run::Object;
use crate::work::backup::run::Run;
use crate::work::backup::run::StoredFile;
use crate::work::backup::run::StoredKey;
use crate::work::backup::store::Lies;
use crate::work::backup::store::Store;
use crate::work::progress::Progress;

/// From how many bytes on a file that the record does not know is not read again while it does not change.
const LONG: u64 = 1024 * 1024;

/// A run that is being made.
pub(super) struct Storing<'a> {
    pub(super) store: &'a Store,
    /// The files of the run before, by path.
    pub(super) known: BTreeMap<String, StoredFile>,
    pub(super) today: Day,
    pub(super) done: BackedUp,
}

impl Storing<'_> {
    /// The files of the run before, by path.
    ///
    /// # Errors
    /// When the way to their lists failed.
    pub(super) fn known(
        store: &Store,
        before: Option<&Run>,
    ) -> Result<BTreeMap<String, StoredFile>, FileError> {
        let mut known = BTreeMap::new();
        for folder in before.iter().flat_map(|it| &it.folders) {
            let files = store.files(folder)?.unwrap_or_default();
            known.extend(files.into_iter().map(|it| (it.path.clone(), it)));
        }
        Ok(known)
    }

    /// Stores the key files.
    ///
    /// # Errors
    /// When one cannot be read, or the backup not be written.
    pub(super) fn keys(&mut self, keys: &[(String, PathBuf)]) -> Result<Vec<StoredKey>, WorkError> {
        let mut stored = Vec::new();
        for (name, path) in keys {
            let text = read(path)?;
            let shown = String::from_utf8_lossy(&text);
            let (public, locked) = match (file::public_of(&shown), file::is_locked(&shown)) {
                (Ok(public), Ok(locked)) => (public, locked),
                (Err(why), _) | (_, Err(why)) => {
                    self.amiss(name, format!("left out: {why}"));
                    continue;
                }
            };
            self.store.put_key(public, &text)?;
            if !locked {
                self.done.key = Some("open");
            }
            self.done.key.get_or_insert("locked");
            stored.push(StoredKey {
                path: name.clone(),
                public,
            });
        }
        Ok(stored)
    }

    /// Stores all other files, and their lists.
    ///
    /// # Errors
    /// When the backup cannot be written.
    pub(super) fn files(
        &mut self,
        files: &BTreeMap<String, Lying>,
        progress: &dyn Progress,
    ) -> Result<Vec<Folder>, WorkError> {
        let mut by_folder: BTreeMap<&str, Vec<StoredFile>> = BTreeMap::new();
        progress.begin("storing", files.len());
        for (name, it) in files {
            progress.step();
            let Some(stored) = self.file(name, it)? else {
                continue;
            };
            self.done.files += 1;
            self.done.bytes += stored.object.bytes;
            let folder = name.split_once('/').map_or("", |it| it.0);
            by_folder.entry(folder).or_default().push(stored);
        }
        progress.end();
        let mut folders = Vec::new();
        for (name, files) in by_folder {
            let text = serde_json::to_vec(&files).unwrap_or_default();
            folders.push(Folder {
                name: name.to_owned(),
                list: self.store.put_bytes(&text)?.into(),
            });
        }
        Ok(folders)
    }

    /// Stores a file; `None` where there is nothing to store.
    fn file(&mut self, name: &str, it: &Lying) -> Result<Option<StoredFile>, WorkError> {
        let found = fs::metadata(&it.path).ok().filter(fs::Metadata::is_file);
        let changed = found.as_ref().and_then(Changed::of);
        let known = self.known.remove(name);
        let same = known.as_ref().filter(|known| {
            changed.is_some()
                && known.changed() == changed
                && it.recorded.is_none_or(|it| it == known.object.sha256)
        });
        let unread = same.map(|it| it.read.unwrap_or(self.today));
        let lies = match (same, &found) {
            (Some(known), _) => Ok(known.object.into()),
            (None, None) => Err("is not there".to_owned()),
            (None, Some(_)) => {
                copies::sum(&it.path).map_err(|why| format!("cannot be read: {}", why.source))
            }
        };
        let stored = |object: Object, changed: Option<Changed>| StoredFile {
            path: name.to_owned(),
            object,
            read_only: found.as_ref().is_none_or(|it| it.permissions().readonly()),
            changed: changed.map(|it| it.at),
            inode: changed.and_then(|it| it.inode),
            kept: None,
            read: None,
        };
        let sum = match (self.right(name, it, lies)?, it.recorded) {
            (Right::Stored(object), _) => return Ok(Some(stored(object, None))),
            (Right::Lost, _) => return Ok(None),
            (Right::Here(sum), recorded) if recorded.is_none_or(|it| it == sum.sha256) => sum,
            // It is read again in every run, which tells of it.
            (Right::Here(sum), _) => {
                let kept = self.keep(name, &it.path, sum, None)?;
                return Ok(kept.map(|_| stored(sum.into(), None)));
            }
        };
        let Some(kept) = self.keep(name, &it.path, sum, known.as_ref())? else {
            return Ok(None);
        };
        let since = unread.into_iter().chain(kept.unread_since).min();
        if let Some(since) = since {
            self.done.not_read_again += 1;
            let before = self.done.not_read_since.get_or_insert(since);
            *before = since.min(*before);
        }
        let is_long = it.recorded.is_some() || sum.bytes >= LONG;
        Ok(Some(StoredFile {
            kept: kept.lies,
            read: Some(since.unwrap_or(self.today)),
            ..stored(sum.into(), changed.filter(|_| is_long))
        }))
    }

    /// Tells what is wrong with a file of the book; where the record names it and the backup has its bytes, they stay in the run.
    fn right(
        &mut self,
        name: &str,
        it: &Lying,
        lies: Result<Sum, String>,
    ) -> Result<Right, FileError> {
        let wrong = match (&lies, it.recorded) {
            (Ok(sum), recorded) if recorded.is_none_or(|it| it == sum.sha256) => {
                return Ok(Right::Here(*sum));
            }
            (Ok(_), _) => "has other bytes than the record names",
            (Err(why), _) => why,
        };
        let held = it.recorded.and_then(|it| Some((it, self.store.long(it)?)));
        if let Some((sha256, bytes)) = held {
            let object = Object { sha256, bytes };
            let kept = match self.store.lies(object.into())? == Lies::Right {
                true => "the backup has the right one, which `verify --heal` puts back",
                false => {
                    "the backup has no right one either: look for one elsewhere with `verify --heal DIR`"
                }
            };
            self.amiss(name, format!("{wrong}; {kept}"));
            return Ok(Right::Stored(object));
        }
        Ok(match lies {
            Ok(sum) => {
                self.amiss(name, format!("{wrong}; it is stored as it lies there"));
                Right::Here(sum)
            }
            Err(why) => {
                self.amiss(name, format!("{why}, and the backup has none"));
                Right::Lost
            }
        })
    }

    /// Sees that the backup has the bytes of a file: they are copied where it has none, and looked at where their file in the backup
    /// changed since the run before. `None` where the
    /// file cannot be copied, which is told.
    fn keep(
        &mut self,
        name: &str,
        from: &Path,
        sum: Sum,
        known: Option<&StoredFile>,
    ) -> Result<Option<Kept>, FileError> {
        let lies = self.store.changed(sum.sha256);
        let same =
            known.filter(|it| it.object == sum.into() && it.kept.is_some() && it.kept == lies);
        if let Some(known) = same {
            let unread_since = Some(known.read.unwrap_or(self.today));
            return Ok(Some(Kept { lies, unread_since }));
        }
        if self.store.long(sum.sha256).is_some() && self.store.lies(sum)? != Lies::Right {
            self.amiss(
                name,
                "had other bytes in the backup, and was stored there again",
            );
            self.store.take_out(sum.sha256)?;
        }
        match self.store.put(from, sum) {
            Ok(new) => {
                self.done.new_bytes += if new { sum.bytes } else { 0 };
                let lies = self.store.changed(sum.sha256);
                Ok(Some(Kept {
                    lies,
                    unread_since: None,
                }))
            }
            Err(why) if why.path == from => {
                self.amiss(name, format!("left out: {}", why.source));
                Ok(None)
            }
            Err(why) => Err(why),
        }
    }

    fn amiss(&mut self, file: &str, why: impl Into<String>) {
        self.done.amiss.push(Amiss {
            file: file.to_owned(),
            why: why.into(),
        });
    }
}

/// Bytes in the backup.
struct Kept {
    /// How their file lies.
    lies: Option<Changed>,
    /// Since when they were not read; `None` where this run read them.
    unread_since: Option<Day>,
}

/// Where the bytes are that a run is to hold.
enum Right {
    /// In the book.
    Here(Sum),
    /// In the backup alone.
    Stored(Object),
    /// Nowhere.
    Lost,
}
