//! Originals <-> files: copied, synced, renamed into place, read-only.
//!
//! In: names and bytes. Out: the names they were stored under. May not know: what the bytes are.

pub mod names;

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::UNFINISHED;
use crate::kit::files::make_folder;
use crate::kit::files::write_read_only;

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

/// Stores `bytes` in `folder` as `name`, or as `name (2)` and so on where another file has that name, or it is one of those
/// `reserved` for files that are elsewhere now.
///
/// The file is written beside its place, synced, made read-only, and renamed: a run killed at any moment leaves it
/// whole or not there. A file that already stands there with the same bytes is taken as it is. The caller holds the
/// lock of the book, so nobody else takes the name meanwhile.
///
/// # Errors
/// When the folder cannot be written to or is full; nothing is then left behind.
pub fn keep(
    folder: &Path,
    name: &str,
    reserved: &BTreeSet<&str>,
    bytes: &[u8],
    digest: Digest,
) -> Result<String, VaultError> {
    for turn in 1..=1000 {
        let tried = names::numbered(name, turn);
        if reserved.contains(tried.as_str()) {
            continue;
        }
        let path = folder.join(&tried);
        match fs::symlink_metadata(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                write_read_only(&path, bytes)?;
                return Ok(tried);
            }
            Err(error) => return Err(error).at("look at", &path).map_err(VaultError::from),
            Ok(_) if holds(&path, bytes.len() as u64, digest)? => return Ok(tried),
            Ok(_) => {}
        }
    }
    Err(VaultError::NoFreeName {
        name: name.to_owned(),
        folder: folder.to_owned(),
    })
}

/// Removes what a killed run left unfinished in `folder` at least `age` ago. Nobody else may be writing there younger
/// drafts than that; with the lock of the book held, no age is needed. A folder that is not there has no leftovers.
///
/// # Errors
/// When the folder cannot be listed or a leftover cannot be removed.
pub fn sweep(folder: &Path, age: Duration) -> Result<(), FileError> {
    for path in files_in(folder)? {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if !name.starts_with(UNFINISHED) {
            continue;
        }
        // A draft from the future, or one whose time is not known, counts as new.
        let changed = fs::metadata(&path).and_then(|it| it.modified());
        let since = changed.ok().and_then(|it| it.elapsed().ok());
        if since.unwrap_or_default() >= age {
            remove(&path)?;
        }
    }
    Ok(())
}

/// The originals in `folder` that are not `known`, sorted: files as [`keep`] leaves them, which are read-only. Others,
/// and sidecars, are not the vault's. A folder that is not there has none.
///
/// # Errors
/// When the folder cannot be listed.
pub fn unknown(folder: &Path, known: &BTreeSet<&str>) -> Result<Vec<PathBuf>, FileError> {
    let is_unknown = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let is_kept =
            fs::symlink_metadata(path).is_ok_and(|it| it.is_file() && it.permissions().readonly());
        is_kept
            && !known.contains(&*name)
            && !name.starts_with('.')
            && !name.to_lowercase().ends_with(".toml")
    };
    let mut found = files_in(folder)?;
    found.retain(is_unknown);
    found.sort();
    Ok(found)
}

/// Whether the file at `path` has these bytes; `false` when it is not there.
///
/// # Errors
/// When it cannot be read.
pub fn holds(path: &Path, bytes: u64, digest: Digest) -> Result<bool, FileError> {
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error).at("look at", path),
        Ok(found) if found.is_file() && found.len() == bytes => {
            Ok(Digest::of(&fs::read(path).at("read", path)?) == digest)
        }
        Ok(_) => Ok(false),
    }
}

/// How names end of files that lay in an original's place and had other bytes.
pub const ROTTEN: &str = ".rotten";

/// Puts an original's bytes where they were; what lies in their place is set aside beside it, as `name.rotten`. Gives where.
///
/// # Errors
/// When the folder cannot be written to.
pub fn restore(path: &Path, bytes: &[u8]) -> Result<Option<PathBuf>, FileError> {
    let folder = path.parent().unwrap_or(path);
    make_folder(folder)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let aside = match path.exists() {
        true => Some(set_aside(path, folder, &format!("{name}{ROTTEN}"))?),
        false => None,
    };
    write_read_only(path, bytes)?;
    Ok(aside)
}

/// Moves a file into `folder`, under `name` or that name with a number; gives where it lies now.
///
/// # Errors
/// When it cannot be moved.
pub fn set_aside(path: &Path, folder: &Path, name: &str) -> Result<PathBuf, FileError> {
    make_folder(folder)?;
    let places = (1..).map(|turn| folder.join(names::numbered(name, turn)));
    let free = places.into_iter().find(|it| !it.exists());
    let to = free.unwrap_or_else(|| folder.join(name));
    fs::rename(path, &to).at("move", path)?;
    Ok(to)
}

/// Removes a file.
///
/// # Errors
/// When it cannot be removed.
pub fn remove(path: &Path) -> Result<(), FileError> {
    fs::remove_file(path).at("remove", path)
}

fn files_in(folder: &Path) -> Result<Vec<PathBuf>, FileError> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        other => other.at("list", folder)?,
    };
    entries
        .map(|it| Ok(it.at("list", folder)?.path()))
        .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::fs;
    use std::time::Duration;
    use std::time::SystemTime;

    use super::holds;
    use super::keep;
    use super::sweep;
    use super::unknown;
    use crate::kit::digest::Digest;

    #[test]
    fn a_taken_name_is_numbered_and_the_same_bytes_are_taken_once() {
        let dir = tempfile::tempdir().unwrap();
        let reserved = BTreeSet::from(["a b (3).jpg"]);
        let keep = |bytes: &[u8]| {
            keep(dir.path(), "a b.jpg", &reserved, bytes, Digest::of(bytes)).unwrap()
        };
        assert_eq!(keep(b"one"), "a b.jpg");
        assert_eq!(keep(b"two"), "a b (2).jpg");
        assert_eq!(keep(b"one"), "a b.jpg");
        assert_eq!(keep(b"six"), "a b (4).jpg");
        let stored = fs::metadata(dir.path().join("a b.jpg")).unwrap();
        assert!(stored.permissions().readonly());
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 3);
    }

    #[test]
    fn leftovers_of_a_killed_run_are_swept_once_they_are_old_enough() {
        let dir = tempfile::tempdir().unwrap();
        let old = fs::File::create(dir.path().join(".asfound-unfinished-77")).unwrap();
        let hours = |n: u64| Duration::from_secs(3600 * n);
        old.set_modified(SystemTime::now() - hours(2)).unwrap();
        fs::write(dir.path().join(".asfound-unfinished-78"), b"half").unwrap();
        fs::write(dir.path().join("mine.jpg"), b"x").unwrap();
        let left = || fs::read_dir(dir.path()).unwrap().count();
        sweep(dir.path(), hours(3)).unwrap();
        assert_eq!(left(), 3);
        sweep(dir.path(), hours(1)).unwrap();
        assert_eq!(left(), 2);
        sweep(dir.path(), Duration::ZERO).unwrap();
        assert_eq!(left(), 1);
        sweep(&dir.path().join("not there"), Duration::ZERO).unwrap();
    }

    #[test]
    fn only_originals_nobody_knows_are_unknown() {
        let dir = tempfile::tempdir().unwrap();
        for name in ["a.jpg", "b.jpg", "b.jpg.toml"] {
            keep(dir.path(), name, &BTreeSet::new(), b"x", Digest::of(b"x")).unwrap();
        }
        fs::write(dir.path().join("by hand.jpg"), b"x").unwrap();
        let found = unknown(dir.path(), &BTreeSet::from(["a.jpg"])).unwrap();
        assert_eq!(found, [dir.path().join("b.jpg")]);
        assert!(holds(&found[0], 1, Digest::of(b"x")).unwrap());
        assert!(!holds(&found[0], 1, Digest::of(b"y")).unwrap());
        assert!(!holds(&dir.path().join("c"), 1, Digest::of(b"x")).unwrap());
    }
}
