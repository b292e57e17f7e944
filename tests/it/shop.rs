//! A throw-away shop: a folder, a frozen clock, the program, and photos made in code.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::cell::Cell;
use std::ffi::OsStr;
use std::fs;
use std::io::ErrorKind;
use std::io::Write as _;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::process::Output;
use std::process::Stdio;
use std::time::Duration;

use serde_json::Value;

use samples::Exif;

/// Width and height of the photos of most tests, pixels: just long enough not to be told as too small, and flat, so
/// that they are made and looked at quickly.
pub(crate) const SIZE: (u32, u32) = (1520, 60);

/// A folder that holds a card with photos and, in most tests, a stock book; gone when dropped.
pub(crate) struct Shop {
    root: tempfile::TempDir,
    /// Photos laid on the card so far; each is taken some minutes after the one before.
    photos: Cell<u32>,
}

/// A program that ran to its end.
pub(crate) struct Ran {
    what: String,
    code: Option<i32>,
    stdout: String,
    stderr: String,
}

impl Shop {
    /// A folder with an empty card.
    pub(crate) fn new() -> Self {
        let root = tempfile::tempdir().unwrap();
        fs::create_dir(root.path().join("card")).unwrap();
        Self {
            root,
            photos: Cell::new(0),
        }
    }

    /// One with a book and the piece 26-001.
    pub(crate) fn with_piece() -> Self {
        let shop = Self::new();
        shop.book().piece("walnut table");
        shop
    }

    /// Starts the book.
    pub(crate) fn book(&self) -> &Self {
        self.run_in(self.path(""), &["new-book", "book"]).code(0);
        self
    }

    /// Takes in a side table that lacks nothing but photos for a final report.
    pub(crate) fn piece(&self, title: &str) -> &Self {
        self.run(&[
            "intake",
            title,
            "--form",
            "side_table",
            "--size",
            "700x500x400mm",
            "--examined-by",
            "A. Tester",
        ])
        .code(0);
        self
    }

    /// Lays a JPEG on the card; each is another picture, taken five minutes after the one before on 2026-05-03.
    pub(crate) fn photo(&self, name: &str, change: impl FnOnce(&mut Exif)) -> &Self {
        let no = self.photos.replace(self.photos.get() + 1);
        let time = format!("2026:05:03 {:02}:{:02}:00", 10 + no / 12, no % 12 * 5);
        let mut exif = Exif::taken(&time);
        change(&mut exif);
        self.file(
            name,
            &samples::jpeg_seeded(SIZE.0, SIZE.1, 7 + 13 * no, &exif),
        )
    }

    /// Lays any bytes on the card.
    pub(crate) fn file(&self, name: impl AsRef<OsStr>, bytes: &[u8]) -> &Self {
        let path = self.card(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
        self
    }

    /// A path in the shop.
    pub(crate) fn path(&self, inside: &str) -> PathBuf {
        self.root.path().join(inside)
    }

    /// A path on the card.
    pub(crate) fn card(&self, name: impl AsRef<OsStr>) -> PathBuf {
        self.root.path().join("card").join(name.as_ref())
    }

    /// The folder of the piece 26-001.
    pub(crate) fn piece_folder(&self) -> PathBuf {
        let folders = fs::read_dir(self.path("book")).unwrap();
        let mut names = folders.map(|it| it.unwrap().path());
        let is_piece = |it: &PathBuf| {
            it.file_name()
                .unwrap()
                .to_string_lossy()
                .starts_with("26-001")
        };
        names.find(is_piece).expect("the piece has a folder")
    }

    /// A file or folder of the piece 26-001, such as `1 purchase 2026-05-03/IMG_1.jpg`.
    pub(crate) fn stored(&self, inside: &str) -> PathBuf {
        self.piece_folder().join(inside)
    }

    /// Names of all files below the shoots of the piece, sorted; reports left out.
    pub(crate) fn stored_names(&self) -> Vec<String> {
        let base = self.piece_folder();
        let mut names = Vec::new();
        let mut folders = vec![base.clone()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let inside = path.strip_prefix(&base).unwrap();
                    names.push(inside.to_str().expect("stored names are plain").to_owned());
                }
            }
        }
        names.retain(|it| !it.starts_with("reports"));
        names.sort();
        names
    }

    /// Imports the whole card as the purchase shoot of 26-001.
    pub(crate) fn import(&self) -> Ran {
        self.run(&[
            "import", "../card", "--piece", "26-001", "--stage", "purchase",
        ])
    }

    /// The same, answered in JSON.
    pub(crate) fn import_json(&self) -> Ran {
        let words = [
            "import", "../card", "--piece", "26-001", "--stage", "purchase",
        ];
        self.run(&[&words[..], &["--json"]].concat())
    }

    /// Lays two photos on the card whose sidecars say all that a final report of the side table needs, and takes them in.
    pub(crate) fn ready(&self, front: &str) -> &Self {
        self.photo("IMG_1.jpg", |_| ());
        self.photo("IMG_2.jpg", |_| ());
        // A part with a mark of its own is not sound besides.
        let parts = [
            "top",
            "leg-front-left",
            "leg-front-right",
            "leg-back-left",
            "leg-back-right",
        ]
        .map(|it| format!("\"{it}\""));
        let sound: Vec<_> = parts
            .iter()
            .filter(|it| !front.contains(&format!("part = {it}")))
            .map(String::as_str)
            .collect();
        let sound = sound.join(", ");
        self.file(
            "IMG_1.jpg.toml",
            format!("view = \"front_whole\"\nsound = [{sound}]\n{front}").as_bytes(),
        );
        self.file(
            "IMG_2.jpg.toml",
            b"view = \"identity_mark\"\nparts = [\"top\"]\n[[mark]]\ntag = \"looks_like_wood\"\npart = \"top\"\nwhich = \"walnut\"\n",
        );
        self.import();
        self
    }

    /// Runs the program in the book's folder.
    pub(crate) fn run<S: AsRef<OsStr>>(&self, words: &[S]) -> Ran {
        self.run_in(self.path("book"), words)
    }

    /// Runs it in another folder.
    pub(crate) fn run_in<S: AsRef<OsStr>>(&self, folder: impl AsRef<Path>, words: &[S]) -> Ran {
        let mut command = self.command(env!("CARGO_BIN_EXE_asfound"));
        command.args(words).current_dir(folder);
        Ran::of(&mut command)
    }

    /// A command with a frozen clock and nothing else from outside, in the book's folder.
    pub(crate) fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command
            .env_clear()
            .env("ASFOUND_NOW", "2026-05-26T09:00:00Z")
            .env("TZ", "UTC")
            .env("PATH", std::env::var_os("PATH").unwrap_or_default())
            .stdin(Stdio::null())
            .current_dir(self.path("book"));
        command
    }
}

impl Ran {
    /// Runs a command to its end.
    pub(crate) fn of(command: &mut Command) -> Self {
        let what = format!("{command:?}");
        // A program that a test has just copied is busy as long as a process lives that another test began meanwhile.
        let mut tries = 0..40;
        loop {
            match command.output() {
                Err(it) if it.kind() == ErrorKind::ExecutableFileBusy && tries.next().is_some() => {
                    std::thread::sleep(Duration::from_millis(50));
                }
                it => return Self::ended(what, it.unwrap()),
            }
        }
    }

    /// What a command gave that has ended.
    pub(crate) fn ended(what: String, it: Output) -> Self {
        Self {
            what,
            code: it.status.code(),
            stdout: String::from_utf8(it.stdout).expect("what is printed is UTF-8"),
            stderr: String::from_utf8(it.stderr).expect("what is said is UTF-8"),
        }
    }

    /// Asserts the exit code.
    #[track_caller]
    pub(crate) fn code(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "{self}");
        self
    }

    /// Asserts that it was done, also where something needs a hand.
    #[track_caller]
    pub(crate) fn done(self) -> Self {
        assert!(matches!(self.code, Some(0 | 1)), "{self}");
        self
    }

    /// Asserts all of standard output.
    #[track_caller]
    pub(crate) fn stdout(self, text: &str) -> Self {
        assert_eq!(self.stdout, text, "{self}");
        self
    }

    /// Asserts all of standard error.
    #[track_caller]
    pub(crate) fn stderr(self, text: &str) -> Self {
        assert_eq!(self.stderr, text, "{self}");
        self
    }

    /// Asserts that both together hold a text.
    #[track_caller]
    pub(crate) fn says(self, text: &str) -> Self {
        let both = format!("{}{}", self.stdout, self.stderr);
        // A sentence may be broken over lines.
        let unbroken: Vec<&str> = both.split_whitespace().collect();
        let found = both.contains(text) || unbroken.join(" ").contains(text);
        assert!(found, "`{text}` is not in\n{self}");
        self
    }

    /// Standard output.
    pub(crate) fn out(&self) -> &str {
        &self.stdout
    }

    /// Standard error.
    pub(crate) fn err(&self) -> &str {
        &self.stderr
    }

    /// Standard output as JSON.
    #[track_caller]
    pub(crate) fn json(self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("{error}: {self}"))
    }
}

impl std::fmt::Display for Ran {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let code = self.code;
        let (what, out, err) = (&self.what, &self.stdout, &self.stderr);
        write!(
            to,
            "{what}\ncode {code:?}\n--- stdout\n{out}\n--- stderr\n{err}"
        )
    }
}

/// Says something to whoever runs the tests by hand.
pub(crate) fn say(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// The file name of each refusal, without its folder, with the reason: `name: reason`.
pub(crate) fn refused(answer: &Value) -> Vec<String> {
    let list = answer["refused"].as_array().expect("`refused` is a list");
    let line = |it: &Value| {
        let file = it["file"].as_str().unwrap();
        let name = file.rsplit('/').next().unwrap();
        format!("{name}: {}", it["reason"].as_str().unwrap())
    };
    list.iter().map(line).collect()
}
