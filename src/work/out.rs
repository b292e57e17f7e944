//! Where a job may write what the user asks for: the one check behind every `--out`, `--letter` and folder of copies.

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use crate::kit::files::At as _;
use crate::kit::files::UNFINISHED;
use crate::kit::files::is_free;
use crate::kit::files::make_folder;
use crate::kit::files::write_whole;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::book::open_book::DATABASE;

/// How names begin that a book keeps for itself at its top; settings and words end in `.toml`.
const OF_A_BOOK: [&str; 7] = [
    "book.",
    ".book.",
    "book-key",
    "previews.db",
    "seals",
    "sidecar.schema",
    UNFINISHED,
];

/// What a folder may hold that a report in a folder is written into: an earlier one.
const OF_A_REPORT: [&str; 3] = ["report.html", "report.pdf", "pictures"];

/// Refuses a path where something lies already, or where only a book may write; `home` is the folder into which the job writes when it
/// is told nothing.
///
/// # Errors
/// That it is taken, or lies among the files of a book.
pub fn free(path: &Path, home: Option<&Path>) -> Result<(), WorkError> {
    outside(path, home)?;
    // A link that leads nowhere is there too.
    match fs::symlink_metadata(path).is_ok() {
        true if path.is_dir() => Err(WorkError::asked_with(
            format!("`{}` is a folder", path.display()),
            "nothing was written: name a file in it",
        )),
        true => Err(WorkError::asked_with(
            format!("`{}` is there already", path.display()),
            "nothing was written: give another name, or move that file away first",
        )),
        false => Ok(()),
    }
}

/// Writes a new file where the user wants it.
///
/// # Errors
/// What [`free`] says, or that it cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), WorkError> {
    free(path, None)?;
    Ok(write_whole(path, bytes)?)
}

/// Where a job writes: at `out`, which must be free; under its own `name` where `out` is a folder; else under that name in `home`. A
/// file under the job's own name is written again.
///
/// # Errors
/// What [`free`] says.
pub(in crate::work) fn place(
    out: Option<&Path>,
    home: &Path,
    name: &str,
) -> Result<PathBuf, WorkError> {
    let usual = home.join(name);
    match out {
        None => Ok(usual),
        Some(folder) if folder.is_dir() => {
            let path = folder.join(name);
            outside(&path, Some(home))?;
            Ok(path)
        }
        Some(path) if whole(path).is_some_and(|it| Some(it) == whole(&usual)) => Ok(usual),
        Some(path) => {
            free(path, Some(home))?;
            Ok(path.to_owned())
        }
    }
}

/// Writes a file where [`place`] said, in a folder that need not be there.
///
/// # Errors
/// When the folder cannot be made, or the file not be written.
pub(in crate::work) fn write(path: &Path, bytes: &[u8]) -> Result<(), WorkError> {
    if let Some(folder) = path.parent().filter(|it| !it.as_os_str().is_empty()) {
        make_folder(folder)?;
    }
    Ok(write_whole(path, bytes)?)
}

/// Where a report in a folder is written: into one that is free or holds nothing but such a report.
///
/// # Errors
/// That something else lies there, or that it lies among the files of a book.
pub(in crate::work) fn report_folder(folder: &Path, home: &Path) -> Result<(), WorkError> {
    outside(folder, Some(home))?;
    if !folder.is_dir() {
        return free(folder, Some(home));
    }
    for entry in fs::read_dir(folder).at("list", folder)? {
        let name = entry.at("list", folder)?.file_name();
        let name = name.to_string_lossy();
        if !OF_A_REPORT.contains(&&*name) && !name.starts_with(UNFINISHED) {
            return Err(WorkError::NotEmpty(folder.to_owned()));
        }
    }
    Ok(())
}

/// Refuses what lies in a dossier, what a book keeps for itself and what lies among a piece's files, but for those in `home`.
pub(in crate::work) fn outside(path: &Path, home: Option<&Path>) -> Result<(), WorkError> {
    let here = whole(path).unwrap_or_else(|| path.to_owned());
    let folder = here.parent().unwrap_or(&here);
    if let Some(dossier) = folder.ancestors().find(|it| it.join("bagit.txt").is_file()) {
        return Err(WorkError::asked_with(
            format!(
                "`{}` lies in the dossier `{}`, which any new file would spoil",
                path.display(),
                dossier.display()
            ),
            "nothing was written: name a place outside of it",
        ));
    }
    let Some(root) = folder.ancestors().find(|it| it.join(DATABASE).is_file()) else {
        let name = here
            .file_name()
            .map(|it| it.to_string_lossy().to_lowercase());
        return match name.as_deref() == Some(DATABASE) {
            false => Ok(()),
            true => Err(WorkError::asked_with(
                format!("`{}` would be taken for a stock book", path.display()),
                "nothing was written: give another name",
            )),
        };
    };
    let mut steps = here.strip_prefix(root).unwrap_or(&here).components();
    let top = steps.next().map(|it| it.as_os_str().to_string_lossy());
    let top = top.unwrap_or_default().to_lowercase();
    let ends = here
        .extension()
        .is_some_and(|it| it.eq_ignore_ascii_case("toml"));
    let is_kept = ends || OF_A_BOOK.iter().any(|it| top.starts_with(it));
    let is_of_piece = top
        .split(' ')
        .next()
        .is_some_and(|it| it.parse::<StockNo>().is_ok());
    let is_home = home.and_then(whole).is_some_and(|it| it == folder);
    match !is_kept && (!is_of_piece || is_home) {
        true => Ok(()),
        false => Err(WorkError::asked_with(
            format!(
                "`{}` lies among the files of the stock book `{}`",
                path.display(),
                root.display()
            ),
            "nothing was written: name a file outside the book",
        )),
    }
}

/// Looks whether a folder is empty or not there, so that files can be written into it.
///
/// # Errors
/// That it is neither, or lies among the files of a book.
pub(in crate::work) fn empty_folder(folder: &Path) -> Result<(), WorkError> {
    outside(folder, None)?;
    if !folder.is_dir() {
        return free(folder, None);
    }
    match is_free(folder)? {
        true => Ok(()),
        false => Err(WorkError::NotEmpty(folder.to_owned())),
    }
}

/// The path with every link in its folders followed, as far as they are there.
fn whole(path: &Path) -> Option<PathBuf> {
    let path = std::path::absolute(path).ok()?;
    let (there, real) = path
        .parent()?
        .ancestors()
        .find_map(|it| Some((it, it.canonicalize().ok()?)))?;
    Some(real.join(path.strip_prefix(there).ok()?))
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::free;
    use super::outside;
    use super::place;

    #[test]
    fn a_book_keeps_its_files_and_others_keep_theirs() {
        let dir = tempfile::tempdir().unwrap();
        let book = dir.path().join("book");
        let home = book.join("26-001 chest/reports");
        fs::create_dir_all(&home).unwrap();
        fs::write(book.join("book.db"), "").unwrap();
        fs::write(dir.path().join("mine.txt"), "mine").unwrap();
        for name in [
            "book.db",
            "book.key",
            "BOOK.key.next",
            "book.toml",
            "wood.toml",
            "previews.db-wal",
            "seals",
            "seals/x.txt",
            "26-001 chest/c1.jpg",
            "26-001 chest/1 purchase/c1.jpg.toml",
            "26-001 chest/reports/../x.html",
            ".asfound-unfinished-1-x",
            "../mine.txt",
            "../book/../mine.txt",
            "..",
        ] {
            assert!(free(&book.join(name), Some(&home)).is_err(), "{name}");
        }
        for name in [
            "labels.html",
            "my own/x.html",
            "26-001 chest/reports/x.html",
            "../new.txt",
        ] {
            free(&book.join(name), Some(&home)).unwrap();
        }
        assert!(outside(&book.join("26-001 chest/reports/x.html"), None).is_err());
    }

    #[test]
    fn what_a_job_names_itself_it_writes_again() {
        let dir = tempfile::tempdir().unwrap();
        let (home, sent) = (dir.path().join("home"), dir.path().join("sent"));
        for folder in [&home, &sent] {
            fs::create_dir(folder).unwrap();
            fs::write(folder.join("labels.html"), "before").unwrap();
        }
        let at = |out: Option<&std::path::Path>| place(out, &home, "labels.html");
        assert_eq!(at(None).unwrap(), home.join("labels.html"));
        let same = home.join("../home/labels.html");
        assert_eq!(at(Some(&same)).unwrap(), home.join("labels.html"));
        assert_eq!(at(Some(&sent)).unwrap(), sent.join("labels.html"));
        // The name is the same, but the user chose it.
        assert!(at(Some(&sent.join("labels.html"))).is_err());
        let dossier = sent.join("dossier");
        fs::create_dir(&dossier).unwrap();
        fs::write(dossier.join("bagit.txt"), "").unwrap();
        for inside in [
            dossier.clone(),
            dossier.join("x.html"),
            dossier.join("deeper/x"),
        ] {
            let why = at(Some(&inside)).unwrap_err().to_string();
            assert!(why.contains("spoil"), "{why}");
        }
        let new = sent.join("deeper/new.html");
        assert_eq!(at(Some(&new)).unwrap(), new);
        #[cfg(unix)]
        {
            let link = sent.join("link");
            std::os::unix::fs::symlink("nowhere", &link).unwrap();
            assert!(at(Some(&link)).is_err());
        }
    }
}
