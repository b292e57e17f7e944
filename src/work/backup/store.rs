//! A backup: bytes under their digests, keys, and the runs, wherever it lies.

use std::cell::Cell;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::io::Read;
use std::path::Path;
use std::path::PathBuf;

use crate::evidence::age::secret::Secret;
use crate::kit::copies;
use crate::kit::copies::Sum;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::marker::Marker;
use crate::work::backup::place::Place;
use crate::work::backup::place::if_there;
use crate::work::backup::place::not_back;
use crate::work::backup::run::Changed;
use crate::work::backup::scratch::Scratch;

/// The name of bytes in a backup.
fn object(sha256: Digest) -> String {
    format!("objects/{}/{sha256}", &sha256.to_string()[..2])
}

/// A backup.
pub(in crate::work) struct Store {
    pub(super) place: Place,
    pub(in crate::work) marker: Marker,
    pub(super) secret: Option<Secret>,
    /// Where files are written before they go into a bucket; in a folder they are written beside their place.
    pub(super) scratch: Option<Scratch>,
    /// What lies in a bucket under which digest: how many bytes, and how. Known to whoever writes to it.
    pub(super) listed: RefCell<BTreeMap<Digest, (u64, Option<Changed>)>>,
}

/// What lies in the place of bytes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(in crate::work) enum Lies {
    /// They.
    Right,
    /// Others.
    Other,
    /// None that can be read.
    Nothing,
}

impl Store {
    /// Where it lies, as it is told.
    pub(in crate::work) fn shown(&self) -> PathBuf {
        self.place.shown("")
    }

    /// Where bytes lie in it, as it is told.
    pub(in crate::work) fn shown_object(&self, sha256: Digest) -> PathBuf {
        self.place.shown(&object(sha256))
    }

    /// The file that has the bytes of a digest as they are; `None` of a backup whose files are none of this machine, or encrypted.
    pub(in crate::work) fn plain_file(&self, sha256: Digest) -> Option<PathBuf> {
        match (&self.place, &self.secret) {
            (Place::Folder(_), None) => Some(self.shown_object(sha256)),
            _ => None,
        }
    }

    /// Where a file is written before it comes into its place.
    fn draft(&self, what: &str) -> PathBuf {
        let name = format!("{UNFINISHED}{}-{what}", std::process::id());
        match &self.scratch {
            Some(scratch) => scratch.0.join(name),
            None => self.place.shown(&name),
        }
    }

    /// Where a file that is not encrypted is written before it is stored; nothing lies on the medium of an encrypted backup that is not
    /// encrypted, not even for a while.
    ///
    /// # Errors
    /// When there is no place for it.
    pub(in crate::work) fn plain_draft(&self, name: &str) -> Result<PlainDraft, WorkError> {
        let scratch = match (&self.secret, &self.place) {
            (None, Place::Folder(_)) => None,
            _ => Some(Scratch::new()?),
        };
        let path = match &scratch {
            Some(scratch) => scratch.0.join(name),
            None => self.draft(name),
        };
        Ok(PlainDraft {
            path,
            _scratch: scratch,
        })
    }

    /// Whether all in it is under a passphrase.
    pub(in crate::work) fn is_encrypted(&self) -> bool {
        self.secret.is_some()
    }

    /// Reads what lies under a name as what was stored.
    fn opened(&self, name: &str) -> Result<Box<dyn Read + '_>, FileError> {
        self.read_as_stored(self.place.open(name)?, &self.place.shown(name))
    }

    fn read_as_stored<'a>(
        &'a self,
        file: impl Read + 'a,
        path: &Path,
    ) -> Result<Box<dyn Read + 'a>, FileError> {
        Ok(match &self.secret {
            Some(secret) => Box::new(secret.opening(file).at("read", path)?),
            None => Box::new(file),
        })
    }

    /// Reads bytes as what is to be stored of them.
    pub(super) fn sealed<'a>(&'a self, from: impl Read + 'a) -> io::Result<Box<dyn Read + 'a>> {
        Ok(match &self.secret {
            Some(secret) => Box::new(secret.sealing(from)?),
            None => Box::new(from),
        })
    }

    /// What lies under a name whole, as what was stored.
    pub(super) fn bytes(&self, name: &str) -> Result<Vec<u8>, FileError> {
        let mut bytes = Vec::new();
        let mut from = self.opened(name)?;
        from.read_to_end(&mut bytes)
            .at("read", self.place.shown(name))?;
        Ok(bytes)
    }

    /// How many bytes were stored under a digest, whatever they are; `None` where none were.
    pub(in crate::work) fn long(&self, sha256: Digest) -> Option<u64> {
        let long = match &self.place {
            Place::Bucket(_) => self.listed.borrow().get(&sha256)?.0,
            Place::Folder(root) => {
                let found = fs::symlink_metadata(root.join(object(sha256))).ok()?;
                found.is_file().then_some(found.len())?
            }
        };
        match self.secret {
            Some(_) => Secret::plain_length(long),
            None => Some(long),
        }
    }

    /// How the bytes of a digest lie; `None` where there are none, or nothing tells whether they change.
    pub(in crate::work) fn changed(&self, sha256: Digest) -> Option<Changed> {
        match &self.place {
            Place::Bucket(_) => self.listed.borrow().get(&sha256)?.1,
            Place::Folder(_) => self.place.lies_in_folder(&object(sha256)),
        }
    }

    /// Removes what lies under a digest and has other bytes; in a bucket the right ones replace it.
    ///
    /// # Errors
    /// When it cannot be removed.
    pub(super) fn take_out(&self, sha256: Digest) -> Result<(), FileError> {
        match &self.place {
            Place::Folder(root) => vault::remove(&root.join(object(sha256))),
            Place::Bucket(_) => {
                self.listed.borrow_mut().remove(&sha256);
                Ok(())
            }
        }
    }

    /// What lies in the place of bytes, read to its end.
    ///
    /// # Errors
    /// When the way to it failed, so that nothing is known of it.
    pub(in crate::work) fn lies(&self, sum: Sum) -> Result<Lies, FileError> {
        let name = object(sum.sha256);
        let path = self.place.shown(&name);
        let found = self.opened(&name).and_then(|it| copies::sum_of(it, &path));
        match found {
            Ok(found) if found == sum => Ok(Lies::Right),
            Err(why) if why.source.kind() != io::ErrorKind::InvalidData => {
                if_there(Err::<(), _>(why)).map(|_| Lies::Nothing)
            }
            _ => Ok(Lies::Other),
        }
    }

    /// Copies what lies under a digest out of the backup; `None` where it is not there, or cannot be read.
    ///
    /// # Errors
    /// When the new file cannot be written, or the way to the old one failed.
    pub(in crate::work) fn copy_out(
        &self,
        sha256: Digest,
        to: &Path,
        read_only: bool,
    ) -> Result<Option<Sum>, FileError> {
        let name = object(sha256);
        let path = self.place.shown(&name);
        let copied = self
            .opened(&name)
            .and_then(|it| copies::copy(it, &path, to, read_only));
        match copied {
            Err(why) if why.path == path => if_there(Err(why)),
            copied => copied.map(Some),
        }
    }

    /// Whole bytes that lie under a digest; `None` where they do not.
    ///
    /// # Errors
    /// When the way to them failed.
    pub(in crate::work) fn get(&self, sha256: Digest) -> Result<Option<Vec<u8>>, FileError> {
        let bytes = if_there(self.bytes(&object(sha256)))?;
        Ok(bytes.filter(|it| Digest::of(it) == sha256))
    }

    /// Stores a file that has these bytes, once: copied, synced, read back, then brought into its place. Gives whether it is new.
    ///
    /// # Errors
    /// With the path of the file when that cannot be read or has other bytes; else that the backup cannot be written.
    pub(in crate::work) fn put(&self, from: &Path, sum: Sum) -> Result<bool, FileError> {
        self.put_from(from, sum, || fs::File::open(from).at("read", from))
    }

    fn put_from<R: Read>(
        &self,
        from: &Path,
        sum: Sum,
        open: impl Fn() -> Result<R, FileError>,
    ) -> Result<bool, FileError> {
        if self.long(sum.sha256) == Some(sum.bytes) {
            return Ok(false);
        }
        self.place.takes(sum.bytes, from)?;
        let (name, draft) = (object(sum.sha256), self.draft("object"));
        let written = Cell::new(0);
        let lies = self.place.bring(&name, &draft, || {
            let sealed = self.sealed(open()?).at("read", from)?;
            let sealed = copies::copy(sealed, from, &draft, true)?;
            written.set(sealed.bytes);
            let file = fs::File::open(&draft).at("read", &draft)?;
            if copies::sum_of(self.read_as_stored(file, &draft)?, &draft)? == sum {
                return Ok(sealed);
            }
            match copies::sum_of(open()?, from)? == sum {
                true => Err(not_back()).at("read back", self.place.shown(&name)),
                false => Err(io::Error::other("it changed while it was read")).at("copy", from),
            }
        })?;
        if let Place::Bucket(_) = self.place {
            let mut listed = self.listed.borrow_mut();
            listed.insert(sum.sha256, (written.get(), lies));
        }
        Ok(true)
    }

    /// The same for what every run needs whole: what lies there already is read, and replaced where it has other bytes.
    ///
    /// # Errors
    /// As [`Self::put`].
    pub(in crate::work) fn put_sure(&self, from: &Path, sum: Sum) -> Result<bool, FileError> {
        self.clear_wrong(sum)?;
        self.put(from, sum)
    }

    fn clear_wrong(&self, sum: Sum) -> Result<(), FileError> {
        match self.long(sum.sha256).is_some() && self.lies(sum)? != Lies::Right {
            true => self.take_out(sum.sha256),
            false => Ok(()),
        }
    }

    /// Stores bytes that every run needs whole, or that were found again.
    ///
    /// # Errors
    /// When the backup cannot be written.
    pub(in crate::work) fn put_bytes(&self, bytes: &[u8]) -> Result<Sum, FileError> {
        let sum = Sum {
            sha256: Digest::of(bytes),
            bytes: bytes.len() as u64,
        };
        self.clear_wrong(sum)?;
        self.put_from(&self.shown_object(sum.sha256), sum, || Ok(bytes))?;
        Ok(sum)
    }
}

/// A file that is not encrypted, before it is stored.
pub(in crate::work) struct PlainDraft {
    pub(in crate::work) path: PathBuf,
    _scratch: Option<Scratch>,
}
