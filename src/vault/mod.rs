//! Originals <-> files: copied, synced, renamed into place, read-only.
//!
//! In: names and bytes. Out: the names they were stored under. May not know: what the bytes are.

pub mod names;

use std::fs;
use std::io;
use std::io::Write as _;
use std::path::Path;
use std::path::PathBuf;

use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::sync_folder;

/// Why an original was not stored.
#[derive(Debug, thiserror::Error)]
pub enum VaultError {
    /// The disk or the folder.
    #[error(transparent)]
    File(#[from] FileError),
    /// A thousand files of that name are there already.
    #[error("`{name}` and a thousand numbered names like it are taken in `{}`", folder.display())]
    NoFreeName {
        /// The name asked for.
        name: String,
        /// The folder.
        folder: PathBuf,
    },
}

/// Stores `bytes` in `folder` as `name`, or as `name (2)` and so on where another file has that name.
///
/// The file is written beside its place, synced, made read-only, and renamed: a run killed at any moment leaves it
/// whole or not there. A file that already stands there with the same bytes is taken as it is. The caller holds the
/// lock of the book, so nobody else takes the name meanwhile.
///
/// # Errors
/// When the folder cannot be written to or is full; nothing is then left behind.
pub fn keep(folder: &Path, name: &str, bytes: &[u8], digest: Digest) -> Result<String, VaultError> {
    for turn in 1..=1000 {
        let tried = names::numbered(name, turn);
        let path = folder.join(&tried);
        match fs::symlink_metadata(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                put(folder, &path, bytes)?;
                return Ok(tried);
            }
            Err(error) => return Err(error).at("look at", &path).map_err(VaultError::from),
            Ok(found) if found.is_file() && found.len() == bytes.len() as u64 => {
                if Digest::of(&fs::read(&path).at("read", &path)?) == digest {
                    return Ok(tried);
                }
            }
            Ok(_) => {}
        }
    }
    Err(VaultError::NoFreeName {
        name: name.to_owned(),
        folder: folder.to_owned(),
    })
}

fn put(folder: &Path, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let draft = folder.join(format!("{UNFINISHED}{}", std::process::id()));
    let write = || -> io::Result<()> {
        let mut file = fs::File::create(&draft)?;
        file.write_all(bytes)?;
        let mut rights = file.metadata()?.permissions();
        rights.set_readonly(true);
        // A card or share that knows no rights must not refuse the photo.
        let _ = file.set_permissions(rights);
        file.sync_all()?;
        fs::rename(&draft, path)
    };
    let done = write().at("store", path);
    if done.is_err() {
        // The draft is ours; failing to remove it must not hide why the write failed.
        let _ = fs::remove_file(&draft);
    }
    done?;
    sync_folder(folder);
    Ok(())
}

/// Removes what a killed run left unfinished in `folder`. The caller holds the lock of the book.
///
/// # Errors
/// When the folder cannot be listed or a leftover cannot be removed.
pub fn sweep(folder: &Path) -> Result<(), FileError> {
    for entry in fs::read_dir(folder).at("list", folder)? {
        let entry = entry.at("list", folder)?;
        if entry.file_name().to_string_lossy().starts_with(UNFINISHED) {
            fs::remove_file(entry.path()).at("remove", entry.path())?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::keep;
    use super::sweep;
    use crate::kit::digest::Digest;

    #[test]
    fn a_taken_name_is_numbered_and_the_same_bytes_are_taken_once() {
        let dir = tempfile::tempdir().unwrap();
        let keep = |bytes: &[u8]| keep(dir.path(), "a b.jpg", bytes, Digest::of(bytes)).unwrap();
        assert_eq!(keep(b"one"), "a b.jpg");
        assert_eq!(keep(b"two"), "a b (2).jpg");
        assert_eq!(keep(b"one"), "a b.jpg");
        assert_eq!(keep(b"six"), "a b (3).jpg");
        let stored = fs::metadata(dir.path().join("a b.jpg")).unwrap();
        assert!(stored.permissions().readonly());
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 3);
    }

    #[test]
    fn leftovers_of_a_killed_run_are_swept() {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(".asfound-unfinished-77"), b"half").unwrap();
        fs::write(dir.path().join("mine.jpg"), b"x").unwrap();
        sweep(dir.path()).unwrap();
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }
}
