//! What lies in the folders, files and zips the user named.

use std::collections::BTreeMap;
use std::fs;
use std::io::Read as _;
use std::path::Path;
use std::path::PathBuf;
use std::time::UNIX_EPOCH;

use walkdir::WalkDir;

use crate::photo;
use crate::photo::Limits;
use crate::photo::PhotoError;
use crate::record::SourceFile;
use crate::vault::ROTTEN;
use crate::work::photos::companions::beside_photos;
use crate::work::photos::companions::not_here_yet;

/// Largest file taken in, bytes: all of it is held in memory. A 200-megapixel HEIC has about 40 MB, a large raw file 120.
const FILE_MAX: u64 = 300_000_000;
/// Of a larger one so many bytes are read, to say what it is.
const HEAD: u64 = 1 << 16;

/// Files that systems leave in folders of photos, and that nobody misses.
const DROPPINGS: [&str; 3] = ["thumbs.db", "desktop.ini", "ehthumbs.db"];

/// Where a file lies.
#[derive(Clone, Debug)]
enum Place {
    File(PathBuf),
    Zipped { archive: PathBuf, index: usize },
}

/// A file that may be a photo, with its sidecar if one lies beside it.
#[derive(Clone, Debug)]
pub struct Found {
    /// Its own name.
    pub name: std::ffi::OsString,
    /// As the user knows it, for messages.
    pub shown: String,
    /// As it lay there; `None` when it cannot be told.
    pub source: SourceFile,
    place: Place,
    sidecar: Option<Place>,
}

/// All that was found, in order of the names.
#[derive(Debug, Default)]
pub struct Gathered {
    /// What may be photos.
    pub files: Vec<Found>,
    /// What could not be looked at, and why.
    pub refused: Vec<(String, String)>,
    /// What only goes with photos, as the user knows it.
    pub beside: Vec<String>,
}

impl Found {
    /// Reads the file whole.
    ///
    /// # Errors
    /// When it cannot be read, in words.
    pub fn read(&self) -> Result<Vec<u8>, String> {
        self.place.read(self.source.bytes)
    }

    /// Reads the sidecar that lies beside it.
    ///
    /// # Errors
    /// When it cannot be read, in words.
    pub fn sidecar(&self) -> Result<Option<Vec<u8>>, String> {
        self.sidecar.as_ref().map(|it| it.read(0)).transpose()
    }

    /// Whether it is the file at `path`.
    pub(in crate::work) fn lies_at(&self, path: &Path) -> bool {
        fs::canonicalize(path).is_ok_and(|it| it.as_os_str().as_encoded_bytes() == self.source.path)
    }

    /// Whether the file at `path` is the sidecar beside it.
    fn is_described_by(&self, path: &Path) -> bool {
        let Some(Place::File(own)) = &self.sidecar else {
            return false;
        };
        own == path
            || fs::canonicalize(own)
                .is_ok_and(|it| fs::canonicalize(path).is_ok_and(|other| it == other))
    }

    /// Whether a sidecar lies beside it.
    #[must_use]
    pub fn has_sidecar(&self) -> bool {
        self.sidecar.is_some()
    }

    /// When the sidecar beside it was last changed, ns since 1970; of one in a zip, when the zip was.
    #[must_use]
    pub fn sidecar_modified(&self) -> Option<i64> {
        let (Place::File(path) | Place::Zipped { archive: path, .. }) = self.sidecar.as_ref()?;
        fs::metadata(path).ok().map(|it| modified(&it))
    }
}

impl Place {
    /// Reads all of it; `size` is what is known of its bytes before.
    fn read(&self, size: u64) -> Result<Vec<u8>, String> {
        let limited = |file: &mut dyn std::io::Read| {
            let most = if size > FILE_MAX { HEAD } else { FILE_MAX + 1 };
            let mut bytes = Vec::with_capacity(size.min(most) as usize);
            let read = file.take(most).read_to_end(&mut bytes);
            read.map_err(|error| format!("could not be read: {error}"))?;
            if size.max(bytes.len() as u64) > FILE_MAX {
                return Err(too_large(&bytes));
            }
            Ok(bytes)
        };
        match self {
            Self::File(path) => {
                let mut file = fs::File::open(path)
                    .map_err(|error| format!("could not be opened: {error}"))?;
                limited(&mut file)
            }
            Self::Zipped { archive, index } => {
                let file = fs::File::open(archive)
                    .map_err(|error| format!("could not be opened: {error}"))?;
                let mut archive = zip::ZipArchive::new(file)
                    .map_err(|error| format!("the zip cannot be read: {error}"))?;
                let mut entry = archive
                    .by_index(*index)
                    .map_err(|error| format!("the zip cannot be read: {error}"))?;
                limited(&mut entry)
            }
        }
    }
}

/// Gathers the files at `paths`: files as they are, folders with all below them (links followed, loops told), zips.
#[must_use]
pub fn gather(paths: &[PathBuf]) -> Gathered {
    let mut all = Gathered::default();
    let mut sidecars = Vec::new();
    for path in paths {
        match fs::metadata(path) {
            Ok(it) if it.is_dir() => gather_folder(path, &mut all),
            // Opening a pipe or a device would wait for ever.
            Ok(it) if !it.is_file() => all
                .refused
                .push((path.display().to_string(), "is no file".to_owned())),
            Ok(it) if is_zip(path) => gather_zip(path, modified(&it), &mut all),
            Ok(_) if is_sidecar(&path.to_string_lossy()) => sidecars.push(path),
            Ok(it) => match path
                .file_name()
                .and_then(|it| not_here_yet(&it.to_string_lossy()))
            {
                Some(reason) => all.refused.push((path.display().to_string(), reason)),
                None => all.files.push(found(path, &it, beside(path))),
            },
            Err(error) => all.refused.push((
                path.display().to_string(),
                format!("could not be opened: {error}"),
            )),
        }
    }
    all.files
        .sort_by(|a, b| (&a.name, &a.source.path).cmp(&(&b.name, &b.source.path)));
    all.files.dedup_by(|a, b| a.source.path == b.source.path);
    let names: Vec<(&[u8], String)> = all
        .files
        .iter()
        .map(|it| {
            (
                it.source.path.as_slice(),
                it.name.to_string_lossy().into_owned(),
            )
        })
        .collect();
    let mut beside = beside_photos(&names).into_iter();
    let (along, files) = std::mem::take(&mut all.files)
        .into_iter()
        .partition(|_| beside.next() == Some(true));
    let along: Vec<Found> = along;
    (all.files, all.beside) = (files, along.into_iter().map(|it| it.shown).collect());
    for path in sidecars {
        if !all.files.iter().any(|it| it.is_described_by(path)) {
            let reason = "is a sidecar; it is taken along with its photo when the photo is named";
            all.refused
                .push((path.display().to_string(), reason.into()));
        }
    }
    all
}

fn gather_folder(folder: &Path, all: &mut Gathered) {
    for entry in WalkDir::new(folder).follow_links(true).sort_by_file_name() {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => {
                let path = error.path().unwrap_or(folder).display().to_string();
                let reason = match error.loop_ancestor() {
                    Some(above) => format!(
                        "is a link back to `{}` and was not followed",
                        above.display()
                    ),
                    None => format!("could not be looked at: {error}"),
                };
                all.refused.push((path, reason));
                continue;
            }
        };
        let name = entry.file_name().to_string_lossy();
        if let Some(reason) = not_here_yet(&name) {
            all.refused
                .push((entry.path().display().to_string(), reason));
            continue;
        }
        let name = name.to_lowercase();
        let passed_over = name.starts_with('.')
            || DROPPINGS.contains(&name.as_str())
            || name.ends_with(ROTTEN)
            || is_sidecar(&name);
        if !entry.file_type().is_file() || passed_over {
            continue;
        }
        match entry.metadata() {
            Ok(it) if is_zip(entry.path()) => gather_zip(entry.path(), modified(&it), all),
            Ok(it) => all
                .files
                .push(found(entry.path(), &it, beside(entry.path()))),
            Err(error) => {
                let path = entry.path().display().to_string();
                all.refused
                    .push((path, format!("could not be looked at: {error}")));
            }
        }
    }
}

fn gather_zip(path: &Path, modified_ns: i64, all: &mut Gathered) {
    let shown = path.display().to_string();
    let open = || -> Result<zip::ZipArchive<fs::File>, String> {
        let file = fs::File::open(path).map_err(|error| error.to_string())?;
        zip::ZipArchive::new(file).map_err(|error| error.to_string())
    };
    let mut archive = match open() {
        Ok(archive) => archive,
        Err(error) => {
            all.refused
                .push((shown, format!("the zip cannot be read: {error}")));
            return;
        }
    };
    let mut entries = Vec::new();
    for index in 0..archive.len() {
        // `by_index_raw` reads the directory alone; nothing is unpacked yet.
        let Ok(entry) = archive.by_index_raw(index) else {
            all.refused.push((
                format!("{shown}, entry {index}"),
                "the zip cannot be read here".into(),
            ));
            continue;
        };
        if entry.is_file() {
            let name = String::from_utf8_lossy(entry.name_raw()).into_owned();
            entries.push((name, index, entry.size()));
        }
    }
    let index_of: BTreeMap<String, usize> = entries
        .iter()
        .map(|(name, index, _)| (name.clone(), *index))
        .collect();
    let place = |index: usize| Place::Zipped {
        archive: path.to_owned(),
        index,
    };
    for (name, index, bytes) in entries {
        // Some systems write `\` into zips.
        let own = name.rsplit(['/', '\\']).next().unwrap_or(&name).to_owned();
        if !name.starts_with("__MACOSX/")
            && let Some(reason) = not_here_yet(&own)
        {
            all.refused.push((format!("{shown}: {name}"), reason));
            continue;
        }
        if own.starts_with('.') || name.starts_with("__MACOSX/") || is_sidecar(&own) {
            continue;
        }
        let mut key = path.as_os_str().as_encoded_bytes().to_vec();
        key.extend_from_slice(format!("\0{name}").as_bytes());
        all.files.push(Found {
            name: own.into(),
            shown: format!("{shown}: {name}"),
            source: SourceFile {
                path: key,
                bytes,
                modified_ns,
            },
            place: place(index),
            sidecar: index_of.get(&format!("{name}.toml")).map(|it| place(*it)),
        });
    }
}

fn found(path: &Path, it: &fs::Metadata, sidecar: Option<Place>) -> Found {
    let absolute = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    Found {
        name: path.file_name().unwrap_or_default().to_owned(),
        shown: path.display().to_string(),
        source: SourceFile {
            path: absolute.as_os_str().as_encoded_bytes().to_vec(),
            bytes: it.len(),
            modified_ns: modified(it),
        },
        place: Place::File(path.to_owned()),
        sidecar,
    }
}

/// Why a file of so many bytes is kept out: because of what it is, by its beginning, or else because of its size.
fn too_large(beginning: &[u8]) -> String {
    match photo::stored_size(beginning, Limits::default()) {
        Err(why @ PhotoError::NotAPicture(_)) => why.to_string(),
        _ => format!(
            "is larger than {} MB; export it as JPEG and take that one in; `asfound keep` puts the file by",
            FILE_MAX / 1_000_000
        ),
    }
}

fn beside(photo: &Path) -> Option<Place> {
    let mut name = photo.file_name()?.to_owned();
    name.push(".toml");
    let path = photo.with_file_name(name);
    path.is_file().then_some(Place::File(path))
}

fn is_sidecar(name: &str) -> bool {
    name.to_lowercase().ends_with(".toml")
}

/// A zip by its first bytes, not by its name.
fn is_zip(path: &Path) -> bool {
    let mut head = [0; 4];
    let read = fs::File::open(path).and_then(|mut it| it.read_exact(&mut head));
    read.is_ok() && (head == *b"PK\x03\x04" || head == *b"PK\x05\x06")
}

/// Time of last change in ns since 1970; 0 where the system does not say.
pub(in crate::work) fn modified(it: &fs::Metadata) -> i64 {
    let since = it
        .modified()
        .ok()
        .and_then(|it| it.duration_since(UNIX_EPOCH).ok());
    since
        .and_then(|it| i64::try_from(it.as_nanos()).ok())
        .unwrap_or(0)
}
