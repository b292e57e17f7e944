//! What an import, its repetition and a report cost, and the same job by composed general-purpose tools.
//!
//! `cargo bench --bench import`; the tools that `peers.sh` names are compared with when they are installed.
//!
//! CPU time is compared, in turns of one run, because wall time on a shared machine says little; the figures are to
//! be read as ratios. The photos are made once, beside the build: 12 and 48 megapixels, noisy like those of a phone.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a program for the screen, and a test"
)]

use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Child;
use std::process::Command;
use std::process::ExitStatus;
use std::process::Stdio;
use std::thread::sleep;
use std::time::Duration;
use std::time::Instant;

use image::ExtendedColorType;
use image::ImageEncoder as _;
use image::codecs::png::PngEncoder;
use jpeg_encoder::ColorType;
use jpeg_encoder::Encoder;
use jpeg_encoder::SamplingFactor;

/// Photos of the shoot that is compared.
const SHOOT: usize = 40;
/// Times the shoot is taken in, in turns with the tools.
const TURNS: usize = 3;
/// Findings in the report.
const FINDINGS: usize = 20;
/// Photos of the shoot that is taken in again.
const MANY: usize = 500;
/// Clock ticks a second in the files of Linux's `/proc`.
const TICK_MS: f64 = 10.0;
/// The most memory that an import may hold, MB.
const MEMORY: f64 = 400.0;

/// What a run of a program has cost.
#[derive(Clone, Copy)]
struct Cost {
    /// User and system time of it and its children, ms.
    cpu: f64,
    /// Wall time, ms.
    wall: f64,
    /// The most memory it held, MB; of the program alone.
    peak: f64,
}

fn main() {
    // `cargo test --benches` only wants to know that it starts.
    if !std::env::args().any(|it| it == "--bench") {
        return;
    }
    let made = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("bench-photos");
    let shoot = folder(&made, "shoot", SHOOT, |n| photo(4000, 3000, n));
    let large = folder(&made, "large", 6, |n| photo(8000, 6000, n));
    let many = folder(&made, "many", MANY, |n| photo(640, 480, n));
    let bytes: u64 = pictures(&shoot)
        .iter()
        .map(|it| fs::metadata(it).unwrap().len())
        .sum();
    println!(
        "{SHOOT} photos of 12 MP, {:.2} MB each",
        bytes as f64 / 1e6 / SHOOT as f64
    );
    against_peers(&shoot);
    again(&many);
    report(&shoot);
    memory(&large, &made);
}

/// Import and tools in turns: A B C A B C.
fn against_peers(shoot: &Path) {
    let (mut ours, mut from_middle, mut from_originals) = (vec![], vec![], vec![]);
    for turn in 1..=TURNS {
        let book = Book::new();
        let own = book.import(shoot);
        ours.push(own.cpu / SHOOT as f64);
        let mut line = format!(
            "turn {turn}: import {:.0} ms CPU a photo",
            own.cpu / SHOOT as f64
        );
        for (small_from, all) in [
            ("middle", &mut from_middle),
            ("originals", &mut from_originals),
        ] {
            let Some(cost) = peers(shoot, small_from) else {
                continue;
            };
            all.push(cost.cpu / SHOOT as f64);
            line += &format!(
                "; tools, small from {small_from}: {:.0}, ratio {:.2}",
                cost.cpu / SHOOT as f64,
                own.cpu / cost.cpu
            );
        }
        println!("{line}; peak {:.0} MB", own.peak);
    }
    println!("import, CPU a photo: {:.0} ms (median)", median(&mut ours));
    for (name, all) in [
        ("middle", &mut from_middle),
        ("originals", &mut from_originals),
    ] {
        if all.is_empty() {
            println!("tools (small from {name}): left out, not all are installed; see peers.sh");
            continue;
        }
        let theirs = median(all);
        let ratio = median(&mut ours) / theirs;
        println!("tools (small from {name}): {theirs:.0} ms; import / tools {ratio:.2}");
    }
}

/// The composed tools on the same folder; `None` when they are not installed.
fn peers(shoot: &Path, small_from: &str) -> Option<Cost> {
    let out = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/peers.sh");
    let mut command = Command::new("bash");
    command.arg(script).arg(shoot).arg(out.path());
    command.env("SMALL_FROM", small_from);
    let (cost, status) = run(&mut command);
    if status.code() == Some(3) {
        return None;
    }
    assert!(status.success(), "peers.sh failed");
    assert_eq!(pictures(&out.path().join("small")).len(), SHOOT);
    Some(cost)
}

/// The unchanged shoot once more.
fn again(many: &Path) {
    let book = Book::new();
    let first = book.import(many);
    let second = book.import(many);
    let hundreds = MANY as f64 / 100.0;
    println!(
        "{MANY} photos of 0.3 MP, per 100: first {:.0} ms CPU, {:.0} ms wall; again {:.0} ms CPU, {:.0} ms wall",
        first.cpu / hundreds,
        first.wall / hundreds,
        second.cpu / hundreds,
        second.wall / hundreds
    );
}

/// The report of the shoot: the first one, and once more with its pictures at hand.
fn report(shoot: &Path) {
    let book = Book::new();
    book.import(shoot);
    for name in ["first", "again"] {
        let page = book.folder.path().join("page.html");
        let cost = book.report(&page);
        let text = fs::read_to_string(&page).unwrap();
        let last = format!("F{FINDINGS}");
        assert!(text.contains(&last), "the report has {FINDINGS} findings");
        println!(
            "report of {SHOOT} photos and {FINDINGS} findings, {name}: {:.0} ms CPU, {:.0} ms wall, {:.1} MB, peak {:.0} MB",
            cost.cpu,
            cost.wall,
            text.len() as f64 / 1e6,
            cost.peak
        );
    }
}

/// Peak memory with large photos, and with pictures of 16 bits that would not fit decoded whole.
fn memory(large: &Path, made: &Path) {
    let cost = Book::new().import(large);
    println!("6 photos of 48 MP: peak {:.0} MB", cost.peak);
    let phone = folder(made, "200 MP", 1, |n| photo(16_320, 12_240, n));
    let cost = Book::new().import(&phone);
    println!("a JPEG of 200 MP: peak {:.0} MB", cost.peak);
    assert!(cost.peak < MEMORY, "200 MP: {:.0} MB", cost.peak);
    for (name, width, height) in [("60 MP", 10_000, 6_000), ("119 MP", 12_600, 9_450)] {
        let deep = folder(made, name, 1, |_| deep(width, height));
        let book = Book::new();
        let cost = book.import(&deep);
        println!("a PNG of 16 bits, {name}: peak {:.0} MB", cost.peak);
        assert!(cost.peak < MEMORY, "{name}: {:.0} MB", cost.peak);
        assert_eq!(pictures(&book.shoot()).len(), 1, "{name} was taken in");
    }
}

/// A PNG of 16 bits a colour, soft light and grain.
fn deep(width: u32, height: u32) -> Vec<u8> {
    let value = |n: u64| (n % u64::from(width) * 5 + n / u64::from(width) * 3) as u16;
    let pixels = (0..u64::from(width) * u64::from(height)).map(value);
    let rgb: Vec<u8> = pixels
        .flat_map(|it| [it, it / 2, it / 3])
        .flat_map(u16::to_ne_bytes)
        .collect();
    let mut png = Vec::new();
    let encoder = PngEncoder::new(&mut png);
    encoder
        .write_image(&rgb, width, height, ExtendedColorType::Rgb16)
        .unwrap();
    png
}

/// A stock book in a throw-away folder.
struct Book {
    folder: tempfile::TempDir,
}

impl Book {
    fn new() -> Self {
        let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
        let it = Self { folder };
        it.asfound(&["new-book", it.path().to_str().unwrap()]);
        let told = ["--number", "26-001", "--size", "900x1050x480mm"];
        let piece = ["intake", "a chest", "--form", "chest_of_drawers"];
        it.asfound(&[piece.as_slice(), &told].concat());
        it
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("book")
    }

    /// The folder of its first shoot.
    fn shoot(&self) -> PathBuf {
        let folders = |it: &Path| {
            let all = fs::read_dir(it).unwrap().map(|it| it.unwrap().path());
            all.filter(|it| it.is_dir()).collect::<Vec<_>>()
        };
        let shoots = folders(&self.path())
            .into_iter()
            .flat_map(|it| folders(&it));
        shoots.min().unwrap()
    }

    fn import(&self, photos: &Path) -> Cost {
        let order = ["--piece", "26-001", "--stage", "purchase"];
        let paths = ["import", photos.to_str().unwrap()];
        self.asfound(&[paths.as_slice(), &order].concat())
    }

    fn report(&self, page: &Path) -> Cost {
        let _ = fs::remove_file(page);
        let out = page.to_str().unwrap();
        self.asfound(&["report", "26-001", "--draft", "--out", out])
    }

    /// Runs the program; 1 only means that something should be looked at.
    fn asfound(&self, words: &[&str]) -> Cost {
        let mut command = Command::new(env!("CARGO_BIN_EXE_asfound"));
        command.env("ASFOUND_BOOK", self.path()).args(words);
        let (cost, status) = run(&mut command);
        assert!(matches!(status.code(), Some(0 | 1)), "{words:?}: {status}");
        cost
    }
}

/// Runs a program and takes its cost.
fn run(command: &mut Command) -> (Cost, ExitStatus) {
    command.stdout(Stdio::null()).stderr(Stdio::null());
    let (before, start) = (cpu_of_children(), Instant::now());
    let mut child = command.spawn().unwrap();
    let mut peak = 0.0;
    let status = loop {
        peak = high_water(&child).unwrap_or(peak);
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        sleep(Duration::from_millis(3));
    };
    let wall = start.elapsed().as_secs_f64() * 1000.0;
    let cpu = cpu_of_children() - before;
    (Cost { cpu, wall, peak }, status)
}

/// The most memory a living child has held so far, MB.
fn high_water(child: &Child) -> Option<f64> {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = status.lines().find(|it| it.starts_with("VmHWM:"))?;
    let kib: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib * 1024.0 / 1e6)
}

/// User and system time of all children that have ended, and of theirs, ms (proc(5), `cutime` and `cstime`).
fn cpu_of_children() -> f64 {
    let stat = fs::read_to_string("/proc/self/stat").expect("this benchmark runs on Linux");
    let (_, fields) = stat.rsplit_once(") ").unwrap();
    let fields: Vec<&str> = fields.split(' ').collect();
    let ticks = |n: usize| fields[n - 3].parse::<f64>().unwrap();
    (ticks(16) + ticks(17)) * TICK_MS
}

fn median(all: &mut [f64]) -> f64 {
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}

/// The photos in a folder, sorted.
fn pictures(folder: &Path) -> Vec<PathBuf> {
    let all = fs::read_dir(folder).unwrap().map(|it| it.unwrap().path());
    let mut all: Vec<PathBuf> = all
        .filter(|it| it.extension().is_some_and(|it| it == "jpg"))
        .collect();
    all.sort();
    all
}

/// A folder of `count` photos, made by as many threads as there are cores; kept for the next run.
fn folder(
    parent: &Path,
    name: &str,
    count: usize,
    make: impl Fn(usize) -> Vec<u8> + Sync,
) -> PathBuf {
    let folder = parent.join(name);
    if folder.is_dir() {
        return folder;
    }
    let part = parent.join(format!("{name}.part"));
    fs::create_dir_all(&part).unwrap();
    let threads = std::thread::available_parallelism().map_or(2, usize::from);
    std::thread::scope(|scope| {
        for first in 0..threads {
            let (make, part) = (&make, &part);
            scope.spawn(move || {
                for n in (first..count).step_by(threads) {
                    let photo = part.join(format!("P{n:04}.jpg"));
                    fs::write(&photo, make(n)).unwrap();
                    if n < FINDINGS {
                        fs::write(photo.with_extension("jpg.toml"), sidecar(n)).unwrap();
                    }
                }
            });
        }
    });
    fs::rename(&part, &folder).unwrap();
    folder
}

/// A sidecar with one new finding.
fn sidecar(n: usize) -> String {
    format!(
        "parts = [\"top\"]\n\n[[mark]]\ntag = \"scratch_wood\"\nlevel = 2\n\
        part = \"top\"\nbox = [{}, 40, 6, 5]\nnote = \"A scratch.\"\n",
        5 + 4 * n
    )
}

/// A photo like those of a phone at quality 90: soft light, grain of wood, noise of the sensor; about 2.5 bits a pixel.
fn photo(width: usize, height: usize, n: usize) -> Vec<u8> {
    let mut dice = 0x9e37_79b9_7f4a_7c15_u64 ^ (n as u64 + 1) << 17;
    let mut rgb = Vec::with_capacity(width * height * 3);
    // The grain changes from column to column and drifts slowly downwards.
    let grain: Vec<f32> = (0..width + height)
        .map(|x| {
            let x = (x + 97 * n) as f32;
            14.0 * (x * 0.031).sin() + 9.0 * (x * 0.17).sin() + 5.0 * (x * 0.61).sin()
        })
        .collect();
    for y in 0..height {
        let light = 60.0 * (y as f32 / height as f32);
        for x in 0..width {
            dice ^= dice << 13;
            dice ^= dice >> 7;
            dice ^= dice << 17;
            // The sum of four bytes is close to a bell.
            let bell: u32 = dice.to_le_bytes()[..4]
                .iter()
                .map(|it| u32::from(*it))
                .sum();
            let noise = (bell as f32 - 510.0) * NOISE;
            let value = 110.0 + light + grain[x + y / 16] + noise;
            let tint = (dice >> 32 & 7) as f32 - 3.5;
            rgb.extend([value + 30.0 + tint, value, value - 40.0 - tint].map(|it| it as u8));
        }
    }
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 90);
    encoder.set_sampling_factor(SamplingFactor::R_4_2_0);
    let time = format!("2026:05:03 10:{:02}:{:02}", n / 60 % 60, n % 60);
    let exif = samples::Exif::taken(&time).block();
    encoder.add_exif_metadata(&exif).unwrap();
    encoder
        .encode(&rgb, width as u16, height as u16, ColorType::Rgb)
        .unwrap();
    bytes
}

/// Grey levels of noise for each step of the dice, which gives photos of 3.9 MB at 12 megapixels.
const NOISE: f32 = 0.05;
