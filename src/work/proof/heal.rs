//! Puts back originals and papers that are gone or rotten, from a backup or a folder that still has the same bytes.

use std::path::Path;
use std::path::PathBuf;

use walkdir::WalkDir;

use crate::kit::files::read;
use crate::work::WorkError;
use crate::work::backup::marker::is_backup;
use crate::work::backup::place::Place;
use crate::work::backup::store::Store;
use crate::work::proof::book_source::Lost;
use crate::work::proof::book_source::digest_of;

/// A file that was put back.
pub(in crate::work) struct Healed {
    /// Where it lies again.
    pub(in crate::work) path: PathBuf,
    /// Where that lies now which was found in its place.
    pub(in crate::work) set_aside: Option<PathBuf>,
}

/// Where bytes may still be.
pub(in crate::work) enum HealFrom<'a> {
    /// Anywhere below a folder.
    Folder(&'a Path),
    /// In a backup, under their digest.
    Backup(Store),
}

impl<'a> HealFrom<'a> {
    /// A folder, or the backup that it is.
    ///
    /// # Errors
    /// When it is a backup that cannot be opened.
    pub(in crate::work) fn open(
        place: &'a Place,
        passphrase: Option<&str>,
    ) -> Result<Self, WorkError> {
        Ok(match place {
            Place::Folder(folder) if !is_backup(place) => Self::Folder(folder),
            _ => Self::Backup(Store::open(place, passphrase)?),
        })
    }
}

/// Finds the bytes of lost files, and gives them to `put`, which says where it set aside what lay there. Gives what was put back.
///
/// # Errors
/// When a file cannot be written.
pub(in crate::work) fn heal(
    lost: &[Lost],
    from: &HealFrom<'_>,
    put: impl Fn(&Lost, &[u8]) -> Result<Option<PathBuf>, WorkError>,
) -> Result<Vec<Healed>, WorkError> {
    let put = |it: &Lost, bytes: &[u8]| {
        Ok::<_, WorkError>(Healed {
            set_aside: put(it, bytes)?,
            path: it.path.clone(),
        })
    };
    let mut healed = Vec::new();
    let mut left: Vec<&Lost> = lost.iter().collect();
    let folder = match from {
        HealFrom::Folder(folder) => folder,
        HealFrom::Backup(store) => {
            for it in left {
                if let Some(bytes) = store.get(it.digest)? {
                    healed.push(put(it, &bytes)?);
                }
            }
            return Ok(healed);
        }
    };
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
        let it = left.remove(at);
        healed.push(put(it, &read(entry.path())?)?);
    }
    Ok(healed)
}
