//! Puts back originals that are gone or rotten, from a folder that still has the same bytes.

use std::path::Path;
use std::path::PathBuf;

use walkdir::WalkDir;

use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::work::WorkError;
use crate::work::check_book::digest_of;

/// Finds the bytes of lost originals below `folder` and puts them back; what lies in their place is kept beside them. Gives the
/// paths that were put back.
///
/// # Errors
/// When a file cannot be written.
pub(in crate::work) fn heal(
    lost: &[(PathBuf, Digest, u64)],
    folder: &Path,
) -> Result<Vec<PathBuf>, WorkError> {
    let mut healed = Vec::new();
    let mut left: Vec<&(PathBuf, Digest, u64)> = lost.iter().collect();
    for entry in WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .flatten()
    {
        if left.is_empty() {
            break;
        }
        let long = entry.metadata().map_or(0, |it| it.len());
        let fits = |it: &&&(PathBuf, Digest, u64)| it.2 == long && it.0 != entry.path();
        if !entry.file_type().is_file() || !left.iter().any(|it| fits(&it)) {
            continue;
        }
        let Some(digest) = digest_of(entry.path()) else {
            continue;
        };
        let Some(at) = left.iter().position(|it| it.1 == digest) else {
            continue;
        };
        let (path, ..) = left.remove(at);
        put_back(path, entry.path())?;
        healed.push(path.clone());
    }
    Ok(healed)
}

/// Writes the bytes of `from` to `path`, read-only; rotten bytes in its place stay beside it.
fn put_back(path: &Path, from: &Path) -> Result<(), WorkError> {
    use crate::kit::files::At as _;
    use crate::kit::files::make_folder;
    use crate::kit::files::write_whole;
    if path.exists() {
        let mut name = path.as_os_str().to_owned();
        name.push(".rotten");
        std::fs::rename(path, &name).at("set aside", path)?;
    }
    if let Some(folder) = path.parent() {
        make_folder(folder)?;
    }
    write_whole(path, &read(from)?)?;
    let mut rights = std::fs::metadata(path).at("look at", path)?.permissions();
    rights.set_readonly(true);
    Ok(std::fs::set_permissions(path, rights).at("protect", path)?)
}
