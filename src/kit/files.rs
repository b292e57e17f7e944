//! Files, with the path in every error and no half-written file ever under its final name.

use std::fs;
use std::io;
use std::io::Read as _;
use std::io::Write as _;
use std::path::Path;
use std::path::PathBuf;

/// An I/O error with the path it happened at and what was being done.
#[derive(Debug, thiserror::Error)]
#[error("could not {doing} `{}`", path.display())]
pub struct FileError {
    /// What was tried: `read`, `write`, `make the folder` ...
    pub doing: &'static str,
    /// Where.
    pub path: PathBuf,
    /// Why not.
    pub source: io::Error,
}

impl FileError {
    /// Whether the cause is a disk without room.
    #[must_use]
    pub fn is_full_disk(&self) -> bool {
        matches!(
            self.source.kind(),
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
        )
    }

    /// What the user can do about it, in a sentence, where the path is to blame.
    #[must_use]
    pub fn what_to_do(&self) -> Option<&'static str> {
        Some(match self.source.kind() {
            io::ErrorKind::NotADirectory => {
                "a file stands where a folder is wanted: move it away, or name another place"
            }
            io::ErrorKind::IsADirectory => {
                "a folder stands where a file is wanted: move it away, or name another place"
            }
            io::ErrorKind::PermissionDenied => {
                "you may not do that there: name another place, or change the rights of that one"
            }
            io::ErrorKind::ReadOnlyFilesystem => "that disk can only be read: name another place",
            io::ErrorKind::NotFound => {
                "nothing lies there: look how it is spelt, and whether its disk is there"
            }
            _ => return None,
        })
    }

    /// Whether the cause is that there is a file already.
    #[must_use]
    pub fn is_there(&self) -> bool {
        self.source.kind() == io::ErrorKind::AlreadyExists
    }
}

/// Gives an I/O result its path: `.at("read", path)`.
pub trait At<T> {
    /// Adds what was being done and where.
    ///
    /// # Errors
    /// The same error, with its path.
    fn at(self, doing: &'static str, path: impl Into<PathBuf>) -> Result<T, FileError>;
}

impl<T> At<T> for io::Result<T> {
    fn at(self, doing: &'static str, path: impl Into<PathBuf>) -> Result<T, FileError> {
        self.map_err(|source| FileError {
            doing,
            path: path.into(),
            source,
        })
    }
}

/// Prefix of files that are still being written; leftovers of a killed run may be removed.
pub const UNFINISHED: &str = ".asfound-unfinished-";

/// Reads a file whole.
///
/// # Errors
/// When the file cannot be read.
pub fn read(path: &Path) -> Result<Vec<u8>, FileError> {
    fs::read(path).at("read", path)
}

/// Makes a folder and its parents.
///
/// # Errors
/// When the folder cannot be made.
pub fn make_folder(path: &Path) -> Result<(), FileError> {
    fs::create_dir_all(path).at("make the folder", path)
}

/// What may be done with a file once it stands in its place.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Rights {
    /// What the folder and the user's settings say.
    Usual,
    /// Only its owner may read and write it (on Unix; elsewhere the folder decides).
    OwnerOnly,
    /// It may be read, by whom the settings say, and not written.
    ReadOnly,
}

/// Writes a file so that readers see the old bytes or the new ones, never a part: see [`replace`].
///
/// # Errors
/// When the folder has no room or cannot be written to; the old file then still stands.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    write(path, bytes, Rights::Usual)
}

/// Writes a file like [`write_whole`], such that only its owner may read it (on Unix; elsewhere the folder decides).
///
/// # Errors
/// When the folder has no room or cannot be written to; the old file then still stands.
pub fn write_secret(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    write(path, bytes, Rights::OwnerOnly)
}

/// Writes a file like [`write_whole`], such that nobody writes it again.
///
/// # Errors
/// When the folder has no room or cannot be written to.
pub fn write_read_only(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    write(path, bytes, Rights::ReadOnly)
}

fn write(path: &Path, bytes: &[u8], rights: Rights) -> Result<(), FileError> {
    let doing = match rights {
        Rights::ReadOnly => "store",
        Rights::Usual | Rights::OwnerOnly => "write",
    };
    let draft = draft_of(path);
    replace(path, &draft, doing, || {
        write_synced(&draft, bytes, rights).at(doing, path)
    })
}

/// Where a file is written before it comes into its place.
fn draft_of(path: &Path) -> PathBuf {
    let folder = path.parent().unwrap_or(Path::new("."));
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let short: String = name.chars().take(40).collect();
    folder.join(format!("{UNFINISHED}{}-{short}", std::process::id()))
}

/// Makes a draft, a synced file or folder in the same folder as `path`, and renames it to `path`: the one way in which files come
/// into their place. A draft of that name that a killed run left is removed first; one that could not be finished, at the end.
///
/// # Errors
/// What `make` says, or that the draft cannot be renamed; what was at `path` then still stands.
pub fn replace<E: From<FileError>>(
    path: &Path,
    draft: &Path,
    doing: &'static str,
    make: impl FnOnce() -> Result<(), E>,
) -> Result<(), E> {
    // That there is nothing to remove is the usual case; a draft that cannot be removed makes `make` fail, or is hidden by it.
    let clear = || drop(fs::remove_file(draft).or_else(|_| fs::remove_dir_all(draft)));
    clear();
    let done = make().and_then(|()| Ok(fs::rename(draft, path).at(doing, path)?));
    match done {
        Ok(()) => sync_folder(path.parent().unwrap_or(Path::new("."))),
        Err(_) => clear(),
    }
    done
}

/// Writes a secret file like [`write_secret`], but only where there is none yet: of two who write at once, one is refused.
///
/// # Errors
/// When there is one already ([`FileError::is_there`]), or the folder has no room or cannot be written to.
pub fn write_new_secret(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let draft = draft_of(path);
    let _ = fs::remove_file(&draft);
    let linked =
        write_synced(&draft, bytes, Rights::OwnerOnly).and_then(|()| fs::hard_link(&draft, path));
    let done = match linked {
        // Some file systems know no second name for a file; then it is written in its place, which is as exclusive, but not whole
        // when the machine stops meanwhile.
        Err(why) if why.kind() != io::ErrorKind::AlreadyExists && draft.exists() => {
            write_synced(path, bytes, Rights::OwnerOnly)
        }
        done => done,
    };
    let _ = fs::remove_file(&draft);
    done.at("write", path)?;
    sync_folder(path.parent().unwrap_or(Path::new(".")));
    Ok(())
}

/// Reads a file that nobody but its owner may read.
///
/// # Errors
/// When it cannot be read, or when (on Unix) its rights let others read or change it.
pub fn read_secret(path: &Path) -> Result<Vec<u8>, FileError> {
    let mut file = fs::File::open(path).at("read", path)?;
    owner_only(&file).at("use", path)?;
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).at("read", path)?;
    Ok(bytes)
}

/// Who may read a secret besides its owner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guard {
    /// Nobody.
    Rights,
    /// Whoever reads the medium: it keeps no rights.
    Medium,
}

/// Reads a secret as [`read_secret`] does; on a medium that keeps no rights, where nothing could be taken away from others, it is
/// read all the same, and that is said.
///
/// # Errors
/// When it cannot be read, or others may read or change it and need not.
pub fn read_secret_anywhere(path: &Path) -> Result<(Vec<u8>, Guard), FileError> {
    match read_secret(path) {
        Ok(bytes) => Ok((bytes, Guard::Rights)),
        Err(FileError { doing: "use", .. }) if !keeps_rights(path) => {
            Ok((read(path)?, Guard::Medium))
        }
        Err(error) => Err(error),
    }
}

/// Whether a new file beside `path` can be kept from others. Where none can be laid there, it is taken for possible.
fn keeps_rights(path: &Path) -> bool {
    let draft = draft_of(path);
    let _ = fs::remove_file(&draft);
    let made = write_synced(&draft, b"", Rights::OwnerOnly).and_then(|()| fs::File::open(&draft));
    let kept = made.map_or(true, |file| owner_only(&file).is_ok());
    let _ = fs::remove_file(&draft);
    kept
}

#[cfg(unix)]
fn owner_only(file: &fs::File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    if file.metadata()?.permissions().mode() & 0o077 == 0 {
        return Ok(());
    }
    Err(io::Error::new(
        io::ErrorKind::PermissionDenied,
        "others may read or change it; take that right away with `chmod 600` first",
    ))
}

#[cfg(not(unix))]
fn owner_only(_: &fs::File) -> io::Result<()> {
    Ok(())
}

fn write_synced(path: &Path, bytes: &[u8], rights: Rights) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    if rights == Rights::OwnerOnly {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let mut file = options.open(path)?;
    file.write_all(bytes)?;
    if rights == Rights::ReadOnly {
        let mut now = file.metadata()?.permissions();
        now.set_readonly(true);
        // A card or share that knows no rights must not refuse the file.
        let _ = file.set_permissions(now);
    }
    file.sync_all()
}

/// Whether nothing lies in a folder, or none is there.
///
/// # Errors
/// When it is no folder, or cannot be listed.
pub fn is_free(folder: &Path) -> Result<bool, FileError> {
    match fs::read_dir(folder) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(true),
        entries => Ok(entries.at("list", folder)?.next().is_none()),
    }
}

/// Syncs a folder's entries to disk where the file system can.
pub fn sync_folder(folder: &Path) {
    // Some file systems refuse to sync a folder; the file itself is synced already.
    if let Ok(folder) = fs::File::open(folder) {
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    #[cfg(unix)]
    use super::read_secret;
    use super::write_read_only;
    #[cfg(unix)]
    use super::write_secret;
    use super::write_whole;

    #[test]
    fn a_failed_write_keeps_the_old_file_and_leaves_no_draft() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("it's here.txt");
        write_whole(&path, b"old").unwrap();
        fs::create_dir(dir.path().join("folder")).unwrap();
        let wrong = write_whole(&dir.path().join("folder"), b"new").unwrap_err();
        assert!(wrong.to_string().contains("folder"), "{wrong}");
        assert_eq!(fs::read(&path).unwrap(), b"old");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2);
    }

    #[test]
    fn what_is_read_only_stays_so_and_a_leftover_is_no_obstacle() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("one.jpg");
        let name = format!("{}{}-one.jpg", super::UNFINISHED, std::process::id());
        let draft = dir.path().join(name);
        fs::create_dir(&draft).unwrap();
        fs::write(draft.join("half"), b"x").unwrap();
        write_read_only(&path, b"bytes").unwrap();
        let mut rights = fs::metadata(&path).unwrap().permissions();
        assert!(rights.readonly());
        rights.set_readonly(true);
        fs::write(&draft, b"half").unwrap();
        fs::set_permissions(&draft, rights).unwrap();
        write_whole(&path, b"other").unwrap();
        assert!(!fs::metadata(&path).unwrap().permissions().readonly());
        assert_eq!(fs::read(&path).unwrap(), b"other");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_secret_is_its_owners_alone_and_refused_when_it_is_not() {
        use std::os::unix::fs::PermissionsExt as _;
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("key.txt");
        let mode = || fs::metadata(&path).unwrap().permissions().mode() & 0o777;
        for words in [&b"first"[..], b"second"] {
            write_secret(&path, words).unwrap();
            assert_eq!(
                (mode(), read_secret(&path).unwrap()),
                (0o600, words.to_vec())
            );
        }
        for open in [0o640, 0o604, 0o620, 0o644, 0o666] {
            fs::set_permissions(&path, fs::Permissions::from_mode(open)).unwrap();
            let wrong = read_secret(&path).unwrap_err();
            assert!(wrong.to_string().contains("could not use"), "{wrong}");
            assert!(wrong.source.to_string().contains("chmod 600"));
        }
        // A secret written over an open file is closed again; no draft stays behind.
        write_secret(&path, b"third").unwrap();
        assert_eq!(
            (mode(), fs::read_dir(dir.path()).unwrap().count()),
            (0o600, 1)
        );
        assert!(read_secret(&dir.path().join("none")).is_err());
    }
}
