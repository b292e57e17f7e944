//! How fast the marking page of a piece with 500 photos is there, and how it draws.
//!
//! `cargo bench --bench page`. Peer: a plain page with the same 500 small pictures, served by Python's `http.server`, in the
//! same browser and the same run. Needs Chromium and Node with the packages that `bash tests/run` brings.
//!
//! Then an evening by the keystroke-level model: the demo's first two shoots laid, with their cards and sides, marked and looked at again,
//! once each by itself and once with what the page guesses, finds and repeats (`tests/browser/mark_evening.mjs`). `ASFOUND_BEFORE=PROGRAM`
//! does the same with another build first. How long the program looks for what it offers is told beside it: nobody's hands are busy then.
//!
//! Medians of some turns; to be read as ratios to the peer in the same run, and as how much a quiet machine allows.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a program for the screen, and a test"
)]

use std::fs;
use std::io::BufRead as _;
use std::io::BufReader;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;

use asfound::photo::Limits;
use asfound::photo::PhotoProcessor;
use serde_json::Value;

/// Photos of the piece; the last one has 12 megapixels.
const PHOTOS: u32 = 500;
const TURNS: u32 = 7;

/// A program in the background; ended when dropped.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let (book, peer) = (folder.path().join("book"), folder.path().join("peer"));
    shoot(&folder.path().join("card"), &peer);
    asfound(&book, &["new-book", book.to_str().unwrap()]);
    asfound(&book, &["intake", "bench", "--form", "side_table"]);
    let card = folder.path().join("card");
    let card = card.to_str().unwrap();
    asfound(
        &book,
        &["import", card, "--piece", "26-001", "--stage", "purchase"],
    );

    let mut call = command(&book, &["mark", "26-001", "--no-open"]);
    let mut served = Running(call.stdout(Stdio::piped()).spawn().unwrap());
    let mut address = String::new();
    let out = served.0.stdout.take().unwrap();
    BufReader::new(out).read_line(&mut address).unwrap();
    let mut python = Command::new("python3");
    python.args(["-u", "-m", "http.server", "0", "--bind", "127.0.0.1"]);
    let quiet = python.current_dir(&peer).stderr(Stdio::null());
    let mut plain = Running(quiet.stdout(Stdio::piped()).spawn().unwrap());
    let mut line = String::new();
    let out = plain.0.stdout.take().unwrap();
    BufReader::new(out).read_line(&mut line).unwrap();
    let port = line
        .split("port ")
        .nth(1)
        .and_then(|it| it.split(' ').next());

    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/page.mjs");
    let seen = Command::new("node")
        .arg(script)
        .arg(address.trim())
        .arg(format!("http://127.0.0.1:{}/", port.unwrap()))
        .arg(TURNS.to_string())
        .stderr(Stdio::inherit())
        .output()
        .unwrap();
    tell(&serde_json::from_slice(&seen.stdout).unwrap(), &served.0);
    evenings(folder.path());
}

/// An evening in each way, on a book of the demo in which nothing is said any more.
fn evenings(folder: &Path) {
    let demo = folder.join("demo");
    asfound(folder, &["demo", "--into", demo.to_str().unwrap()]);
    let walk = asfound::work::marking::MarkingSession {
        root: demo.clone(),
        stock_no: "26-001".parse().unwrap(),
    };
    let walk = walk.walk("2026-05-26T09:00:00Z".parse().unwrap()).unwrap();
    let truth = folder.join("truth.json");
    fs::write(&truth, serde_json::to_vec(&walk).unwrap()).unwrap();
    let before = std::env::var("ASFOUND_BEFORE").ok();
    let programs = before.iter().map(|it| ("before", it.as_str()));
    for (name, program) in programs.chain([("now", env!("CARGO_BIN_EXE_asfound"))]) {
        for way in ["plain", "swift"] {
            println!("{name}: {}", evening(program, &demo, &truth, way));
        }
    }
}

fn evening(program: &str, demo: &Path, truth: &Path, way: &str) -> String {
    let book = demo.with_extension(way);
    let _ = fs::remove_dir_all(&book);
    silent_copy(demo, &book);
    let mut call = Command::new(program);
    call.args(["mark", "26-001", "--no-open"])
        .env("ASFOUND_BOOK", &book)
        .env("ASFOUND_NOW", "2026-05-26T09:00:00Z");
    let mut served = Running(call.stdout(Stdio::piped()).spawn().unwrap());
    let mut address = String::new();
    let out = served.0.stdout.take().unwrap();
    BufReader::new(out).read_line(&mut address).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/mark_evening.mjs");
    let done = Command::new("node")
        .arg(script)
        .arg(address.trim())
        .arg(truth)
        .arg(way)
        .stderr(Stdio::inherit())
        .output()
        .unwrap();
    let it: Value = serde_json::from_slice(&done.stdout).unwrap();
    let number = |at: &str| it.pointer(at).and_then(Value::as_f64).unwrap_or(f64::NAN);
    format!(
        "evening, {way:<17} {:.1} min for 40 photos, {:.1} with their sides, {:.1} with their cards too (laying {:.0} s, {} sides {:.0} s, {} cards {:.0} s, {} of both nodded at and {} refused, {} marks {:.0} s, looking again {:.0} s, inner parts {:.0} s; {} of {} views right; looks for sides and cards {:.0} s, the longest {:.1} s)",
        number("/per_40/bare"),
        number("/per_40/sides"),
        number("/per_40/all"),
        number("/laying"),
        it["sides"]["all"],
        number("/sides/seconds"),
        it["cards"]["all"],
        number("/cards/seconds"),
        it["offered"],
        it["refused"],
        it["faults"],
        number("/marking"),
        number("/looking"),
        number("/inner"),
        it["right"],
        it["pictures"],
        number("/waited"),
        number("/longest"),
    )
}

/// A copy of a book whose sidecars say nothing.
fn silent_copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (path, to) = (entry.path(), to.join(entry.file_name()));
        let is_sidecar = path.to_string_lossy().ends_with(".jpg.toml");
        match path.is_dir() {
            true => silent_copy(&path, &to),
            false if is_sidecar => fs::write(to, "view = \"\"\nparts = []\n").unwrap(),
            false => drop(fs::copy(&path, &to).unwrap()),
        }
    }
}

fn tell(seen: &Value, served: &Child) {
    let of = |side: &str, name: &str| seen[side][name].as_f64().unwrap();
    println!("photos of the piece        {}", of("ours", "photos"));
    for (name, words) in [("first", "first paint"), ("largest", "largest paint")] {
        let (ours, peer) = (of("ours", name), of("peer", name));
        println!(
            "{words:<26} {ours:.0} ms, plain page {peer:.0} ms, ratio {:.2}",
            ours / peer
        );
    }
    println!("drawing of the piece there {:.0} ms", of("ours", "ready"));
    println!("answer to /walk            {:.0} ms", of("ours", "walk_ms"));
    println!("one save                   {:.0} ms", of("ours", "save_ms"));
    println!("drawing among 200 marks    {}", seen["drawing"]);
    let status = fs::read_to_string(format!("/proc/{}/status", served.id())).unwrap_or_default();
    let most = status.lines().find_map(|it| it.strip_prefix("VmHWM:"));
    println!(
        "memory of the program      {}",
        most.unwrap_or("not told").trim()
    );
}

/// Makes the photos, and a plain page of their small pictures.
fn shoot(card: &Path, peer: &Path) {
    fs::create_dir_all(card).unwrap();
    fs::create_dir_all(peer).unwrap();
    let mut page = "<!doctype html><meta charset=utf-8><title>Plain</title>".to_owned();
    for no in 1..=PHOTOS {
        let (width, height) = if no == PHOTOS {
            (4000, 3000)
        } else {
            (1600, 1200)
        };
        let time = format!("2026:05:03 {:02}:{:02}:00", 8 + no / 60, no % 60);
        let jpeg = samples::jpeg_seeded(width, height, no, &samples::Exif::taken(&time));
        let small = PhotoProcessor::new(Limits::default())
            .process(&jpeg)
            .unwrap()
            .thumb;
        fs::write(card.join(format!("IMG_{no:03}.jpg")), jpeg).unwrap();
        fs::write(peer.join(format!("{no}.jpg")), small.jpeg).unwrap();
        page.push_str(&format!(
            "<img src={no}.jpg loading=lazy width=160 height=120 alt=''>\n"
        ));
    }
    fs::write(peer.join("index.html"), page).unwrap();
}

fn command(book: &Path, words: &[&str]) -> Command {
    let mut call = Command::new(env!("CARGO_BIN_EXE_asfound"));
    call.args(words)
        .env("ASFOUND_BOOK", book)
        .env("ASFOUND_NOW", "2026-05-26T09:00:00Z");
    call
}

fn asfound(book: &Path, words: &[&str]) {
    let done = command(book, words).output().unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(
        matches!(done.status.code(), Some(0 | 1)),
        "{words:?}: {said}"
    );
}
