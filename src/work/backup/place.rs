//! Where a backup lies: a folder or a bucket, in which bytes have names such as `runs/1.json`.

use std::fs;
use std::io;
use std::io::BufReader;
use std::io::Read;
use std::path::Path;
use std::path::PathBuf;

use crate::bucket::access;
use crate::bucket::access::Access;
use crate::bucket::fault::BucketFault;
use crate::bucket::listing::Entry;
use crate::bucket::objects::Bucket;
use crate::bucket::objects::LONGEST;
use crate::kit::copies;
use crate::kit::copies::Sum;
use crate::kit::files;
use crate::kit::files::At as _;
use crate::kit::files::FileError;
use crate::work::WorkError;
use crate::work::backup::run::Changed;

/// Where a backup lies.
#[derive(Clone)]
pub enum Place {
    /// In a folder.
    Folder(PathBuf),
    /// In object storage of the S3 type.
    Bucket(Bucket),
}

impl Place {
    /// What a user named: a folder, or `s3://bucket/prefix`, which is opened by what `variable` gives of the environment.
    ///
    /// # Errors
    /// When the address of the bucket is none, or the environment does not tell what opens it.
    pub fn named(
        path: &Path,
        variable: &dyn Fn(&str) -> Option<String>,
    ) -> Result<Self, WorkError> {
        let Some(address) = path.to_str().filter(|it| access::is_bucket(it)) else {
            return Ok(Self::Folder(path.to_owned()));
        };
        let bucket = Access::read(variable).and_then(|it| Bucket::at(address, it));
        Ok(Self::Bucket(
            bucket.map_err(io::Error::from).at("use", path)?,
        ))
    }

    /// A name in it, as it is told; the empty one is the whole.
    #[must_use]
    pub fn shown(&self, name: &str) -> PathBuf {
        match self {
            Self::Folder(root) if name.is_empty() => root.clone(),
            Self::Folder(root) => root.join(name),
            Self::Bucket(bucket) => bucket.shown(name),
        }
    }

    /// Begins to read what lies under a name.
    ///
    /// # Errors
    /// When nothing does, or it cannot be read.
    pub(super) fn open(&self, name: &str) -> Result<Box<dyn Read>, FileError> {
        let path = self.shown(name);
        Ok(match self {
            Self::Folder(_) => Box::new(BufReader::new(fs::File::open(&path).at("read", path)?)),
            Self::Bucket(bucket) => Box::new(bucket.get(name).at("read", path)?),
        })
    }

    /// What lies under a name, whole.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub(super) fn read(&self, name: &str) -> Result<Vec<u8>, FileError> {
        let mut bytes = Vec::new();
        let mut from = self.open(name)?;
        from.read_to_end(&mut bytes).at("read", self.shown(name))?;
        Ok(bytes)
    }

    /// Writes bytes under a name, whole or not at all; into a folder by `write`.
    ///
    /// # Errors
    /// When they cannot be written.
    pub(super) fn write(
        &self,
        name: &str,
        bytes: &[u8],
        write: impl Fn(&Path, &[u8]) -> Result<(), FileError>,
    ) -> Result<(), FileError> {
        let path = self.shown(name);
        match self {
            Self::Folder(_) => write(&path, bytes),
            Self::Bucket(bucket) => bucket.put(name, bytes).map(drop).at("write", path),
        }
    }

    /// Writes bytes that are written once; where a bucket has others under that name already, they stay.
    ///
    /// # Errors
    /// When they cannot be written.
    pub(super) fn write_once(&self, name: &str, bytes: &[u8]) -> Result<(), FileError> {
        let path = self.shown(name);
        match self {
            Self::Folder(_) => files::write_whole(&path, bytes),
            Self::Bucket(bucket) => bucket.put_new(name, bytes).map(drop).at("write", path),
        }
    }

    /// Brings a file into its place that `make` writes as `draft` and gives the sum of. In a bucket it is read back; in a folder the
    /// draft lies there already, and was. Gives how it lies.
    ///
    /// # Errors
    /// What `make` says, or when it cannot be brought there; what lay there still does then.
    pub(super) fn bring(
        &self,
        name: &str,
        draft: &Path,
        make: impl FnOnce() -> Result<Sum, FileError>,
    ) -> Result<Option<Changed>, FileError> {
        let path = self.shown(name);
        let bucket = match self {
            Self::Folder(_) => {
                files::replace(&path, draft, "store", || make().map(drop))?;
                return Ok(self.lying(&path));
            }
            Self::Bucket(bucket) => bucket,
        };
        // That there is nothing to clear is the usual case.
        let _ = fs::remove_file(draft);
        let sum = make()?;
        let file = fs::File::open(draft).at("read", draft)?;
        let tag = bucket
            .put_file(name, &file, sum.sha256)
            .at("store", &path)?;
        if copies::sum_of(self.open(name)?, &path)? != sum {
            return Err(not_back()).at("read back", path);
        }
        let _ = fs::remove_file(draft);
        Ok(Changed::of_tag(&tag, sum.bytes))
    }

    /// Whether so many bytes can be brought there at once.
    ///
    /// # Errors
    /// With the path of the file when not.
    pub(super) fn takes(&self, bytes: u64, from: &Path) -> Result<(), FileError> {
        match self {
            Self::Bucket(_) if bytes > LONGEST => {
                let why = "it is longer than the 5 GB that object storage takes at once; keep it in a backup in a folder";
                Err(io::Error::other(why)).at("store", from)
            }
            _ => Ok(()),
        }
    }

    fn lying(&self, path: &Path) -> Option<Changed> {
        let found = fs::symlink_metadata(path).ok()?;
        found.is_file().then(|| Changed::of(&found)).flatten()
    }

    /// How it lies under a name; `None` where there is nothing. Only of a folder: of a bucket, lists tell it.
    pub(super) fn lies_in_folder(&self, name: &str) -> Option<Changed> {
        match self {
            Self::Folder(root) => self.lying(&root.join(name)),
            Self::Bucket(_) => None,
        }
    }

    /// What a bucket holds under names that begin so; nothing of a folder, which tells it file by file.
    ///
    /// # Errors
    /// When it cannot be listed.
    pub(super) fn entries(&self, begin: &str) -> Result<Vec<Entry>, FileError> {
        match self {
            Self::Folder(_) => Ok(Vec::new()),
            Self::Bucket(bucket) => bucket.list(begin).at("list", self.shown(begin)),
        }
    }

    /// The names in a folder of it, such as `runs/`; of a bucket also those in folders below.
    ///
    /// # Errors
    /// When they cannot be listed.
    pub(super) fn names(&self, folder: &str) -> Result<Vec<String>, FileError> {
        let path = self.shown(folder.trim_end_matches('/'));
        let mut names = Vec::new();
        if let Self::Bucket(_) = self {
            let all = self.entries(folder)?;
            let inside = all.iter().filter_map(|it| it.name.strip_prefix(folder));
            return Ok(inside.map(str::to_owned).collect());
        }
        for entry in fs::read_dir(&path).at("list", &path)? {
            let name = entry.at("list", &path)?.file_name();
            names.push(name.to_string_lossy().into_owned());
        }
        Ok(names)
    }
}

/// `None` where what was asked for is not there, or damaged; an error where the way to it failed, so that nothing is known of it.
pub(super) fn if_there<T>(got: Result<T, FileError>) -> Result<Option<T>, FileError> {
    match got {
        Ok(it) => Ok(Some(it)),
        Err(why) if BucketFault::is_of_the_way(&why.source) => Err(why),
        Err(_) => Ok(None),
    }
}

pub(super) fn not_back() -> io::Error {
    io::Error::other("other bytes came back than were written: do not trust this medium")
}
