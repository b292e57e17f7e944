//! A backup as a folder: bytes under their digests, keys, and the runs.

use std::fs;
use std::io;
use std::io::BufReader;
use std::io::Read;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

use crate::evidence::age::secret::Secret;
use crate::evidence::key::file;
use crate::kit::copies;
use crate::kit::copies::Sum;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::make_folder;
use crate::kit::files::replace;
use crate::kit::files::sync_folder;
use crate::kit::files::write_read_only;
use crate::kit::files::write_secret;
use crate::kit::lock::Lock;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::marker::LOCK;
use crate::work::backup::marker::Marker;
use crate::work::backup::marker::has_others;
use crate::work::backup::marker::is_backup;
use crate::work::backup::marker::unlocked;
use crate::work::backup::run::Changed;
use crate::work::backup::run::Folder;
use crate::work::backup::run::Run;
use crate::work::backup::run::StoredFile;
use crate::work::progress::Progress;

/// Where bytes lie in the backup at `root`.
pub(in crate::work) fn object(root: &Path, sha256: Digest) -> PathBuf {
    let name = sha256.to_string();
    root.join("objects").join(&name[..2]).join(name)
}

/// A backup.
pub(in crate::work) struct Store {
    pub(in crate::work) root: PathBuf,
    pub(in crate::work) marker: Marker,
    secret: Option<Secret>,
}

/// A run as it lies there: its name tells its number and the digest of its bytes.
#[derive(Clone, Debug)]
pub(in crate::work) struct RunFile {
    pub(in crate::work) no: u32,
    sha256: Digest,
    pub(in crate::work) path: PathBuf,
}

impl Store {
    /// Opens one to read.
    ///
    /// # Errors
    /// When it is none, of a newer program, or the passphrase does not open it.
    pub(in crate::work) fn open(root: &Path, passphrase: Option<&str>) -> Result<Self, WorkError> {
        let marker = Marker::read(root)?;
        let root = root.canonicalize().at("open", root)?;
        let secret = match marker.encrypted {
            true => Some(unlocked(&root, passphrase)?),
            false => None,
        };
        Ok(Self {
            root,
            marker,
            secret,
        })
    }

    /// Opens one to write, or begins it in a folder that is empty or not there, and keeps others from writing; what a run left
    /// unfinished is removed.
    ///
    /// # Errors
    /// When something else lies there, it is of another book, or it cannot be written to.
    pub(in crate::work) fn open_or_begin(
        root: &Path,
        marker: Marker,
        passphrase: Option<&str>,
        progress: &dyn Progress,
    ) -> Result<(Self, Lock), WorkError> {
        if !is_backup(root) && has_others(root)? {
            return Err(WorkError::asked_with(
                format!(
                    "the folder `{}` is not empty, and no backup",
                    root.display()
                ),
                "name a folder that is empty, not there yet, or a backup of this book",
            ));
        }
        make_folder(root)?;
        let lock = lock(root, progress)?;
        if !is_backup(root) {
            marker.write(root, passphrase)?;
        }
        let store = Self::open(root, passphrase)?;
        if store.marker.book != marker.book {
            return Err(WorkError::asked_with(
                format!(
                    "`{}` is the backup of another book: `{}`, not `{}`",
                    root.display(),
                    store.marker.name,
                    marker.name
                ),
                "name another folder; each book has a backup of its own",
            ));
        }
        if marker.encrypted && !store.marker.encrypted {
            return Err(WorkError::asked_with(
                "this backup was begun without a passphrase",
                "name another folder for one with `--encrypt`",
            ));
        }
        store.prepare(&lock)?;
        Ok((store, lock))
    }

    /// Keeps others from writing to it, which would sweep away what is written.
    ///
    /// # Errors
    /// When it cannot be written to.
    pub(in crate::work) fn lock(&self, progress: &dyn Progress) -> Result<Lock, FileError> {
        lock(&self.root, progress)
    }

    /// Makes its folders, and sweeps them.
    fn prepare(&self, lock: &Lock) -> Result<(), WorkError> {
        for first in 0..=u8::MAX {
            make_folder(&self.root.join(format!("objects/{first:02x}")))?;
        }
        let day = Duration::from_secs(24 * 3600);
        let age = if lock.is_held() { Duration::ZERO } else { day };
        for folder in ["", "keys", "runs"] {
            let folder = self.root.join(folder);
            make_folder(&folder)?;
            vault::sweep(&folder, age)?;
        }
        sync_folder(&self.root.join("objects"));
        sync_folder(&self.root);
        Ok(())
    }

    /// Where a file is written before it comes into its place.
    pub(in crate::work) fn draft(&self, what: &str) -> PathBuf {
        let name = format!("{UNFINISHED}{}-{what}", std::process::id());
        self.root.join(name)
    }

    /// Whether all in it is under a passphrase.
    pub(in crate::work) fn is_encrypted(&self) -> bool {
        self.secret.is_some()
    }

    /// Reads a file of the backup as what was stored.
    fn opened(&self, path: &Path) -> Result<Box<dyn Read + '_>, FileError> {
        let file = BufReader::new(fs::File::open(path).at("read", path)?);
        Ok(match &self.secret {
            Some(secret) => Box::new(secret.opening(file).at("read", path)?),
            None => Box::new(file),
        })
    }

    /// Reads bytes as what is to be stored of them.
    fn sealed<'a>(&'a self, from: impl Read + 'a) -> io::Result<Box<dyn Read + 'a>> {
        Ok(match &self.secret {
            Some(secret) => Box::new(secret.sealing(from)?),
            None => Box::new(from),
        })
    }

    /// A file of the backup whole, as what was stored.
    fn bytes(&self, path: &Path) -> Result<Vec<u8>, FileError> {
        let mut bytes = Vec::new();
        self.opened(path)?
            .read_to_end(&mut bytes)
            .at("read", path)?;
        Ok(bytes)
    }

    /// How many bytes were stored under a digest, whatever they are; `None` where none were.
    pub(in crate::work) fn long(&self, sha256: Digest) -> Option<u64> {
        let found = fs::symlink_metadata(object(&self.root, sha256)).ok()?;
        let long = found.is_file().then_some(found.len())?;
        match self.secret {
            Some(_) => Secret::plain_length(long),
            None => Some(long),
        }
    }

    /// How the file lies that has the bytes of a digest; `None` where there is none.
    pub(in crate::work) fn changed(&self, sha256: Digest) -> Option<Changed> {
        let found = fs::symlink_metadata(object(&self.root, sha256)).ok()?;
        found.is_file().then(|| Changed::of(&found)).flatten()
    }

    /// Removes what lies under a digest and has other bytes.
    ///
    /// # Errors
    /// When it cannot be removed.
    pub(super) fn take_out(&self, sha256: Digest) -> Result<(), FileError> {
        vault::remove(&object(&self.root, sha256))
    }

    /// What lies under a digest.
    ///
    /// # Errors
    /// When it is not there or cannot be read.
    pub(in crate::work) fn look(&self, sha256: Digest) -> Result<Sum, FileError> {
        let path = object(&self.root, sha256);
        copies::sum_of(self.opened(&path)?, &path)
    }

    /// Copies what lies under a digest out of the backup; an error at the backup names its file there.
    ///
    /// # Errors
    /// When it cannot be read, or the new file cannot be written.
    pub(in crate::work) fn copy_out(
        &self,
        sha256: Digest,
        to: &Path,
        read_only: bool,
    ) -> Result<Sum, FileError> {
        let path = object(&self.root, sha256);
        copies::copy(self.opened(&path)?, &path, to, read_only)
    }

    /// Whole bytes that lie under a digest; `None` where they do not.
    pub(in crate::work) fn get(&self, sha256: Digest) -> Option<Vec<u8>> {
        let bytes = self.bytes(&object(&self.root, sha256)).ok()?;
        (Digest::of(&bytes) == sha256).then_some(bytes)
    }

    /// Stores a file that has these bytes, once: copied beside its place, synced, read back, renamed. Gives whether it is new.
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
        let (path, draft) = (object(&self.root, sum.sha256), self.draft("object"));
        replace(&path, &draft, "store", || {
            let sealed = self.sealed(open()?).at("read", from)?;
            copies::copy(sealed, from, &draft, true)?;
            if copies::sum_of(self.opened(&draft)?, &draft)? == sum {
                return Ok(());
            }
            match copies::sum_of(open()?, from)? == sum {
                true => Err(not_back()).at("read back", &path),
                false => Err(io::Error::other("it changed while it was read")).at("copy", from),
            }
        })?;
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
        let path = object(&self.root, sum.sha256);
        match path.exists() && !self.look(sum.sha256).is_ok_and(|it| it == sum) {
            true => vault::remove(&path),
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
        self.put_from(&object(&self.root, sum.sha256), sum, || Ok(bytes))?;
        Ok(sum)
    }

    /// Writes bytes into a file by `write`, and reads them back.
    fn write_sure(
        &self,
        path: &Path,
        bytes: &[u8],
        write: impl Fn(&Path, &[u8]) -> Result<(), FileError>,
    ) -> Result<(), FileError> {
        let mut sealed = Vec::new();
        let mut from = self.sealed(bytes).at("write", path)?;
        from.read_to_end(&mut sealed).at("write", path)?;
        write(path, &sealed)?;
        match self.bytes(path)? == bytes {
            true => Ok(()),
            false => Err(not_back()).at("read back", path),
        }
    }

    /// Where a key file lies: one for each key, as the book held it last.
    pub(in crate::work) fn key(&self, public: Digest) -> PathBuf {
        self.root.join("keys").join(format!("{public}.key"))
    }

    /// Stores the text of a key file in the place of what it held of the same key before: of a key that has a passphrase now, nothing
    /// stays without one.
    ///
    /// # Errors
    /// When the backup cannot be written, or gives back other bytes.
    pub(in crate::work) fn put_key(&self, public: Digest, text: &[u8]) -> Result<(), FileError> {
        let path = self.key(public);
        match self.bytes(&path).is_ok_and(|it| it == text) {
            true => Ok(()),
            false => self.write_sure(&path, text, write_secret),
        }
    }

    /// The text of a key file, if it is there and whole.
    pub(in crate::work) fn key_text(&self, public: Digest) -> Option<Vec<u8>> {
        let bytes = self.bytes(&self.key(public)).ok()?;
        let named = file::public_of(&String::from_utf8_lossy(&bytes)).ok()?;
        (named == public).then_some(bytes)
    }

    /// The runs, the oldest first.
    ///
    /// # Errors
    /// When their folder cannot be listed.
    pub(in crate::work) fn runs(&self) -> Result<Vec<RunFile>, FileError> {
        let folder = self.root.join("runs");
        let mut runs = Vec::new();
        for entry in fs::read_dir(&folder).at("list", &folder)? {
            let path = entry.at("list", &folder)?.path();
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let parts = name.strip_suffix(".json").and_then(|it| it.split_once('-'));
            let parts = parts.and_then(|(no, sum)| Some((no.parse().ok()?, sum.parse().ok()?)));
            if let Some((no, sha256)) = parts {
                runs.push(RunFile { no, sha256, path });
            }
        }
        runs.sort_by(|a, b| (a.no, &a.path).cmp(&(b.no, &b.path)));
        Ok(runs)
    }

    /// Writes a run down, which makes it one.
    ///
    /// # Errors
    /// When the backup cannot be written, or gives back other bytes.
    pub(in crate::work) fn add_run(&self, run: &Run) -> Result<(), FileError> {
        let text = serde_json::to_vec_pretty(run).unwrap_or_default();
        let name = format!("{:05}-{}.json", run.run, Digest::of(&text));
        let path = self.root.join("runs").join(name);
        self.write_sure(&path, &text, write_read_only)
    }

    /// What a run says; `None` where its bytes are not those that its name tells.
    pub(in crate::work) fn run(&self, file: &RunFile) -> Option<Run> {
        let bytes = self.bytes(&file.path).ok()?;
        let is_it = Digest::of(&bytes) == file.sha256;
        is_it.then(|| serde_json::from_slice(&bytes).ok()).flatten()
    }

    /// The files of a folder in a run; `None` where the list is not there or has other bytes.
    pub(in crate::work) fn files(&self, folder: &Folder) -> Option<Vec<StoredFile>> {
        serde_json::from_slice(&self.get(folder.list.sha256)?).ok()
    }
}

fn lock(root: &Path, progress: &dyn Progress) -> Result<Lock, FileError> {
    let wait = || progress.say("another run is writing to this backup; waiting for it");
    Lock::take(&root.join(LOCK), wait)
}

fn not_back() -> io::Error {
    io::Error::other("other bytes came back than were written: do not trust this medium")
}
