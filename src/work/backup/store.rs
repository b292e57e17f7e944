//! A backup as a folder: bytes under their digests, keys, and the runs.

use std::fs;
use std::io;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

use serde::Deserialize;
use serde::Serialize;

use crate::evidence::key::file;
use crate::kit::copies;
use crate::kit::copies::Sum;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::replace;
use crate::kit::files::write_read_only;
use crate::kit::files::write_secret;
use crate::kit::files::write_whole;
use crate::kit::lock::Lock;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::run::Folder;
use crate::work::backup::run::Run;
use crate::work::backup::run::StoredFile;
use crate::work::progress::Progress;

/// The file that makes a folder a backup.
const MARKER: &str = "asfound-backup.json";

/// The file whose lock is held by whoever writes to a backup.
const LOCK: &str = ".backup.lock";

/// The newest format of a backup that this program knows.
const FORMAT: u32 = 1;

/// Which book a backup is of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::work) struct Marker {
    /// The format.
    format: u32,
    /// The name of the book's folder when the backup was begun.
    pub(in crate::work) name: String,
    /// Hash of the first line of its ledger.
    pub(in crate::work) book: Digest,
    /// For whoever finds it.
    about: String,
}

impl Marker {
    /// For a book.
    pub(in crate::work) fn new(name: String, book: Digest) -> Self {
        Self {
            format: FORMAT,
            name,
            book,
            about: "A backup of a stock book. `asfound restore THIS-FOLDER NEW-FOLDER` gives the book back; without that program: each \
                    file of `runs` lists the book of one day, and every file lies in `objects` under its SHA-256."
                .to_owned(),
        }
    }
}

/// Whether a folder is a backup.
#[must_use]
pub fn is_backup(path: &Path) -> bool {
    path.join(MARKER).is_file()
}

/// Where bytes lie in the backup at `root`.
pub(in crate::work) fn object(root: &Path, sha256: Digest) -> PathBuf {
    let name = sha256.to_string();
    root.join("objects").join(&name[..2]).join(name)
}

/// A backup.
pub(in crate::work) struct Store {
    pub(in crate::work) root: PathBuf,
    pub(in crate::work) marker: Marker,
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
    /// When it is none, or of a newer program.
    pub(in crate::work) fn open(root: &Path) -> Result<Self, WorkError> {
        if !is_backup(root) {
            return Err(WorkError::asked_with(
                format!("`{}` is no backup", root.display()),
                "name the folder that was given to `asfound backup`",
            ));
        }
        let root = root.canonicalize().at("open", root)?;
        let bytes = read(&root.join(MARKER))?;
        let marker: Marker = serde_json::from_slice(&bytes).map_err(|why| {
            WorkError::asked(format!("`{MARKER}` of the backup cannot be read: {why}"))
        })?;
        if marker.format > FORMAT {
            return Err(WorkError::asked_with(
                "the backup was written by a newer asfound",
                "get the newest asfound; this one leaves it as it is",
            ));
        }
        Ok(Self { root, marker })
    }

    /// Opens one to write, or begins it in a folder that is empty or not there, and keeps others from writing; what a run left
    /// unfinished is removed.
    ///
    /// # Errors
    /// When something else lies there, it is of another book, or it cannot be written to.
    pub(in crate::work) fn open_or_begin(
        root: &Path,
        marker: Marker,
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
        let wait = || progress.say("another run is writing to this backup; waiting for it");
        let lock = Lock::take(&root.join(LOCK), wait)?;
        if !is_backup(root) {
            let text = serde_json::to_string_pretty(&marker).unwrap_or_default();
            write_whole(&root.join(MARKER), text.as_bytes())?;
        }
        let store = Self::open(root)?;
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
        store.prepare(&lock)?;
        Ok((store, lock))
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
        Ok(())
    }

    /// Where a file is written before it comes into its place.
    pub(in crate::work) fn draft(&self, what: &str) -> PathBuf {
        let name = format!("{UNFINISHED}{}-{what}", std::process::id());
        self.root.join(name)
    }

    /// How many bytes lie under a digest, whatever they are; `None` where none do.
    pub(in crate::work) fn long(&self, sha256: Digest) -> Option<u64> {
        let found = fs::symlink_metadata(object(&self.root, sha256)).ok()?;
        found.is_file().then_some(found.len())
    }

    /// Stores a file that has these bytes, once: copied beside its place, synced, renamed, read back. Gives whether it is new.
    ///
    /// # Errors
    /// With the path of the file when that cannot be read or has other bytes; else that the backup cannot be written.
    pub(in crate::work) fn put(&self, from: &Path, sum: Sum) -> Result<bool, FileError> {
        if self.long(sum.sha256) == Some(sum.bytes) {
            return Ok(false);
        }
        let (path, draft) = (object(&self.root, sum.sha256), self.draft("object"));
        replace(&path, &draft, "store", || {
            match copies::copy(from, &draft, true)? == sum {
                true => Ok(()),
                false => Err(io::Error::other("it changed while it was read")).at("copy", from),
            }
        })?;
        if copies::sum(&path)? == sum {
            return Ok(true);
        }
        vault::remove(&path)?;
        let why =
            io::Error::other("other bytes came back than were written: do not trust this medium");
        Err(why).at("read back", path)
    }

    /// The same for what every run needs whole: what lies there already is read, and replaced where it has other bytes.
    ///
    /// # Errors
    /// As [`Self::put`].
    pub(in crate::work) fn put_sure(&self, from: &Path, sum: Sum) -> Result<bool, FileError> {
        let path = object(&self.root, sum.sha256);
        if path.exists() && !copies::sum(&path).is_ok_and(|it| it == sum) {
            vault::remove(&path)?;
        }
        self.put(from, sum)
    }

    /// Stores bytes that every run needs whole.
    ///
    /// # Errors
    /// When the backup cannot be written.
    pub(in crate::work) fn put_bytes(&self, bytes: &[u8]) -> Result<Sum, FileError> {
        let sum = Sum {
            sha256: Digest::of(bytes),
            bytes: bytes.len() as u64,
        };
        let draft = self.draft("list");
        write_whole(&draft, bytes)?;
        self.put_sure(&draft, sum)?;
        vault::remove(&draft)?;
        Ok(sum)
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
        if !read(&path).is_ok_and(|it| it == text) {
            write_secret(&path, text)?;
        }
        match read(&path)? == text {
            true => Ok(()),
            false => Err(io::Error::other("other bytes came back than were written"))
                .at("read back", path),
        }
    }

    /// The text of a key file, if it is there and whole.
    pub(in crate::work) fn key_text(&self, public: Digest) -> Option<Vec<u8>> {
        let bytes = read(&self.key(public)).ok()?;
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
        write_read_only(&path, &text)?;
        match read(&path)? == text {
            true => Ok(()),
            false => Err(io::Error::other("other bytes came back than were written"))
                .at("read back", path),
        }
    }

    /// The files of a folder in a run; `None` where the list is not there or has other bytes.
    pub(in crate::work) fn files(&self, folder: &Folder) -> Option<Vec<StoredFile>> {
        let bytes = read(&object(&self.root, folder.list.sha256)).ok()?;
        let is_it = Digest::of(&bytes) == folder.list.sha256;
        is_it.then(|| serde_json::from_slice(&bytes).ok()).flatten()
    }
}

impl RunFile {
    /// What it says; `None` where its bytes are not those that its name tells.
    pub(in crate::work) fn read(&self) -> Option<Run> {
        let bytes = read(&self.path).ok()?;
        let is_it = Digest::of(&bytes) == self.sha256;
        is_it.then(|| serde_json::from_slice(&bytes).ok()).flatten()
    }
}

/// Whether something lies in a folder that the first run of a backup, killed, did not leave there.
fn has_others(root: &Path) -> Result<bool, FileError> {
    let entries = match fs::read_dir(root) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(false),
        entries => entries.at("list", root)?,
    };
    for entry in entries {
        let name = entry.at("list", root)?.file_name();
        let name = name.to_string_lossy();
        if name != LOCK && !name.starts_with(UNFINISHED) {
            return Ok(true);
        }
    }
    Ok(false)
}
