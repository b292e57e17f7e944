//! The marking page as a person uses it: the program serves it, a real browser walks through it (`tests/browser/mark_*.mjs`), and
//! the sidecars on the disk are held against what was done.

use std::fs;
use std::io::BufRead as _;
use std::io::BufReader;
use std::io::Write as _;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;

use serde_json::Value;
use serde_json::json;

use crate::browser;
use crate::samples;
use crate::samples::Exif;
use crate::shop::Shop;

/// The program, serving; ended when dropped.
struct Serving {
    child: Child,
    address: String,
}

impl Serving {
    fn of(book: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_asfound"))
            .args(["mark", "26-001", "--no-open"])
            .env_clear()
            .env("ASFOUND_NOW", "2026-05-26T09:00:00Z")
            .env("ASFOUND_BOOK", book)
            .env("TZ", "UTC")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        let out = child.stdout.take().unwrap();
        BufReader::new(out).read_line(&mut line).unwrap();
        let address = line.trim().to_owned();
        assert!(address.starts_with("http://127.0.0.1:"), "{address}");
        Self { child, address }
    }

    /// The most memory the program has held so far, MB; `None` where the system does not tell.
    fn most_memory(&self) -> Option<u64> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find_map(|it| it.strip_prefix("VmHWM:"))?;
        let kb: u64 = line.trim().strip_suffix(" kB")?.trim().parse().ok()?;
        Some(kb / 1024)
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Runs a script of `tests/browser` to its end; it prints one JSON object, or asks with `--acts` for the server to be stopped and started.
fn walk(script: &str, book: &Path, words: &[&str]) -> Option<Value> {
    if std::env::var_os("ASFOUND_BROWSER").is_none() {
        browser::leave_out();
        return None;
    }
    let _one = browser::one_at_a_time();
    let mut serving = Some(Serving::of(book));
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut node = Command::new("node")
        .arg(root.join("tests/browser").join(script))
        .arg(&serving.as_ref().unwrap().address)
        .args(words)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("node starts: `bash tests/run` brings it");
    let mut answers = node.stdin.take().unwrap();
    let mut text = String::new();
    for line in BufReader::new(node.stdout.take().unwrap()).lines() {
        let line = line.unwrap();
        let asked = serde_json::from_str::<Value>(&line).ok();
        match asked.as_ref().and_then(|it| it["ask"].as_str()) {
            Some("stop") => {
                serving = None;
                writeln!(answers).unwrap();
            }
            Some("start") => {
                serving = Some(Serving::of(book));
                writeln!(answers, "{}", serving.as_ref().unwrap().address).unwrap();
            }
            _ => text.push_str(&line),
        }
    }
    assert!(node.wait().unwrap().success(), "{script}: {text}");
    let most = serving.and_then(|it| it.most_memory());
    assert!(most.is_none_or(|it| it < 150), "{script}: {most:?} MB");
    Some(serde_json::from_str(&text).expect("the script prints one JSON object"))
}

/// Left, top, width and height of a box, percent.
fn boxed(region: &Value) -> [f64; 4] {
    let list = region["box"].as_array();
    let list = list.unwrap_or_else(|| panic!("no box: {region}"));
    [0, 1, 2, 3].map(|n| list[n].as_f64().unwrap())
}

/// How far two boxes lie apart at most, percent, each edge for itself.
fn apart(a: [f64; 4], b: [f64; 4]) -> f64 {
    let edges = |it: [f64; 4]| [it[0], it[1], it[0] + it[2], it[1] + it[3]];
    let (a, b) = (edges(a), edges(b));
    (0..4).map(|n| (a[n] - b[n]).abs()).fold(0.0, f64::max)
}

/// The bound for what a person draws on the shown picture: 0.3 % of its side, and the pixel that a hand cannot be below.
fn bound(pixel: &Value) -> f64 {
    let of = |n: usize| pixel[n].as_f64().unwrap();
    0.3_f64.max(of(0).max(of(1)))
}

/// A rectangle that is seen in the upright picture, percent: left, top, width, height.
const SEEN: [f64; 4] = [62.5, 12.5, 15.0, 25.0];

/// A photo of 1600 x 1200 upright with a magenta rectangle, as a camera held in this way stores it.
fn turned(orientation: u16) -> Vec<u8> {
    let (width, height) = (1600_u32, 1200_u32);
    let mut upright = samples::pixels(width, height, u32::from(orientation));
    let edge = |n: usize, side: u32| (SEEN[n] / 100.0 * f64::from(side)).round() as u32;
    for y in edge(1, height)..edge(1, height) + edge(3, height) {
        for x in edge(0, width)..edge(0, width) + edge(2, width) {
            let at = (3 * (y * width + x)) as usize;
            upright[at..at + 3].copy_from_slice(&[255, 0, 255]);
        }
    }
    let (wide, high, stored) = samples::held(width, height, &upright, orientation);
    let mut exif = Exif::taken(&format!("2026:05:03 10:{orientation:02}:00"));
    exif.orientation = Some(orientation);
    samples::jpeg_of(wide, high, &stored, Some(&exif.block()))
}

#[test]
fn a_box_drawn_round_what_is_seen_lands_there_however_the_camera_was_held() {
    let shop = Shop::with_piece();
    for orientation in 1..=8 {
        shop.file(format!("IMG_{orientation}.jpg"), &turned(orientation));
    }
    shop.import();
    let numbers: Vec<String> = (1..=8).map(|it| it.to_string()).collect();
    let words: Vec<&str> = numbers.iter().map(String::as_str).collect();
    let Some(found) = walk("mark_turns.mjs", &shop.path("book"), &words) else {
        return;
    };
    assert_eq!(found["errors"], json!([]));
    for no in numbers {
        let it = &found["photos"][&no];
        let off = apart(boxed(&it["saved"]), SEEN);
        assert!(off <= bound(&it["pixel"]), "held {no}: {off} % off, {it}");
        let name = shop.stored(&format!("1 purchase 2026-05-03/IMG_{no}.jpg.toml"));
        let text = fs::read_to_string(name).unwrap();
        assert!(
            text.contains("tag = \"dent\"") && text.contains("box = ["),
            "{text}"
        );
    }
}
