//! What a backup holds beside bytes under their digests: the runs, and the keys.

use std::path::Path;

use crate::evidence::key::file;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::kit::files::write_read_only;
use crate::kit::files::write_secret;
use crate::work::backup::place::if_there;
use crate::work::backup::place::not_back;
use crate::work::backup::run::Folder;
use crate::work::backup::run::Run;
use crate::work::backup::run::StoredFile;
use crate::work::backup::store::Store;

/// How the names of runs begin.
const RUNS: &str = "runs/";

/// The name of a key file: one for each key, as the book held it last.
fn key(public: Digest) -> String {
    format!("keys/{public}.key")
}

/// A run as it lies there: its name tells its number and the digest of its bytes.
#[derive(Clone, Debug)]
pub(in crate::work) struct RunFile {
    pub(in crate::work) no: u32,
    sha256: Digest,
    name: String,
}

impl Store {
    /// Writes bytes under a name, into a folder by `write`, and reads them back.
    fn write_sure(
        &self,
        name: &str,
        bytes: &[u8],
        write: impl Fn(&Path, &[u8]) -> Result<(), FileError>,
    ) -> Result<(), FileError> {
        let path = self.place.shown(name);
        let mut sealed = Vec::new();
        let mut from = self.sealed(bytes).at("write", &path)?;
        from.read_to_end(&mut sealed).at("write", &path)?;
        self.place.write(name, &sealed, write)?;
        match self.bytes(name)? == bytes {
            true => Ok(()),
            false => Err(not_back()).at("read back", path),
        }
    }

    /// Stores the text of a key file in the place of what it held of the same key before: of a key that has a passphrase now, nothing
    /// stays without one, where the place does not keep what is replaced.
    ///
    /// # Errors
    /// When the backup cannot be written, or gives back other bytes.
    pub(in crate::work) fn put_key(&self, public: Digest, text: &[u8]) -> Result<(), FileError> {
        let name = key(public);
        match if_there(self.bytes(&name))?.is_some_and(|it| it == text) {
            true => Ok(()),
            false => self.write_sure(&name, text, write_secret),
        }
    }

    /// The text of a key file, if it is there and whole.
    ///
    /// # Errors
    /// When the way to it failed.
    pub(in crate::work) fn key_text(&self, public: Digest) -> Result<Option<Vec<u8>>, FileError> {
        let bytes = if_there(self.bytes(&key(public)))?;
        let named = |it: &Vec<u8>| file::public_of(&String::from_utf8_lossy(it)).ok();
        Ok(bytes.filter(|it| named(it) == Some(public)))
    }

    /// The runs, the oldest first.
    ///
    /// # Errors
    /// When they cannot be listed.
    pub(in crate::work) fn runs(&self) -> Result<Vec<RunFile>, FileError> {
        let names = self.place.names(RUNS)?.into_iter();
        let mut runs: Vec<RunFile> = names
            .filter_map(|name| {
                let (no, sha256) = name.strip_suffix(".json")?.split_once('-')?;
                Some(RunFile {
                    no: no.parse().ok()?,
                    sha256: sha256.parse().ok()?,
                    name: format!("{RUNS}{name}"),
                })
            })
            .collect();
        runs.sort_by(|a, b| (a.no, &a.name).cmp(&(b.no, &b.name)));
        Ok(runs)
    }

    /// Writes a run down, which makes it one.
    ///
    /// # Errors
    /// When the backup cannot be written, or gives back other bytes.
    pub(in crate::work) fn add_run(&self, run: &Run) -> Result<(), FileError> {
        let text = serde_json::to_vec_pretty(run).unwrap_or_default();
        let name = format!("{RUNS}{:05}-{}.json", run.run, Digest::of(&text));
        self.write_sure(&name, &text, write_read_only)
    }

    /// What a run says; `None` where its bytes are not those that its name tells.
    ///
    /// # Errors
    /// When the way to it failed.
    pub(in crate::work) fn run(&self, file: &RunFile) -> Result<Option<Run>, FileError> {
        let bytes = if_there(self.bytes(&file.name))?;
        let right = bytes.filter(|it| Digest::of(it) == file.sha256);
        Ok(right.and_then(|it| serde_json::from_slice(&it).ok()))
    }

    /// The runs that are whole, the oldest first.
    ///
    /// # Errors
    /// When they cannot be listed, or the way to one failed.
    pub(in crate::work) fn whole_runs(&self) -> Result<Vec<Run>, FileError> {
        let files = self.runs()?;
        let runs = files.iter().filter_map(|it| self.run(it).transpose());
        runs.collect()
    }

    /// The files of a folder in a run; `None` where the list is not there or has other bytes.
    ///
    /// # Errors
    /// When the way to it failed.
    pub(in crate::work) fn files(
        &self,
        folder: &Folder,
    ) -> Result<Option<Vec<StoredFile>>, FileError> {
        let text = self.get(folder.list.sha256)?;
        Ok(text.and_then(|it| serde_json::from_slice(&it).ok()))
    }
}
