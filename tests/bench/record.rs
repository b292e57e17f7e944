//! What a large book costs: the list of all its pieces, and the survey of one of them.
//!
//! `cargo bench --bench record`. The book has 10,000 pieces of 50 photos and 8 findings, and one piece of 200 photos and
//! 80 findings. The record room writes one small piece and the large one; SQL copies the small one 9,999 times. Small
//! pieces have no files, the large one has its sidecars. Files of the book are in the system's cache, SQLite's own cache
//! is empty in each turn, as it is when a command starts.
//!
//! CPU and wall time, medians of some turns; to be read as ratios to the peer in the same run.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a program for the screen, and a test"
)]

use std::fs;
use std::path::Path;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;
use std::time::UNIX_EPOCH;

use asfound::assess;
use asfound::assess::piece_record::PieceRecord;
use asfound::kit::clock::ClockOff;
use asfound::kit::clock::Moment;
use asfound::kit::digest::Digest;
use asfound::mark;
use asfound::mark::Words;
use asfound::model::facts::Facts;
use asfound::model::ids::StockNo;
use asfound::model::photo::Shoot;
use asfound::model::piece::told::LackTold;
use asfound::model::settings::Settings;
use asfound::photo::Limits;
use asfound::photo::PhotoProcessor;
use asfound::record::NewPhoto;
use asfound::record::Record;
use asfound::record::SourceFile;
use asfound::record::Text;
use asfound::trade;

/// Small pieces.
const PIECES: u64 = 10_000;
/// Turns of what is measured.
const TURNS: usize = 21;
/// The small piece that is copied.
const SMALL: Kind = Kind {
    stock_no: "00-001",
    photos: 50,
    findings: 8,
};
/// The large piece.
const LARGE: Kind = Kind {
    stock_no: "99-001",
    photos: 200,
    findings: 80,
};

/// A piece to be written.
struct Kind {
    stock_no: &'static str,
    photos: u32,
    findings: u32,
}

fn main() {
    // `cargo test --benches` only wants to know that it starts.
    if !std::env::args().any(|it| it == "--bench") {
        return;
    }
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let book = folder.path().join("book");
    let begun = Instant::now();
    build(&book);
    let length = fs::metadata(book.join("book.db")).unwrap().len();
    println!(
        "{PIECES} pieces of {} photos and {} findings: book.db of {:.0} MB, built in {:.0} s",
        SMALL.photos,
        SMALL.findings,
        length as f64 / 1e6,
        begun.elapsed().as_secs_f64()
    );
    list(&book);
    survey(&book);
}

/// The list of pieces.
fn list(book: &Path) {
    let database = book.join("book.db");
    let ours = median(|| {
        let lines = Record::open(&database, Moment::now())
            .unwrap()
            .stock()
            .unwrap();
        assert_eq!(lines.len() as u64, PIECES + 1);
        assert_eq!(lines[0].photos, u64::from(SMALL.photos));
        assert_eq!(lines[0].findings, u64::from(SMALL.findings));
        let last = lines.last().unwrap();
        assert_eq!(last.photos, u64::from(LARGE.photos));
        assert_eq!(last.findings, u64::from(LARGE.findings));
    });
    let counted = median(|| plain(&database, COUNTED));
    let scanned = median(|| plain(&database, SCANNED));
    print("the list, from the record", &ours, None);
    print("  peer: plain query, counts by index", &counted, None);
    print("  peer: plain query, counts by scan", &scanned, None);
    println!(
        "  list / peer, wall: {:.2} by index, {:.2} by scan",
        ours.wall / counted.wall,
        ours.wall / scanned.wall
    );
    let bare = median(|| asfound(book, &["words", "forms"]));
    print("asfound words forms, which opens no book", &bare, None);
    let whole = median(|| asfound(book, &["stock"]));
    print("asfound stock", &whole, Some(&bare));
    let whole = median(|| asfound(book, &["stock", "--json"]));
    print("asfound stock --json", &whole, Some(&bare));
}

/// Counts all rows of each piece through the indexes.
const COUNTED: &str = "SELECT stock_no, (SELECT count(*) FROM photo WHERE photo.piece = piece.id),
    (SELECT count(*) FROM finding WHERE finding.piece = piece.id) FROM piece ORDER BY stock_no";
/// Groups all rows.
const SCANNED: &str = "SELECT stock_no, photos, findings FROM piece
    LEFT JOIN (SELECT piece, count(name) AS photos FROM photo GROUP BY piece) AS p ON p.piece = piece.id
    LEFT JOIN (SELECT piece, count(tag) AS findings FROM finding GROUP BY piece) AS f ON f.piece = piece.id
    ORDER BY stock_no";

fn plain(database: &Path, ask: &str) {
    let db = rusqlite::Connection::open(database).unwrap();
    let mut ask = db.prepare(ask).unwrap();
    let rows = ask.query_map([], |row| {
        Ok((
            row.get::<_, String>(0)?,
            row.get::<_, u64>(1)?,
            row.get::<_, u64>(2)?,
        ))
    });
    let all: Vec<_> = rows.unwrap().map(Result::unwrap).collect();
    assert_eq!(all.len() as u64, PIECES + 1);
    assert_eq!(all[0].1, u64::from(SMALL.photos));
}

/// The survey of the large piece.
fn survey(book: &Path) {
    let database = book.join("book.db");
    let stock_no: StockNo = LARGE.stock_no.parse().unwrap();
    let read = median(|| {
        case(&database, &stock_no);
    });
    let ours = median(|| {
        let it = assess::assess(&case(&database, &stock_no), trade::book());
        assert_eq!(it.findings.len(), LARGE.findings as usize);
        assert_eq!(it.photos.len(), LARGE.photos as usize);
    });
    println!(
        "one piece of {} photos and {} findings",
        LARGE.photos, LARGE.findings
    );
    print("  its rows, from the record", &read, None);
    print("  with what they mean", &ours, Some(&read));
    let bare = median(|| asfound(book, &["words", "forms"]));
    let whole = median(|| asfound(book, &["survey", LARGE.stock_no, "--json"]));
    print("asfound survey, sidecars looked at", &whole, Some(&bare));
}

fn case(database: &Path, stock_no: &StockNo) -> PieceRecord {
    let record = Record::open(database, Moment::now()).unwrap();
    let sidecars = record.sidecars(stock_no).unwrap().into_iter();
    PieceRecord {
        piece: record.piece(stock_no).unwrap(),
        lacks_told: LackTold::all(&record.pieces_told(stock_no).unwrap()),
        shoots: record.shoots(stock_no).unwrap(),
        photos: record.photos(stock_no).unwrap(),
        removed: record.taken_out(stock_no).unwrap(),
        findings: record.findings(stock_no).unwrap(),
        repairs: record.repairs(stock_no).unwrap(),
        complaints: sidecars.flat_map(|it| it.complaints).collect(),
        settings: Settings::usual("EUR".parse().unwrap()),
    }
}

fn build(book: &Path) {
    let new = ["new-book", book.to_str().unwrap()];
    asfound(book.parent().unwrap(), &new);
    for kind in [&SMALL, &LARGE] {
        let told = ["--form", "chest_of_drawers", "--size", "900x1050x480mm"];
        let number = ["intake", "a chest", "--number", kind.stock_no];
        asfound(book, &[&number[..], &told].concat());
    }
    write(book, &SMALL);
    let folder = piece_folder(book, &SMALL);
    fs::remove_dir_all(&folder).unwrap();
    fs::create_dir(&folder).unwrap();
    multiply(&book.join("book.db"));
    write(book, &LARGE);
}

/// Writes a piece through the record room, with its sidecars as files.
fn write(book: &Path, kind: &Kind) {
    let stock_no: StockNo = kind.stock_no.parse().unwrap();
    let mut record = Record::open(&book.join("book.db"), Moment::now()).unwrap();
    let exif = samples::Exif::taken("2026:05:03 10:02:11");
    let bytes = samples::jpeg(640, 480, &exif);
    let facts = PhotoProcessor::new(Limits::default())
        .process(&bytes)
        .unwrap()
        .facts;
    for (n, stage) in ["purchase", "sale"].iter().enumerate() {
        let shoot = Shoot {
            no: n as u32 + 1,
            stage: stage.parse().unwrap(),
            day: format!("2026-0{}-03", n + 5).parse().unwrap(),
            folder: format!("{} {stage}", n + 1),
        };
        fs::create_dir_all(piece_folder(book, kind).join(&shoot.folder)).unwrap();
        record.add_shoot(&stock_no, &shoot).unwrap();
        let half = kind.photos / 2;
        for photo in 0..half {
            let no = n as u32 * half + photo;
            add(&mut record, book, kind, &shoot, &facts, no);
        }
    }
    drop(record);
    asfound(book, &["survey", kind.stock_no]);
    let record = Record::open(&book.join("book.db"), Moment::now()).unwrap();
    let findings = record.findings(&stock_no).unwrap();
    assert_eq!(findings.len(), kind.findings as usize, "{findings:?}");
}

fn add(record: &mut Record, book: &Path, kind: &Kind, shoot: &Shoot, facts: &Facts, no: u32) {
    let name = format!("IMG_{no:04}.jpg");
    let text = sidecar(kind, no);
    let path = piece_folder(book, kind).join(&shoot.folder);
    let path = path.join(format!("{name}.toml"));
    fs::write(&path, &text).unwrap();
    let modified = fs::metadata(&path).unwrap().modified().unwrap();
    let since = modified.duration_since(UNIX_EPOCH).unwrap().as_nanos();
    let stamp = i64::try_from(since).unwrap();
    let now: Moment = "2026-07-01T09:00:00Z".parse().unwrap();
    let read = mark::read(&name, &text, &words()).unwrap();
    let new = NewPhoto {
        shoot: shoot.no,
        name: &name,
        source_name: &name,
        digest: Digest::of(name.as_bytes()),
        bytes: 4_000_000,
        facts,
        clock_off: ClockOff::default(),
        imported: now,
        sidecar: Text {
            text: &text,
            read: Ok(&read),
            entered: now,
            modified_ns: stamp,
            bytes: text.len() as u64,
        },
        source: &SourceFile {
            path: name.clone().into_bytes(),
            bytes: 4_000_000,
            modified_ns: stamp,
        },
    };
    record
        .add_photo(&kind.stock_no.parse().unwrap(), &new)
        .unwrap();
}

/// What a careful owner writes: a view, a note, a fault with level, size, place and note.
fn sidecar(kind: &Kind, no: u32) -> String {
    let finding = no % kind.findings;
    let tag = ["white_mark", "scratch_finish", "veneer_missing", "dent"][finding as usize % 4];
    let part = ["top", "side-left", "side-right", "drawer-1"][finding as usize / 4 % 4];
    format!(
        "view = \"front_whole\"\nparts = [\"top\", \"side-left\"]\nnote = \"light from the window on the left\"\n\n\
         [[mark]]\ntag = \"{tag}\"\npart = \"{part}\"\nwhich = \"the {finding}th from the left\"\nlevel = 2\n\
         size = \"70 mm\"\nbox = [12.5, 20, 14, 9]\nnote = \"seen against the light, about a hand from the edge\"\n"
    )
}

fn words() -> Words {
    let list = |words: &str| words.split_whitespace().map(str::to_owned).collect();
    Words {
        views: list("front_whole"),
        parts: list("top side-left side-right drawer-1"),
        faces: Vec::new(),
        faults: list("white_mark scratch_finish veneer_missing dent"),
        absences: Vec::new(),
        few_levels: Vec::new(),
        observations: Vec::new(),
        findings: Vec::new(),
        synonyms: Vec::new(),
        optional: Vec::new(),
    }
}

/// Copies the first piece, whose rows are the only ones with a photo, until there are enough; the ids follow on.
fn multiply(database: &Path) {
    let db = rusqlite::Connection::open(database).unwrap();
    // The large piece was taken in before its photos: its row makes room, and keeps its number.
    let script = format!(
        "PRAGMA foreign_keys = OFF; PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;
         UPDATE piece SET id = 1000000 WHERE stock_no = '{large}';
         BEGIN;
         CREATE TEMP TABLE turn AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {more}) SELECT i FROM n;
         CREATE TEMP TABLE a_piece AS SELECT * FROM piece WHERE stock_no = '{small}';
         CREATE TEMP TABLE a_shoot AS SELECT * FROM shoot;
         CREATE TEMP TABLE a_photo AS SELECT * FROM photo;
         CREATE TEMP TABLE a_source AS SELECT * FROM source_seen;
         CREATE TEMP TABLE a_text AS SELECT * FROM sidecar_text;
         CREATE TEMP TABLE a_seen AS SELECT * FROM sidecar_seen;
         CREATE TEMP TABLE a_finding AS SELECT * FROM finding;
         INSERT INTO piece SELECT id + i, printf('%02d-%03d', 1 + i / 900, 1 + i % 900), title, form, folder || i, taken_in,
             json_set(told, '$.stock_no', printf('%02d-%03d', 1 + i / 900, 1 + i % 900), '$.folder', folder || i)
             FROM turn CROSS JOIN a_piece;
         INSERT INTO shoot SELECT id + i * 2, piece + i, no, stage, day, folder FROM turn CROSS JOIN a_shoot;
         INSERT INTO photo SELECT id + i * {photos}, piece + i, shoot + i * 2, no, name, source_name, digest, bytes, facts,
             clock_off, imported FROM turn CROSS JOIN a_photo;
         INSERT INTO source_seen SELECT piece + i, path, bytes, modified_ns, digest FROM turn CROSS JOIN a_source;
         INSERT INTO sidecar_text SELECT id + i * {photos}, photo + i * {photos}, absorbed, text, content
             FROM turn CROSS JOIN a_text;
         INSERT INTO sidecar_seen SELECT photo + i * {photos}, modified_ns, bytes, in_force + i * {photos}, complaints
             FROM turn CROSS JOIN a_seen;
         INSERT INTO finding SELECT piece + i, no, part, tag, which FROM turn CROSS JOIN a_finding;
         COMMIT;",
        large = LARGE.stock_no,
        small = SMALL.stock_no,
        more = PIECES - 1,
        photos = SMALL.photos,
    );
    db.execute_batch(&script).unwrap();
    db.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))
        .unwrap();
    let broken: i64 = db
        .query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| {
            row.get(0)
        })
        .unwrap();
    assert_eq!(broken, 0, "the copies refer to each other");
}

fn piece_folder(book: &Path, kind: &Kind) -> std::path::PathBuf {
    let found = fs::read_dir(book).unwrap().map(|it| it.unwrap());
    let own = |it: &fs::DirEntry| it.file_name().to_string_lossy().starts_with(kind.stock_no);
    found.filter(own).map(|it| it.path()).next().unwrap()
}

/// Runs the program to its end in `folder`; exit code 1 is no failure.
fn asfound(folder: &Path, words: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_asfound"));
    let command = command.args(words).current_dir(folder);
    let done = command.stdin(Stdio::null()).output().unwrap();
    let code = done.status.code();
    assert!(
        code == Some(0) || code == Some(1),
        "{words:?}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
}

/// What something cost.
struct Cost {
    /// CPU time of this process and of its children that have ended, ms; to 10 ms only for children.
    cpu: f64,
    /// Wall time, ms.
    wall: f64,
}

/// CPU time is the mean of all turns, wall time the median.
fn median(mut job: impl FnMut()) -> Cost {
    job();
    let mut walls = Vec::new();
    let before = cpu();
    for _ in 0..TURNS {
        let begun = Instant::now();
        job();
        walls.push(begun.elapsed());
    }
    let used = (cpu() - before).as_secs_f64() * 1e3 / TURNS as f64;
    walls.sort();
    Cost {
        cpu: used,
        wall: walls[TURNS / 2].as_secs_f64() * 1e3,
    }
}

/// From Linux's `/proc/self/stat`: user and system time of this process and of children waited for, ticks of 10 ms.
fn cpu() -> Duration {
    let stat = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after = stat.rsplit(')').next().unwrap_or_default();
    let fields = after.split_whitespace().skip(11).take(4);
    let ticks: u64 = fields.filter_map(|it| it.parse::<u64>().ok()).sum();
    Duration::from_millis(ticks * 10)
}

fn print(what: &str, cost: &Cost, to: Option<&Cost>) {
    let ratio = to.map_or(String::new(), |it| {
        format!("; wall, ratio {:.2}", cost.wall / it.wall)
    });
    println!(
        "{what:<40} {:>7.1} ms CPU {:>7.1} ms wall{ratio}",
        cost.cpu, cost.wall
    );
}
