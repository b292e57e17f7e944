//! What makes a folder a backup, says of which book it is, and opens it.

use std::fs;
use std::io;
use std::path::Path;

use serde::Deserialize;
use serde::Serialize;

use crate::evidence::age::secret::Secret;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::work::WorkError;
use crate::work::proof::keys::long_enough;

/// The file that makes a folder a backup.
const MARKER: &str = "asfound-backup.json";

/// The file whose lock is held by whoever writes to a backup.
pub(super) const LOCK: &str = ".backup.lock";

/// What opens all else where a passphrase is wanted.
const SECRET: &str = "secret.age";

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
    /// Whether all else in it is under a passphrase.
    #[serde(default)]
    pub(in crate::work) encrypted: bool,
    /// For whoever finds it.
    about: String,
}

impl Marker {
    /// For a book.
    pub(in crate::work) fn new(name: String, book: Digest, encrypted: bool) -> Self {
        Self {
            format: FORMAT,
            name,
            book,
            encrypted,
            about: "A backup of a stock book. `asfound restore THIS-FOLDER NEW-FOLDER` gives the book back; without that program: each \
                    file of `runs` lists the book of one day, and every file lies in `objects` under its SHA-256. Where `encrypted` says so, all are files \
                    of the format age v1 (age-encryption.org): the passphrase opens `secret.age`, and what stands in that opens the others."
                .to_owned(),
        }
    }

    /// Reads that of a backup.
    ///
    /// # Errors
    /// When it is none, or of a newer program.
    pub(super) fn read(root: &Path) -> Result<Self, WorkError> {
        if !is_backup(root) {
            return Err(WorkError::asked_with(
                format!("`{}` is no backup", root.display()),
                "name the folder that was given to `asfound backup`",
            ));
        }
        let marker: Self = serde_json::from_slice(&read(&root.join(MARKER))?).map_err(|why| {
            WorkError::asked(format!("`{MARKER}` of the backup cannot be read: {why}"))
        })?;
        match marker.format > FORMAT {
            true => Err(WorkError::asked_with(
                "the backup was written by a newer asfound",
                "get the newest asfound; this one leaves it as it is",
            )),
            false => Ok(marker),
        }
    }

    /// Writes it, which makes a folder a backup; before it what opens all else, where a passphrase is wanted.
    ///
    /// # Errors
    /// When there is no passphrase then, or the folder cannot be written to.
    pub(super) fn write(&self, root: &Path, passphrase: Option<&str>) -> Result<(), WorkError> {
        if self.encrypted {
            let passphrase =
                passphrase.ok_or_else(|| no_passphrase("`--encrypt` wants a passphrase"))?;
            long_enough(passphrase)?;
            let path = root.join(SECRET);
            let file = Secret::new()?.locked(passphrase).at("write", &path)?;
            write_whole(&path, &file)?;
        }
        let text = serde_json::to_string_pretty(self).unwrap_or_default();
        Ok(write_whole(&root.join(MARKER), text.as_bytes())?)
    }
}

/// Whether a folder is a backup.
#[must_use]
pub fn is_backup(path: &Path) -> bool {
    path.join(MARKER).is_file()
}

fn no_passphrase(what: &str) -> WorkError {
    WorkError::asked_with(
        what,
        "give it in ASFOUND_PASSPHRASE: `read -rs ASFOUND_PASSPHRASE && export ASFOUND_PASSPHRASE`",
    )
}

/// The secret of an encrypted backup.
///
/// # Errors
/// When there is no passphrase, or it does not open it.
pub(super) fn unlocked(root: &Path, passphrase: Option<&str>) -> Result<Secret, WorkError> {
    let path = root.join(SECRET);
    let passphrase = passphrase.ok_or_else(|| no_passphrase("the backup is under a passphrase"))?;
    Secret::unlocked(&read(&path)?, passphrase).map_err(|why| {
        WorkError::asked_with(
            format!("`{}` does not open: {why}", path.display()),
            "put ASFOUND_PASSPHRASE right; if the file is damaged, one of another copy of this backup opens it",
        )
    })
}

/// Whether something lies in a folder that the first run of a backup, killed, did not leave there.
pub(super) fn has_others(root: &Path) -> Result<bool, FileError> {
    let entries = match fs::read_dir(root) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(false),
        entries => entries.at("list", root)?,
    };
    for entry in entries {
        let name = entry.at("list", root)?.file_name();
        let name = name.to_string_lossy();
        if name != LOCK && name != SECRET && !name.starts_with(UNFINISHED) {
            return Ok(true);
        }
    }
    Ok(false)
}
