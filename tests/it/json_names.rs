//! The names that scripts read: every key of every command's `--json` on the demo's book, with the kinds of its values.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

use crate::demo::asfound;
use crate::demo::demo;
use samples::Exif;

/// Where the names are kept; `ASFOUND_ACCEPT=1` writes them anew.
const NAMES: &str = "tests/cases/json/names.txt";

/// Kinds of values, by the path of keys that leads to them: `findings[].history[].day`.
type Names = BTreeMap<String, BTreeSet<&'static str>>;

/// Adds the names of a value that stands at `path`.
fn name(path: &str, value: &Value, names: &mut Names) {
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "truth",
        Value::Number(_) => "number",
        Value::String(_) => "text",
        Value::Array(_) => "list",
        Value::Object(_) => "object",
    };
    names.entry(path.to_owned()).or_default().insert(kind);
    match value {
        Value::Array(list) => list
            .iter()
            .for_each(|it| name(&format!("{path}[]"), it, names)),
        Value::Object(map) => map
            .iter()
            .for_each(|(key, it)| name(&format!("{path}.{key}"), it, names)),
        _ => {}
    }
}

/// A copy of the demo's book, and what else the commands need beside it.
struct Desk {
    folder: tempfile::TempDir,
    book: PathBuf,
    names: Names,
}

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let book = folder.path().join("copy");
        let done = Command::new("cp")
            .arg("-r")
            .arg(&demo().book)
            .arg(&book)
            .status()
            .unwrap();
        assert!(done.success());
        Self {
            folder,
            book,
            names: Names::new(),
        }
    }

    fn path(&self, name: &str) -> String {
        self.folder.path().join(name).display().to_string()
    }

    /// Runs a command and notes the names of its answer below `what`.
    fn ask(&mut self, what: &str, words: &[&str], code: i32) -> Value {
        let all = [words, &["--json"]].concat();
        let (got, out) = asfound(Some(&self.book), &all);
        assert_eq!(got, code, "{words:?}\n{out}");
        let answer: Value =
            serde_json::from_str(&out).unwrap_or_else(|why| panic!("{words:?}: {why}\n{out}"));
        name(what, &answer, &mut self.names);
        answer
    }

    /// Lays files beside the book.
    fn file(&self, name: &str, bytes: &[u8]) -> String {
        let path = PathBuf::from(self.path(name));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, bytes).unwrap();
        path.display().to_string()
    }

    /// The first file below the book whose name ends so.
    fn first(&self, end: &str) -> PathBuf {
        fn look(folder: &Path, end: &str) -> Option<PathBuf> {
            let mut inside: Vec<PathBuf> = fs::read_dir(folder)
                .unwrap()
                .map(|it| it.unwrap().path())
                .collect();
            inside.sort();
            inside.into_iter().find_map(|it| {
                if it.is_dir() {
                    return look(&it, end);
                }
                it.to_str().unwrap().ends_with(end).then_some(it)
            })
        }
        look(&self.book, end).unwrap_or_else(|| panic!("no `{end}`"))
    }
}

/// Commands about the book, and what is told of pieces.
fn tell(desk: &mut Desk) {
    name("demo", &demo().answer, &mut desk.names);
    let other = desk.path("other");
    desk.ask("new-book", &["new-book", &other], 0);
    let stool = ["intake", "oak stool", "--form", "side_table"];
    let more = ["--size", "450x400x300mm", "--bought-for", "20"];
    desk.ask("intake", &[&stool[..], &more].concat(), 0);
    let sold = "--sold=strip_stain=340,360";
    let told = ["amend", "26-001", "--weight", "about 48 kg", sold];
    desk.ask("amend", &told, 0);
    let shots = ["shotlist", "26-001", "--stage", "return"];
    desk.ask("shotlist", &shots, 0);
    let shots = ["shotlist", "--form", "chest_of_drawers", "--stage"];
    desk.ask("shotlist", &[&shots[..], &["doorstep"]].concat(), 0);
    for kind in [
        "faults",
        "observations",
        "views",
        "parts",
        "forms",
        "methods",
        "paths",
        "woods",
        "channels",
        "askers",
        "claims",
    ] {
        desk.ask("words", &["words", kind], 0);
    }
}

/// Commands about photos and what they mean.
fn look(desk: &mut Desk) {
    desk.ask("survey", &["survey", "26-001"], 0);
    // One whose place was seen before without a word, and one beside which the part was said to be sound.
    desk.ask("where", &["where", "26-001", "F12"], 0);
    desk.ask("where", &["where", "26-001", "F11"], 0);
    let photo = samples::jpeg_seeded(160, 60, 7, &Exif::taken("2026:05:03 10:00:00"));
    desk.file("card/IMG_1.jpg", &photo);
    let mark = b"view = \"front_whole\"\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nlevel = 3\n";
    desk.file("card/IMG_1.jpg.toml", mark);
    desk.file("card/IMG_2.jpg", b"no picture");
    let card = desk.path("card");
    let words = ["import", &card, "--piece", "26-002", "--stage", "purchase"];
    desk.ask("import", &words, 1);
    let sidecar = desk.first("IMG_1.jpg.toml");
    fs::write(&sidecar, "view = \"frontwhole\"\n").unwrap();
    desk.ask("survey", &["survey", "26-002"], 1);
    desk.ask("report", &["report", "26-002"], 2);
    fs::remove_file(&sidecar).unwrap();
    desk.ask("survey", &["survey", "26-002"], 1);
    desk.ask("put-back", &["put-back", "26-002"], 0);
    desk.ask("export", &["export", "26-001", "--findings"], 0);
    let copies = desk.path("copies");
    let photos = ["export", "26-001", "--photos", &copies];
    desk.ask("export photos", &photos, 0);
    desk.ask("export marks", &["export", "26-001", "--marks"], 0);
    desk.ask("season", &["season", "26-001", "--now", "45"], 0);
    let board = ["season", "--wood", "black_walnut", "--width", "450mm"];
    desk.ask("season board", &board, 0);
    desk.ask("estimate", &["estimate", "26-001"], 1);
    desk.ask("estimate door", &["estimate", "26-002", "--door"], 1);
    let order = desk.file("order.txt", b"topcoat top\nsand top\nstrip top\n");
    let paths = [
        "--path",
        "top=strip_stain",
        "--path",
        "leg-front-left=fill_paint",
    ];
    let words = [&["estimate", "26-002", "--order", &order][..], &paths].concat();
    let sold = ["--sold", "strip_stain=340,360", "--seller-asks", "85"];
    desk.ask("estimate", &[&words[..], &sold].concat(), 1);
}

/// Commands that prove.
fn prove(desk: &mut Desk) {
    desk.ask("report", &["report", "26-001"], 0);
    let repair = ["repair", "26-001", "F11", "--method", "veneer_patch"];
    desk.ask("repair", &[&repair[..], &["--cost", "12"]].concat(), 1);
    let sale = ["sold", "26-001", "--on", "2026-05-17", "--price", "400"];
    desk.ask("sold", &sale, 0);
    let paper = desk.file("listing.html", b"as it stood");
    desk.ask("keep", &["keep", "26-001", &paper], 0);
    let out = ["remove", "26-001", "--photo", "12", "--why", "a neighbour"];
    desk.ask("remove", &out, 0);
    let shoot = ["amend", "26-002", "--shoot", "1", "--stage", "work"];
    desk.ask("amend shoot", &shoot, 0);
    let photo = ["amend", "26-002", "--photo", "1", "--stage", "sale"];
    desk.ask("amend photo", &photo, 0);
    let out = ["remove", "26-002", "--piece", "--why", "a try"];
    desk.ask("remove piece", &out, 0);
    desk.ask("survey", &["survey", "26-002"], 0);
    desk.ask("put-back piece", &["put-back", "26-002", "--piece"], 0);
    desk.ask("seal", &["seal"], 0);
    desk.ask("handover", &["handover", "26-001"], 0);
    let zip = desk.path("it.zip");
    let words = [
        "dossier",
        "26-001",
        "--claim",
        "transit_break",
        "--out",
        &zip,
    ];
    desk.ask("dossier", &words, 0);
    desk.ask("verify", &["verify"], 0);
    desk.ask("verify", &["verify", &zip], 0);
    let safe = desk.path("safe");
    desk.ask("backup", &["backup", &safe], 0);
    desk.ask("verify", &["verify", &safe], 0);
    desk.ask("restore", &["restore", &safe, &desk.path("again")], 0);
    fs::remove_file(desk.first("listing.html")).unwrap();
    desk.ask("backup", &["backup", &safe], 1);
    desk.ask("stock", &["stock"], 0);
}

fn text(names: &Names) -> String {
    let line = |(path, kinds): (&String, &BTreeSet<&str>)| {
        let kinds: Vec<&str> = kinds.iter().copied().collect();
        format!("{path} {}\n", kinds.join("|"))
    };
    names.iter().map(line).collect()
}

/// A name may be added, none may go; a value keeps its kinds, of which the demo need not show all.
#[test]
fn the_names_that_scripts_read_stay() {
    let mut desk = Desk::new();
    tell(&mut desk);
    look(&mut desk);
    prove(&mut desk);
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join(NAMES);
    if std::env::var_os("ASFOUND_ACCEPT").is_some() {
        fs::create_dir_all(kept.parent().unwrap()).unwrap();
        fs::write(&kept, text(&desk.names)).unwrap();
    }
    let mut wrong = Vec::new();
    for line in fs::read_to_string(&kept).unwrap().lines() {
        let (path, kinds) = line.rsplit_once(' ').unwrap();
        let known: BTreeSet<&str> = kinds.split('|').collect();
        let Some(now) = desk.names.get(path) else {
            wrong.push(format!("{path} is gone"));
            continue;
        };
        // A value that was never there in the demo may turn out to be of any kind.
        let was_never_there = known.iter().all(|it| *it == "null");
        let other: Vec<&&str> = now
            .iter()
            .filter(|it| **it != "null" && !known.contains(*it))
            .collect();
        if !was_never_there && !other.is_empty() {
            wrong.push(format!("{path} was {kinds}, is {other:?} too"));
        }
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}
