//! Puts back originals and papers that are gone or rotten, from a backup or a folder that still has the same bytes.

use std::path::Path;
use std::path::PathBuf;

use walkdir::WalkDir;

use crate::kit::files::read;
use crate::vault;
use crate::work::WorkError;
use crate::work::backup::store::is_backup;
use crate::work::backup::store::object;
use crate::work::proof::book_source::Lost;
use crate::work::proof::book_source::digest_of;

/// Finds the bytes of lost files in a backup, or anywhere below `folder`, and puts them back; what lies in their place is kept beside them. Gives the
/// paths that were put back.
///
/// # Errors
/// When a file cannot be written.
pub(in crate::work) fn heal(lost: &[Lost], folder: &Path) -> Result<Vec<PathBuf>, WorkError> {
    let mut healed = Vec::new();
    let mut left: Vec<&Lost> = lost.iter().collect();
    if is_backup(folder) {
        for it in left {
            let from = object(folder, it.digest);
            if from != it.path && digest_of(&from) == Some(it.digest) {
                vault::restore(&it.path, &read(&from)?)?;
                healed.push(it.path.clone());
            }
        }
        return Ok(healed);
    }
    for entry in WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .flatten()
    {
        if left.is_empty() {
            break;
        }
        let long = entry.metadata().map_or(0, |it| it.len());
        let fits = |it: &&Lost| it.bytes.is_none_or(|it| it == long) && it.path != entry.path();
        if !entry.file_type().is_file() || !left.iter().any(fits) {
            continue;
        }
        let Some(digest) = digest_of(entry.path()) else {
            continue;
        };
        let Some(at) = left.iter().position(|it| it.digest == digest) else {
            continue;
        };
        let path = &left.remove(at).path;
        vault::restore(path, &read(entry.path())?)?;
        healed.push(path.clone());
    }
    Ok(healed)
}
