//! Files too long to hold, digested and copied piece by piece.

use std::fs;
use std::io::Read;
use std::io::Write as _;
use std::path::Path;

use sha2::Digest as _;
use sha2::Sha256;

use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;

/// Bytes that are read at once.
const PIECE: usize = 256 * 1024;

/// What the bytes of a file come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sum {
    /// Their SHA-256.
    pub sha256: Digest,
    /// How many they are.
    pub bytes: u64,
}

/// Digests a file.
///
/// # Errors
/// When it cannot be read to its end.
pub fn sum(path: &Path) -> Result<Sum, FileError> {
    sum_of(fs::File::open(path).at("read", path)?, path)
}

/// Digests what a reader gives of the file `path`.
///
/// # Errors
/// When it cannot be read to its end.
pub fn sum_of(from: impl Read, path: &Path) -> Result<Sum, FileError> {
    each(from, path, |_| Ok(()))
}

/// Copies what a reader gives of the file `path` to a place where nothing is yet, synced, and read-only when asked; gives what was
/// copied. An error names the file at which it happened: the old or the new one.
///
/// # Errors
/// When the one cannot be read, or the other cannot be written.
pub fn copy(from: impl Read, path: &Path, to: &Path, read_only: bool) -> Result<Sum, FileError> {
    let mut options = fs::OpenOptions::new();
    let mut file = options
        .write(true)
        .create_new(true)
        .open(to)
        .at("store", to)?;
    let copied = each(from, path, |bytes| file.write_all(bytes).at("store", to))?;
    if read_only {
        let mut rights = file.metadata().at("store", to)?.permissions();
        rights.set_readonly(true);
        // A card or share that knows no rights must not refuse the file.
        let _ = file.set_permissions(rights);
    }
    file.sync_all().at("store", to)?;
    Ok(copied)
}

fn each(
    mut from: impl Read,
    path: &Path,
    mut take: impl FnMut(&[u8]) -> Result<(), FileError>,
) -> Result<Sum, FileError> {
    let (mut sha256, mut bytes) = (Sha256::new(), 0);
    let mut piece = vec![0; PIECE];
    loop {
        let n = from.read(&mut piece).at("read", path)?;
        if n == 0 {
            let sha256 = Digest(sha256.finalize().into());
            return Ok(Sum { sha256, bytes });
        }
        sha256.update(&piece[..n]);
        bytes += n as u64;
        take(&piece[..n])?;
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::copy;
    use super::sum;
    use crate::kit::digest::Digest;

    #[test]
    fn a_copy_is_the_same_bytes_and_never_over_another_file() {
        let dir = tempfile::tempdir().unwrap();
        let (from, to) = (dir.path().join("from"), dir.path().join("to"));
        let bytes: Vec<u8> = (0..700_000_u32).map(|it| it.to_le_bytes()[1]).collect();
        fs::write(&from, &bytes).unwrap();
        let copied = copy(&bytes[..], &from, &to, true).unwrap();
        assert_eq!(copied.sha256, Digest::of(&bytes));
        assert_eq!((copied.bytes, sum(&to).unwrap()), (700_000, copied));
        assert!(fs::metadata(&to).unwrap().permissions().readonly());
        let wrong = copy(&bytes[..], &from, &to, false).unwrap_err();
        assert_eq!(wrong.path, to);
        assert_eq!(sum(&dir.path().join("none")).unwrap_err().doing, "read");
    }
}
