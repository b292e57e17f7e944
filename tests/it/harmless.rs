//! What touches no data gives no alarm: where a book, a dossier or a letter lies, who looked at it, how it was copied, packed and sent.
//!
//! A table of changes, each with a name of its own; the count is that of distinct names.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::fs::Permissions;
use std::io::Write as _;
use std::os::unix::fs::PermissionsExt as _;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;
use std::time::SystemTime;

use rusqlite::Connection;
use serde_json::Value as Json;
use walkdir::WalkDir;
use zip::CompressionMethod;
use zip::DateTime;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::random_changes::Bench;
use crate::random_changes::files;
use crate::random_changes::set_time;
use crate::random_changes::unzipped;

/// The least number of distinct changes.
const LEAST: usize = 70;

/// A change of the files below a folder.
type Change<'a> = (&'static str, &'a dyn Fn(&Path));

/// What systems, office programs and packers leave behind.
const LITTER: [&str; 9] = [
    ".DS_Store",
    "Thumbs.db",
    "desktop.ini",
    ".directory",
    "._IMG_2.jpg",
    "~$letter.docx",
    ".~lock.list.ods#",
    "IMG_2.jpg:Zone.Identifier",
    "__MACOSX/._IMG_2.jpg",
];

/// The changes that were tried and raised no alarm.
struct Calm<'a> {
    bench: &'a Bench,
    names: BTreeSet<String>,
}

impl Calm<'_> {
    /// `verify` of a path, with these variables and in this folder.
    fn verify(&mut self, name: &str, path: &Path, variables: &[(&str, &str)], from: &Path) {
        let mut command = self.bench.shop.command(env!("CARGO_BIN_EXE_asfound"));
        command.arg("verify").arg(path).arg("--json");
        command.envs(variables.iter().copied()).current_dir(from);
        let done = command.output().unwrap();
        let found: Json = serde_json::from_slice(&done.stdout).unwrap_or(Json::Null);
        let said = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(0), "{name}: {found:#} {said}");
        assert_eq!(found["verdict"], "intact, not time-stamped", "{name}");
        assert!(self.names.insert(name.to_owned()), "{name} stands twice");
    }

    fn is(&mut self, name: &str, path: &Path) {
        let here = std::env::temp_dir();
        self.verify(name, path, &[], &here);
    }
}

/// Every folder below a root, with itself.
fn folders(root: &Path) -> Vec<PathBuf> {
    let all = WalkDir::new(root).sort_by_file_name().into_iter();
    let dirs = all.map(Result::unwrap).filter(|it| it.file_type().is_dir());
    dirs.map(walkdir::DirEntry::into_path).collect()
}

/// Sets the rights of all files but keys, which are nobody else's business.
fn rights(root: &Path, mode: u32) {
    for path in files(root, |it| !it.ends_with("book.key")) {
        fs::set_permissions(path, Permissions::from_mode(mode)).unwrap();
    }
}

/// Sets the times of all files; an original that is read-only has one all the same.
fn times(root: &Path, seconds: u64) {
    for path in files(root, |_| true) {
        let before = fs::metadata(&path).unwrap().permissions();
        fs::set_permissions(&path, Permissions::from_mode(0o600)).unwrap();
        set_time(&path, SystemTime::UNIX_EPOCH + Duration::from_secs(seconds));
        fs::set_permissions(&path, before).unwrap();
    }
}

fn sql(root: &Path, text: &str) {
    let db = Connection::open(root.join("book.db")).unwrap();
    db.execute_batch(text).unwrap();
}

/// Litter of one name beside every file.
fn litter(root: &Path, name: &str) {
    for folder in folders(root) {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, "left behind").unwrap();
    }
}

/// A link in the place of the first file of this ending; what it leads to lies beside the root.
fn link(root: &Path, ending: &str, hard: bool) {
    let file = files(root, |it| it.ends_with(ending)).remove(0);
    let away = root.with_extension("away");
    let _ = fs::remove_file(&away);
    fs::rename(&file, &away).unwrap();
    match hard {
        true => fs::hard_link(&away, &file).unwrap(),
        false => symlink(&away, &file).unwrap(),
    }
}

/// Each file written anew under the same name: another place on the disk, another creation time.
fn rewritten(root: &Path) {
    for path in files(root, |_| true) {
        let (bytes, meta) = (fs::read(&path).unwrap(), fs::metadata(&path).unwrap());
        fs::remove_file(&path).unwrap();
        fs::write(&path, bytes).unwrap();
        set_time(&path, meta.modified().unwrap());
        fs::set_permissions(&path, meta.permissions()).unwrap();
    }
}

/// Changes that a book and a dossier go through alike.
fn of_both(calm: &mut Calm<'_>, what: &str, root: &Path) {
    let changes: [Change; 10] = [
        ("times of 1970", &|it| times(it, 86_400)),
        ("times of 2001", &|it| times(it, 1_000_000_000)),
        ("times of 2033", &|it| times(it, 2_000_000_000)),
        ("times of 2096", &|it| times(it, 4_000_000_000)),
        ("written anew", &rewritten),
        ("read only", &|it| rights(it, 0o444)),
        ("open to all", &|it| rights(it, 0o666)),
        ("to be run, as from a stick", &|it| rights(it, 0o777)),
        ("a hard link to an original", &|it| {
            link(it, "IMG_2.jpg", true)
        }),
        ("an empty folder", &|it| {
            fs::create_dir(it.join("notes")).unwrap();
        }),
    ];
    let bench = calm.bench;
    for (name, change) in changes {
        let to = bench.copy(root, "changed");
        change(&to);
        calm.is(&format!("{what}: {name}"), &to);
        rights(&to, 0o644);
    }
    for name in LITTER {
        let to = bench.copy(root, "littered");
        litter(&to, name);
        calm.is(&format!("{what}: {name} in every folder"), &to);
    }
    for name in [
        "moved",
        "with 'quotes', é and 字",
        "deep/er/still",
        "ends with a space ",
    ] {
        fs::create_dir_all(bench.shop.path(name).parent().unwrap()).unwrap();
        calm.is(&format!("{what}: {name}"), &bench.copy(root, name));
    }
    let here = std::env::temp_dir();
    let as_it_is = bench.copy(root, "as it is");
    for (name, variables) in [
        ("another clock", [("ASFOUND_NOW", "2041-01-01T00:00:00Z")]),
        ("another zone", [("TZ", "Pacific/Kiritimati")]),
        ("another language", [("LC_ALL", "tr_TR.UTF-8")]),
    ] {
        calm.verify(&format!("{what}: {name}"), &as_it_is, &variables, &here);
    }
    let inside = Path::new(".");
    calm.verify(&format!("{what}: from inside"), inside, &[], &as_it_is);
    let shown = Path::new("as it is/../as it is/");
    let above = as_it_is.parent().unwrap();
    calm.verify(&format!("{what}: by a way round"), shown, &[], above);
    let link = bench.shop.path("a link");
    let _ = fs::remove_file(&link);
    symlink(&as_it_is, &link).unwrap();
    calm.is(&format!("{what}: by a link"), &link);
}

/// What happens to a book alone: its database is tidied, and what is worked out anew is thrown away.
fn of_book(calm: &mut Calm<'_>) {
    let gone = |root: &Path, name: &str| drop(fs::remove_file(root.join(name)));
    let changes: [Change; 10] = [
        ("a link to an original", &|it| link(it, "IMG_2.jpg", false)),
        ("a vacuum", &|it| sql(it, "VACUUM")),
        ("no journal", &|it| sql(it, "PRAGMA journal_mode = DELETE")),
        ("larger pages", &|it| {
            sql(
                it,
                "PRAGMA journal_mode = DELETE; PRAGMA page_size = 16384; VACUUM",
            );
        }),
        ("counted anew", &|it| sql(it, "ANALYZE")),
        ("indexed anew", &|it| sql(it, "REINDEX")),
        ("no previews", &|it| gone(it, "previews.db")),
        ("no schema", &|it| gone(it, "sidecar.schema.json")),
        ("no lock", &|it| gone(it, ".book.lock")),
        ("a lock of another program", &|it| {
            fs::write(it.join(".book.lock"), "").unwrap();
        }),
    ];
    for (name, change) in changes {
        let to = calm.bench.copy(&calm.bench.book, "calm");
        change(&to);
        calm.is(&format!("book: {name}"), &to);
    }
}

/// How a zip is packed.
struct Packing {
    name: &'static str,
    how: SimpleFileOptions,
    /// The folder round all files; `None` of none.
    folder: Option<&'static str>,
    backwards: bool,
    /// Files besides, by name.
    besides: &'static [&'static str],
    comment: &'static str,
}

/// The same files packed otherwise.
fn of_zip(calm: &mut Calm<'_>) {
    let deflated = || SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let usual = |name, how| Packing {
        name,
        how,
        folder: Some("26-001"),
        backwards: false,
        besides: &[],
        comment: "",
    };
    let mut packings = vec![
        usual("not compressed", stored),
        usual("compressed least", deflated().compression_level(Some(1))),
        usual("compressed as usual", deflated().compression_level(Some(6))),
        usual("compressed most", deflated().compression_level(Some(9))),
        usual("with rights", deflated().unix_permissions(0o755)),
        usual("for large files", deflated().large_file(true)),
        usual(
            "dated 1980",
            deflated().last_modified_time(DateTime::default()),
        ),
    ];
    packings.extend([
        Packing {
            folder: None,
            ..usual("in no folder", stored)
        },
        Packing {
            folder: Some("downloads"),
            ..usual("in another folder", stored)
        },
        Packing {
            backwards: true,
            ..usual("in another order", stored)
        },
        Packing {
            comment: "sent by mail",
            ..usual("with a comment", stored)
        },
        Packing {
            besides: &["__MACOSX/26-001/._bagit.txt", "__MACOSX/._26-001"],
            ..usual("as one system packs", stored)
        },
        Packing {
            besides: &[
                "26-001/Thumbs.db",
                "26-001/data/Thumbs.db",
                "26-001/data/desktop.ini",
            ],
            ..usual("as another packs", stored)
        },
    ]);
    let all = unzipped(&calm.bench.zip).unwrap();
    for packing in packings {
        let path = calm.bench.shop.path("packed.zip");
        pack(&path, &all, &packing);
        calm.is(&format!("zip: {}", packing.name), &path);
    }
    for name in ["another name.zip", "UPPER.ZIP", "26-001 (1).zip"] {
        let to = calm.bench.copy(&calm.bench.zip, name);
        calm.is(&format!("zip: {name}"), &to);
    }
    let link = calm.bench.shop.path("link.zip");
    symlink(&calm.bench.zip, &link).unwrap();
    calm.is("zip: by a link", &link);
    // Unpacked again, with the folders that an unpacker makes.
    let to = calm.bench.shop.path("unpacked");
    for (name, bytes) in &all {
        let path = to.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let root = fs::read_dir(&to).unwrap().next().unwrap().unwrap().path();
    calm.is("zip: unpacked", &root);
}

fn pack(path: &Path, all: &BTreeMap<String, Vec<u8>>, packing: &Packing) {
    let mut zip = ZipWriter::new(fs::File::create(path).unwrap());
    zip.set_comment(packing.comment).unwrap();
    let mut names: Vec<&String> = all.keys().collect();
    if packing.backwards {
        names.reverse();
    }
    for name in names {
        let inside = name.split_once('/').unwrap().1;
        let packed = packing
            .folder
            .map_or_else(|| inside.to_owned(), |it| format!("{it}/{inside}"));
        zip.start_file(packed, packing.how).unwrap();
        zip.write_all(&all[name]).unwrap();
    }
    for name in packing.besides {
        zip.start_file(*name, packing.how).unwrap();
        zip.write_all(b"left behind").unwrap();
    }
    zip.finish().unwrap();
}

#[test]
fn what_touches_no_data_gives_no_alarm() {
    let bench = Bench::new();
    let mut calm = Calm {
        bench: &bench,
        names: BTreeSet::new(),
    };
    of_both(&mut calm, "book", &bench.book);
    of_both(&mut calm, "dossier", &bench.folder);
    of_book(&mut calm);
    of_zip(&mut calm);
    let count = calm.names.len();
    assert!(count >= LEAST, "{count}");
    crate::shop::say(&format!("{count} harmless changes, no alarm"));
}
