//! Where the files of a dossier go and come from: a folder or a zip.

use std::fs;
use std::fs::File;
use std::io;
use std::io::BufReader;
use std::io::Read;
use std::path::Path;
use std::path::PathBuf;

use walkdir::WalkDir;
use zip::CompressionMethod;
use zip::ZipArchive;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::evidence::dossier::bag::FileSink;
use crate::evidence::dossier::bag::FileSource;
use crate::evidence::dossier::paths;
use crate::evidence::verify::source::Tools;
use crate::evidence::verify::verdict::Judgement;
use crate::evidence::verify::verify_files;

/// Judges the dossier in a folder or a zip; a link to one is followed.
///
/// # Errors
/// When its files cannot even be listed, or a zip cannot be taken at its word.
pub(in crate::work) fn judge(path: &Path, tools: &dyn Tools) -> io::Result<Judgement> {
    let path = fs::canonicalize(path)?;
    if path.is_dir() {
        verify_files(&mut Folder(path), tools)
    } else {
        verify_files(&mut ZipSource::open_zip(&path)?, tools)
    }
}

/// Whether a file begins as a zip does; one that cannot be read may be one.
pub(in crate::work) fn is_zip(path: &Path) -> bool {
    let mut begin = [0; 2];
    let read = File::open(path).and_then(|mut it| it.read_exact(&mut begin));
    match read {
        Err(why) => why.kind() != io::ErrorKind::UnexpectedEof,
        Ok(()) => begin == *b"PK",
    }
}

/// Files below a folder.
#[derive(Debug)]
pub(in crate::work) struct Folder(pub(in crate::work) PathBuf);

/// Files in a zip that is being written, all below one folder.
pub(in crate::work) struct ZipSink {
    zip: ZipWriter<File>,
    around: String,
}

impl ZipSink {
    /// Into an empty file; `around` is the name of the folder round all files.
    pub(in crate::work) fn new(file: File, around: &str) -> Self {
        Self {
            zip: ZipWriter::new(file),
            around: around.to_owned(),
        }
    }

    /// Writes the list of files at its end, and waits until all is on the disk.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(in crate::work) fn finish(self) -> io::Result<()> {
        self.zip.finish().map_err(io::Error::other)?.sync_all()
    }
}

/// Where one system's packer puts what it knows of the files.
const BESIDE: &str = "__MACOSX/";

/// Files in a zip; a single folder round all of them is looked through.
pub(in crate::work) struct ZipSource {
    archive: ZipArchive<BufReader<File>>,
    around: String,
}

impl FileSink for Folder {
    fn file(&mut self, path: &str, from: &mut dyn Read) -> io::Result<()> {
        let path = self.0.join(path);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder)?;
        }
        let mut file = File::create_new(path)?;
        io::copy(from, &mut file)?;
        file.sync_all()
    }
}

impl FileSource for Folder {
    fn names(&mut self) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in WalkDir::new(&self.0).follow_links(false) {
            let entry = entry?;
            if entry.file_type().is_dir() {
                continue;
            }
            let inside = entry.path().strip_prefix(&self.0).unwrap_or(entry.path());
            let steps: Vec<_> = inside.iter().map(|it| it.to_string_lossy()).collect();
            names.push(steps.join("/"));
        }
        Ok(names)
    }

    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>> {
        let wrong = |why| io::Error::new(io::ErrorKind::InvalidInput, format!("{why}"));
        paths::safe(path).map_err(wrong)?;
        let path = self.0.join(path);
        // A link could lead out of the folder.
        if !fs::symlink_metadata(&path)?.is_file() {
            return Err(io::Error::new(
                io::ErrorKind::InvalidInput,
                "it is no plain file",
            ));
        }
        Ok(Box::new(BufReader::new(File::open(path)?)))
    }
}

impl FileSink for ZipSink {
    fn file(&mut self, path: &str, from: &mut dyn Read) -> io::Result<()> {
        // Photos do not get smaller, and a stored file can be read by anything.
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .large_file(true);
        let path = format!("{}/{path}", self.around);
        self.zip
            .start_file(path, options)
            .map_err(io::Error::other)?;
        io::copy(from, &mut self.zip).map(|_| ())
    }
}

impl ZipSource {
    /// Opens a zip.
    ///
    /// # Errors
    /// When it cannot be read.
    pub(in crate::work) fn open_zip(path: &Path) -> io::Result<Self> {
        let file = BufReader::new(File::open(path)?);
        let mut archive = ZipArchive::new(file).map_err(io::Error::other)?;
        // Which of two files of one name is meant, no two programs agree on.
        if archive.has_duplicate_names() {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                "two files in the zip have the same name: programs that unpack it would see different things",
            ));
        }
        archive
            .validate_header_consistency()
            .map_err(io::Error::other)?;
        let around = around(&archive);
        Ok(Self { archive, around })
    }
}

/// The folder that holds `bagit.txt`, with a slash; empty when it lies at the top.
fn around(archive: &ZipArchive<BufReader<File>>) -> String {
    let names = archive.file_names().filter_map(Result::ok);
    let folders = names.filter_map(|it| it.strip_suffix("bagit.txt").map(str::to_owned));
    let folders = folders.filter(|it| it.is_empty() || it.ends_with('/'));
    folders.min_by_key(String::len).unwrap_or_default()
}

impl FileSource for ZipSource {
    fn names(&mut self) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for name in self.archive.file_names() {
            let name = name.map_err(io::Error::other)?;
            // One system puts what it knows of the files beside their folder.
            if name.ends_with('/') || (name.starts_with(BESIDE) && !self.around.starts_with(BESIDE))
            {
                continue;
            }
            names.push(name.strip_prefix(&self.around).unwrap_or(&name).to_owned());
        }
        Ok(names)
    }

    fn open<'a>(&'a mut self, path: &str) -> io::Result<Box<dyn Read + 'a>> {
        let inside = format!("{}{path}", self.around);
        // What lies beside the folder has its whole name.
        let name = match self.archive.index_for_name(&inside) {
            Some(_) => inside.as_str(),
            None => path,
        };
        let file = self.archive.by_name(name).map_err(io::Error::other)?;
        Ok(Box::new(file))
    }
}
