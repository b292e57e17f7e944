//! Pictures and sidecars changed at random: none may panic, hang, or eat the memory of the machine.
//!
//! `cargo bench --bench mutations`; `ASFOUND_MUTATIONS=10000000` makes more of them, `ASFOUND_SEED=7` begins elsewhere. The
//! same seed makes the same changes. The pictures are made here, small, of each coding; with `ASFOUND_REFERENCE` the small
//! ones among the reference samples join them, HEIC too.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a program for the screen, and a test"
)]

use std::collections::BTreeMap;
use std::fs;
use std::panic;
use std::path::Path;
use std::path::PathBuf;
use std::process::exit;
use std::sync::Mutex;
use std::sync::atomic::AtomicU64;
use std::sync::atomic::Ordering::Relaxed;
use std::time::Duration;
use std::time::Instant;

use asfound::mark;
use asfound::mark::Words;
use asfound::photo;
use asfound::photo::Limits;
use asfound::photo::PhotoError;
use asfound::photo::PhotoProcessor;
use samples::Exif;
use samples::LAYOUTS;
use samples::RawSaid;

/// The greatest sample that is changed, bytes.
const LARGEST: u64 = 24_000;
/// A picture that takes longer is told as one that hangs.
const HANGS: Duration = Duration::from_secs(20);
/// The picture a mutation may claim to be, pixels: the memory that its decoder then takes.
const LIMITS: Limits = Limits {
    max_pixels: 4_000_000,
};
/// A sidecar that uses every kind of statement.
const SIDECAR: &str = "view = \"top_flat\"\nparts = [\"top\", \"leg-1\"]\nsound = [\"leg-2\"]\nnot_examined = [\"back\"]\n\
    note = \"it's \\\"so\\\"\"\n[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [10, 10, 20.5, 20]\nsize = \"70 mm\"\n\
    [[mark]]\ntag = \"crack\"\npart = \"leg-1\"\nlevel = 3\nline = [[1, 2], [30, 40]]\nnote = \"\"\"two\nlines\"\"\"\n\
    [[face]]\nface = \"top\"\ncorners = [[5, 5], [95, 6], [94, 93], [6, 95]]\n";

/// Numbers that look like chance, the same for a seed (Marsaglia, Xorshift RNGs, 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: usize) -> usize {
        (self.next() >> 11) as usize % end.max(1)
    }
}

struct Sample {
    kind: &'static str,
    bytes: Vec<u8>,
}

/// What came of the mutations.
#[derive(Default)]
struct Tally {
    by_kind: Mutex<BTreeMap<(&'static str, &'static str), u64>>,
    slowest: Mutex<(Duration, u64)>,
    /// What each worker is at: the mutation and when it began, ms; 0: nothing.
    at: [(AtomicU64, AtomicU64); 2],
}

fn main() {
    // `cargo test --benches` only wants to know that it starts.
    if !std::env::args().any(|it| it == "--bench") {
        return;
    }
    let number = |name: &str, plain: u64| {
        std::env::var(name).map_or(plain, |it| {
            it.parse().unwrap_or_else(|_| panic!("{name}: {it}"))
        })
    };
    let (count, seed) = (
        number("ASFOUND_MUTATIONS", 100_000),
        number("ASFOUND_SEED", 1),
    );
    let samples = all_samples();
    println!(
        "{count} mutations of {} samples, seed {seed}",
        samples.len()
    );
    // A caught panic of a decoder is a refusal; its text would only fill the screen.
    panic::set_hook(Box::new(|_| ()));
    let (tally, next, began) = (Tally::default(), AtomicU64::new(0), Instant::now());
    let failed = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..2)
            .map(|lane| {
                let (samples, tally, next) = (&samples, &tally, &next);
                scope.spawn(move || work(lane, samples, tally, next, count, seed, began))
            })
            .collect();
        while workers.iter().any(|it| !it.is_finished()) {
            std::thread::sleep(Duration::from_millis(200));
            watch(&tally, began);
        }
        workers
            .into_iter()
            .filter_map(|it| it.join().unwrap())
            .min()
    });
    tell(&tally, began);
    if let Some(n) = failed {
        println!("FAILED: mutation {n} panicked; ASFOUND_SEED={seed} makes it again");
        exit(1);
    }
}

/// Takes one mutation after the other; gives the first that panicked.
fn work(
    lane: usize,
    samples: &[Sample],
    tally: &Tally,
    next: &AtomicU64,
    count: u64,
    seed: u64,
    began: Instant,
) -> Option<u64> {
    let mut processor = PhotoProcessor::new(LIMITS);
    let (no, since) = &tally.at[lane];
    loop {
        let n = next.fetch_add(1, Relaxed);
        if n >= count {
            since.store(0, Relaxed);
            return None;
        }
        no.store(n, Relaxed);
        since.store(began.elapsed().as_millis() as u64 + 1, Relaxed);
        let (kind, bytes) = mutation(samples, n, seed);
        let start = Instant::now();
        let tried = panic::catch_unwind(panic::AssertUnwindSafe(|| {
            outcome(kind, &bytes, &mut processor)
        }));
        let took = start.elapsed();
        let mut slowest = tally.slowest.lock().unwrap();
        if took > slowest.0 {
            *slowest = (took, n);
        }
        drop(slowest);
        let Ok(came) = tried else {
            keep(n, &bytes);
            return Some(n);
        };
        *tally
            .by_kind
            .lock()
            .unwrap()
            .entry((kind, came))
            .or_default() += 1;
    }
}

/// What is done with a file that comes in: all that looks at its bytes.
fn outcome(kind: &'static str, bytes: &[u8], processor: &mut PhotoProcessor) -> &'static str {
    if kind == "sidecar" {
        let text = String::from_utf8_lossy(bytes);
        return match mark::read("a.jpg.toml", &text, &Words::default()) {
            Ok(_) => "taken",
            Err(_) => "refused",
        };
    }
    let _ = photo::disclosed(bytes);
    let _ = photo::camera_time(bytes);
    match processor.process(bytes) {
        Ok(_) => {
            let _ = processor.stripped(bytes);
            let _ = processor.crop(bytes, [20.0, 20.0, 30.0, 30.0], 64, 80);
            "taken"
        }
        Err(PhotoError::GaveUp) => "gave up",
        Err(_) => "refused",
    }
}

/// The mutation of a number.
fn mutation(samples: &[Sample], n: u64, seed: u64) -> (&'static str, Vec<u8>) {
    let mut chance = Chance((seed << 40 ^ n).wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    chance.next();
    // The samples lie sorted by kind: each kind as often as another, however many samples it has.
    let kinds: Vec<&[Sample]> = samples.chunk_by(|a, b| a.kind == b.kind).collect();
    let its = kinds[chance.below(kinds.len())];
    let sample = &its[chance.below(its.len())];
    let mut bytes = sample.bytes.clone();
    for _ in 0..=chance.below(6) {
        change(&mut bytes, samples, &mut chance);
    }
    // Else its check sums would end almost every look into it at once.
    if sample.kind == "png" && chance.below(2) == 0 {
        right_sums(&mut bytes);
    }
    (sample.kind, bytes)
}

/// Writes the check sums of a PNG's chunks anew (PNG, third edition, 5.5 and annex D).
fn right_sums(bytes: &mut [u8]) {
    let mut at = 8;
    while let Some(head) = bytes.get(at..at + 4) {
        let length = u32::from_be_bytes(head.try_into().unwrap()) as usize;
        let end = at.saturating_add(8).saturating_add(length);
        let Some(body) = bytes.get(at + 4..end) else {
            return;
        };
        let mut sum = flate2::Crc::new();
        sum.update(body);
        let Some(written) = bytes.get_mut(end..end + 4) else {
            return;
        };
        written.copy_from_slice(&sum.sum().to_be_bytes());
        at = end + 4;
    }
}

/// One change: of a bit, a byte, a length, a stretch that is doubled, lost, moved, or comes from another file, the end.
fn change(bytes: &mut Vec<u8>, samples: &[Sample], chance: &mut Chance) {
    if bytes.is_empty() {
        return bytes.push(chance.next() as u8);
    }
    // Half of the changes go to the first bytes, where the tables are.
    let within = match chance.below(2) {
        0 => bytes.len().min(600),
        _ => bytes.len(),
    };
    let at = chance.below(within);
    let end = at + 1 + chance.below((bytes.len() - at).min(64));
    let end = end.min(bytes.len());
    match chance.below(9) {
        0 => bytes[at] ^= 1 << chance.below(8),
        1 => bytes[at] = chance.next() as u8,
        2 => bytes[at..end].fill([0, 0xff, 0x7f, 0x80][chance.below(4)]),
        3 => drop(bytes.drain(at..end)),
        4 => {
            let stretch = bytes[at..end].to_vec();
            let to = chance.below(bytes.len());
            drop(bytes.splice(to..to, stretch));
        }
        5 => {
            let other = &samples[chance.below(samples.len())].bytes;
            let from = chance.below(other.len());
            let stretch = other[from..(from + 64).min(other.len())].to_vec();
            drop(bytes.splice(at..end, stretch));
        }
        6 => bytes.truncate(at + 1),
        7 => {
            let written = (chance.next() as u32).to_be_bytes();
            let last = (at + 4).min(bytes.len());
            bytes[at..last].copy_from_slice(&written[..last - at]);
        }
        _ => {
            let to = chance.below(bytes.len());
            bytes.swap(at, to);
        }
    }
}

/// Pictures of each coding, made here, a sidecar, and the small ones among the reference samples.
fn all_samples() -> Vec<Sample> {
    let exif = Exif {
        orientation: Some(6),
        place: Some((1.0, 2.0, 3.0)),
        thumbnail: Some(samples::jpeg(16, 12, &Exif::default())),
        ..Exif::taken("2026:05:03 10:02:11")
    };
    let sample = |kind, bytes| Sample { kind, bytes };
    let mut all = vec![
        sample("sidecar", SIDECAR.as_bytes().to_vec()),
        sample("jpeg", samples::jpeg(40, 30, &exif)),
        sample("png", samples::png(40, 30, &exif)),
        sample("webp", samples::webp(40, 30, &exif)),
        sample("tiff", samples::tiff(40, 30, &exif)),
    ];
    let picture = samples::jpeg(40, 30, &exif);
    let said = RawSaid {
        orientation: 6,
        time: "2026:05:03 10:02:11",
        place: true,
    };
    for (layout, _) in LAYOUTS {
        let raw = samples::raw_of(layout, &picture, &picture, &said);
        all.push(sample("raw", raw));
    }
    let Some(reference) = std::env::var_os("ASFOUND_REFERENCE") else {
        println!("left out: the reference samples (ASFOUND_REFERENCE)");
        return all;
    };
    let mut found = Vec::new();
    files(&PathBuf::from(reference).join("samples"), &mut found);
    found.sort();
    for path in found {
        let kind = match path.extension().and_then(|it| it.to_str()) {
            Some("jpg" | "jpeg") => "jpeg",
            Some("png") => "png",
            Some("webp") => "webp",
            Some("tif" | "tiff") => "tiff",
            Some("heic" | "heif") => "heic",
            _ => continue,
        };
        all.push(sample(kind, fs::read(path).unwrap()));
    }
    all.sort_by_key(|it| it.kind);
    all
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let it = entry.metadata().unwrap();
        if it.is_dir() {
            files(&entry.path(), found);
        } else if it.len() <= LARGEST {
            found.push(entry.path());
        }
    }
}

/// Ends the run when a mutation hangs.
fn watch(tally: &Tally, began: Instant) {
    let now = began.elapsed().as_millis() as u64;
    for (no, since) in &tally.at {
        let since = since.load(Relaxed);
        if since != 0 && now.saturating_sub(since) > HANGS.as_millis() as u64 {
            println!("FAILED: mutation {} hangs", no.load(Relaxed));
            exit(1);
        }
    }
}

/// Keeps a mutation that failed, beside the build.
fn keep(n: u64, bytes: &[u8]) {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("mutation-{n}"));
    fs::write(&path, bytes).unwrap();
    println!("kept as {}", path.display());
}

fn tell(tally: &Tally, began: Instant) {
    for ((kind, came), count) in tally.by_kind.lock().unwrap().iter() {
        println!("{kind:>8} {came:>8} {count:>9}");
    }
    let (took, n) = *tally.slowest.lock().unwrap();
    println!("slowest: mutation {n}, {} ms", took.as_millis());
    println!("in {:.0} s", began.elapsed().as_secs_f64());
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    if let Some(peak) = status.lines().find(|it| it.starts_with("VmHWM")) {
        println!("peak memory {}", peak.trim_start_matches("VmHWM:").trim());
    }
}
