//! What makes a folder or bucket a backup, says of which book it is, and opens it.

use std::io;

use serde::Deserialize;
use serde::Serialize;

use crate::evidence::age::secret::Secret;
use crate::evidence::key::passphrase::NewPassphrase;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::write_whole;
use crate::work::WorkError;
use crate::work::backup::place::Place;
use crate::work::backup::place::if_there;
use crate::work::backup::place::not_back;

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
    /// When it is none, cannot be read, or of a newer program.
    pub(super) fn read(place: &Place) -> Result<Self, WorkError> {
        let Some(text) = text(place)? else {
            return Err(WorkError::asked_with(
                format!("`{}` is no backup", place.shown("").display()),
                "name what was given to `asfound backup`",
            ));
        };
        let marker: Self = serde_json::from_slice(&text).map_err(|why| {
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

    /// Writes it, which makes a place a backup; before it what opens all else, where a passphrase is wanted.
    ///
    /// # Errors
    /// When there is no passphrase then, or the place cannot be written to.
    pub(super) fn write(&self, place: &Place, passphrase: Option<&str>) -> Result<(), WorkError> {
        if self.encrypted {
            let passphrase =
                passphrase.ok_or_else(|| no_passphrase("`--encrypt` wants a passphrase"))?;
            let file = Secret::new()?.locked(&NewPassphrase::new(passphrase)?);
            place.write_once(SECRET, &file.at("write", place.shown(SECRET))?)?;
        }
        let text = serde_json::to_string_pretty(self).unwrap_or_default();
        Ok(place.write_once(MARKER, text.as_bytes())?)
    }
}

/// The text of the marker; `None` where there is none, so no backup.
fn text(place: &Place) -> Result<Option<Vec<u8>>, FileError> {
    match place {
        Place::Folder(_) if !is_backup(place) => Ok(None),
        Place::Folder(_) => place.read(MARKER).map(Some),
        Place::Bucket(_) => if_there(place.read(MARKER)),
    }
}

/// Whether a backup was begun there.
///
/// # Errors
/// When a bucket does not tell.
pub(super) fn is_begun(place: &Place) -> Result<bool, FileError> {
    Ok(text(place)?.is_some())
}

/// Whether it is a backup rather than a book or any folder; of a bucket, nothing else is expected.
#[must_use]
pub fn is_backup(place: &Place) -> bool {
    match place {
        Place::Folder(root) => root.join(MARKER).is_file(),
        Place::Bucket(_) => true,
    }
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
pub(super) fn unlocked(place: &Place, passphrase: Option<&str>) -> Result<Secret, WorkError> {
    let passphrase = passphrase.ok_or_else(|| no_passphrase("the backup is under a passphrase"))?;
    Secret::unlocked(&place.read(SECRET)?, passphrase).map_err(|why| {
        WorkError::asked_with(
            format!(
                "`{}` does not open: {why}",
                place.shown(SECRET).display()
            ),
            "put ASFOUND_PASSPHRASE right; if the file is damaged, one of another copy of this backup opens it",
        )
    })
}

/// Puts a secret under another passphrase; what it opens stays as it is. It is read back.
///
/// # Errors
/// When it cannot be written, or read back; what was there then still stands, or opens by the new one.
pub(super) fn lock_anew(
    place: &Place,
    secret: &Secret,
    new: &NewPassphrase<'_>,
) -> Result<(), FileError> {
    let path = place.shown(SECRET);
    let file = secret.locked(new).at("write", &path)?;
    place.write(SECRET, &file, write_whole)?;
    match place.read(SECRET)? == file {
        true => Ok(()),
        false => Err(not_back()).at("read back", path),
    }
}

/// Whether something lies there that the first run of a backup, killed, did not leave.
pub(super) fn has_others(place: &Place) -> Result<bool, FileError> {
    let names = match place.names("") {
        Err(why) if why.source.kind() == io::ErrorKind::NotFound => return Ok(false),
        names => names?,
    };
    let is_ours = |it: &String| it == LOCK || it == SECRET || it.starts_with(UNFINISHED);
    Ok(!names.iter().all(is_ours))
}
