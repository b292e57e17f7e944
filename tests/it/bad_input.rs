//! What goes wrong in a real shop: broken files, odd names, full disks, pulled cards, killed runs.
//!
//! Each test lays a good photo beside the bad thing: it must be taken in all the same.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;

use asfound::kit::digest::Digest;
use serde_json::json;

use crate::shop::Ran;
use crate::shop::SIZE;
use crate::shop::Shop;
use crate::shop::refused;
use samples::Exif;

const GOOD: &str = "1 purchase 2026-05-03/good.jpg";

/// A shop whose card holds one good photo.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.photo("good.jpg", |_| ());
    shop
}

fn jpeg() -> Vec<u8> {
    samples::jpeg_seeded(SIZE.0, SIZE.1, 501, &Exif::taken("2026:05:03 11:00:00"))
}

fn png() -> Vec<u8> {
    samples::png_of(
        SIZE.0,
        SIZE.1,
        &samples::pixels(SIZE.0, SIZE.1, 502),
        &Exif::taken("2026:05:03 11:00:00"),
    )
}

/// Imports the card, which must keep out one file and take in the good photo; gives the reason.
#[track_caller]
fn kept_out(shop: &Shop) -> String {
    let ran = shop.import_json().code(1);
    assert!(!ran.to_string().contains("panicked"), "{ran}");
    let answer = ran.json();
    assert_eq!(answer["taken"], 1, "{answer}");
    assert!(fs::read(shop.stored(GOOD)).unwrap() == fs::read(shop.card("good.jpg")).unwrap());
    assert_eq!(
        shop.stored_names(),
        [GOOD.to_owned(), format!("{GOOD}.toml")]
    );
    let [reason] = &refused(&answer)[..] else {
        panic!("one file is to be kept out: {answer}");
    };
    reason.clone()
}

/// Imports the card, which must take in both files; gives the warnings, joined.
#[track_caller]
fn taken_with(shop: &Shop) -> String {
    let answer = shop.import_json().json();
    assert_eq!(
        (&answer["taken"], &answer["refused"]),
        (&json!(2), &json!([])),
        "{answer}"
    );
    let warnings = answer["warnings"].as_array().unwrap().iter();
    warnings
        .map(|it| it.as_str().unwrap())
        .collect::<Vec<_>>()
        .join("\n")
}

#[track_caller]
fn reason_for(name: &str, bytes: &[u8]) -> String {
    let shop = shop();
    shop.file(name, bytes);
    let reason = kept_out(&shop);
    assert!(
        fs::read(shop.card(name)).unwrap() == bytes,
        "the source was changed"
    );
    reason
}

#[test]
fn a_jpeg_that_was_cut_off_is_taken_and_told() {
    let shop = shop();
    let whole = jpeg();
    shop.file("cut.jpg", &whole[..whole.len() * 2 / 3]);
    let warnings = taken_with(&shop);
    assert!(
        warnings.contains("(cut.jpg): the file ends early; the lower part may be missing"),
        "{warnings}"
    );
}

#[test]
fn a_png_that_was_cut_off_is_kept_out_or_told() {
    let whole = png();
    let shop = shop();
    shop.file("cut.png", &whole[..whole.len() / 2]);
    let answer = shop.import_json().code(1).json();
    let told = format!("{}{}", answer["refused"], answer["warnings"]);
    assert!(told.contains("cut.png"), "{answer}");
    assert!(fs::read(shop.stored(GOOD)).unwrap() == fs::read(shop.card("good.jpg")).unwrap());
}

#[test]
fn files_that_are_no_pictures_are_kept_out_with_the_reason() {
    for (name, bytes, reason) in [
        ("empty.jpg", &b""[..], "empty.jpg: the file is empty"),
        (
            "note.jpg",
            b"Dear customer, the photos follow.",
            "note.jpg: this is not a picture; it looks like a text",
        ),
        (
            "bill.pdf",
            b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n",
            "bill.pdf: this is not a picture; it looks like a PDF",
        ),
    ] {
        let found = reason_for(name, bytes);
        assert!(found.starts_with(reason), "{found}");
    }
}

#[test]
fn a_corrupt_jpeg_is_kept_out() {
    let mut bytes = jpeg();
    let from = bytes.len() / 12;
    bytes[4..from].fill(0xff);
    let reason = reason_for("bad.jpg", &bytes);
    assert!(
        reason.starts_with("bad.jpg: the picture is broken: "),
        "{reason}"
    );
}

#[test]
fn heic_with_garbage_is_kept_out() {
    let mut bytes = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".to_vec();
    bytes.extend((0..4000_u32).map(|it| ((it * 7919) >> 3) as u8));
    let reason = reason_for("IMG_1.HEIC", &bytes);
    assert!(
        reason.starts_with("IMG_1.HEIC: the picture is broken: "),
        "{reason}"
    );
}

#[test]
fn a_jpeg_named_png_is_taken_for_what_it_is() {
    let shop = shop();
    shop.file("shot.png", &jpeg());
    assert_eq!(taken_with(&shop), "");
    assert!(shop.stored("1 purchase 2026-05-03/shot.png").exists());
}

#[test]
fn orientations_that_mean_nothing_are_told() {
    for odd in [0, 9] {
        let shop = shop();
        shop.photo("odd.jpg", |it| it.orientation = Some(odd));
        let warnings = taken_with(&shop);
        let told =
            format!("its orientation is given as {odd}, which means nothing; shown as stored");
        assert!(warnings.contains(&told), "{warnings}");
    }
}

#[test]
fn two_blocks_of_camera_facts_are_told_and_the_first_counts() {
    let shop = shop();
    let first = jpeg();
    let length = usize::from(u16::from_be_bytes([first[22], first[23]]));
    assert_eq!(first[20..22], [0xff, 0xe1], "Exif follows the JFIF block");
    let other = Exif::taken("2019:01:01 00:00:00").block();
    let mut second = vec![0xff, 0xe1];
    second.extend((other.len() as u16 + 8).to_be_bytes());
    second.extend(b"Exif\0\0");
    second.extend(other);
    let at = 22 + length;
    let both = [&first[..at], &second, &first[at..]].concat();
    shop.file("two.jpg", &both);
    let warnings = taken_with(&shop);
    let told = "(two.jpg): it holds more than one set of camera facts; the first was used";
    assert!(warnings.contains(told), "{warnings}");
    assert!(!warnings.contains("2019"), "{warnings}");
}

/// A PNG of these dimensions with next to no data; its checksums are right.
fn png_header(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut chunk = |kind: &[u8], data: &[u8]| {
        bytes.extend((data.len() as u32).to_be_bytes());
        let body = [kind, data].concat();
        bytes.extend(&body);
        bytes.extend(crc(&body).to_be_bytes());
    };
    let mut head = [width.to_be_bytes(), height.to_be_bytes()].concat();
    head.extend([8, 2, 0, 0, 0]);
    chunk(b"IHDR", &head);
    // A zlib stream of nothing.
    chunk(b"IDAT", &[0x78, 0x9c, 0x03, 0, 0, 0, 0, 1]);
    chunk(b"IEND", b"");
    bytes
}

/// A lossless WebP that says it has the largest size there is; the size is two times 14 bits behind `VP8L`, the length
/// and a signature byte (RFC 9649, 3.4).
fn large_webp() -> Vec<u8> {
    let rgb = samples::pixels(SIZE.0, SIZE.1, 503);
    let mut bytes = samples::webp_of(SIZE.0, SIZE.1, &rgb, &Exif::default());
    let at = |name: &[u8; 4]| bytes.windows(4).position(|it| it == name);
    let (extended, lossless) = (at(b"VP8X"), at(b"VP8L").unwrap());
    bytes[lossless + 9..lossless + 12].fill(0xff);
    bytes[lossless + 12] |= 0x0f;
    if let Some(at) = extended {
        bytes[at + 12..at + 18].copy_from_slice(&[0xff, 0x3f, 0, 0xff, 0x3f, 0]);
    }
    bytes
}

/// A TIFF whose directory says 100000 for width, height and rows in a strip (TIFF 6.0, fields 256, 257 and 278).
fn large_tiff() -> Vec<u8> {
    let mut bytes = samples::tiff(SIZE.0, SIZE.1, &Exif::default());
    let mut found = 0;
    for field in [256_u16, 257, 278] {
        let field = field.to_le_bytes();
        let head = [&field[..], &[4, 0, 1, 0, 0, 0]].concat();
        let at = bytes.windows(8).position(|it| it == head);
        if let Some(at) = at {
            bytes[at + 8..at + 12].copy_from_slice(&100_000_u32.to_le_bytes());
            found += 1;
        }
    }
    assert_eq!(found, 3, "the fields of the size are there");
    bytes
}

/// CRC-32 as the PNG specification (annex D) gives it.
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                0xedb8_8320 ^ (sum >> 1)
            } else {
                sum >> 1
            };
        }
    }
    !sum
}

#[test]
fn pictures_beyond_the_limit_are_kept_out_before_they_are_decoded() {
    let mut large = jpeg();
    let at = large.windows(2).position(|it| it == [0xff, 0xc0]).unwrap();
    large[at + 5..at + 9].copy_from_slice(&[0x27, 0x10, 0x5d, 0xc0]);
    for (name, bytes, told) in [
        (
            "large.jpg",
            large,
            "24000 x 10000 is 240 megapixels; the limit is 200",
        ),
        (
            "large.png",
            png_header(24_000, 10_000),
            "24000 x 10000 is 240 megapixels; the limit is 200",
        ),
        (
            "bomb.png",
            png_header(65_535, 65_535),
            "65535 x 65535 is 4295 megapixels; the limit is 200",
        ),
        (
            "larger.png",
            png_header(100_000, 100_000),
            "100000 x 100000 is 10000 megapixels; the limit is 200",
        ),
        (
            "largest.png",
            png_header(2_000_000_000, 2_000_000_000),
            "2000000000 x 2000000000 is 4000000000000 megapixels; the limit is 200",
        ),
        (
            "large.webp",
            large_webp(),
            "16384 x 16384 is 269 megapixels; the limit is 200",
        ),
        (
            "large.tif",
            large_tiff(),
            "100000 x 100000 is 10000 megapixels; the limit is 200",
        ),
    ] {
        let begun = Instant::now();
        let reason = reason_for(name, &bytes);
        assert!(reason.contains(told), "{reason}");
        assert!(begun.elapsed() < Duration::from_secs(60), "it was decoded");
    }
}

#[test]
fn camera_dates_that_are_none_are_told() {
    for text in [
        "    :  :     :  :  ",
        "0000:00:00 00:00:00",
        "2026:13:40 25:61:61",
    ] {
        let shop = Shop::with_piece();
        shop.photo("odd.jpg", |it| it.time = Some(text.to_owned()));
        let answer = shop.import_json().code(1).json();
        assert_eq!(answer["taken"], 1, "{answer}");
        // Without a camera time the day of the import stands in.
        assert_eq!(answer["shoot"]["day"], "2026-05-26", "{text}");
        assert!(
            !answer["warnings"].as_array().unwrap().is_empty(),
            "{answer}"
        );
    }
}

#[test]
fn a_camera_clock_in_the_future_is_told() {
    let shop = shop();
    shop.photo("late.jpg", |it| {
        it.time = Some("2031:01:01 10:00:00".to_owned())
    });
    let warnings = taken_with(&shop);
    assert!(
        warnings.contains("(late.jpg)") && warnings.contains("2031"),
        "{warnings}"
    );
}

#[test]
fn odd_names_are_taken_under_plain_ones() {
    let shop = shop();
    let long = format!("{}.jpg", "n".repeat(251));
    let names = [
        "two words.jpg",
        "aunt's \"best\".jpg",
        "line\nbreak.jpg",
        long.as_str(),
        "-v.jpg",
        "größe 1.jpg",
    ];
    for name in names {
        shop.photo(name, |_| ());
    }
    let answer = shop.import_json().code(0).json();
    assert_eq!(answer["taken"], 7, "{answer}");
    let stored = shop.stored_names();
    for name in [
        "two words.jpg",
        "aunt's _best_.jpg",
        "line_break.jpg",
        "-v.jpg",
        "größe 1.jpg",
    ] {
        assert!(
            stored.contains(&format!("1 purchase 2026-05-03/{name}")),
            "{stored:?}"
        );
    }
    shop.import()
        .code(0)
        .stdout("0 photos taken, 7 in the book already, 0 kept out\n");
}

#[cfg(target_os = "linux")]
#[test]
fn a_name_that_is_no_text_is_taken() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt as _;
    let shop = shop();
    shop.file(OsStr::from_bytes(b"caf\xe9.jpg"), &jpeg());
    assert_eq!(taken_with(&shop), "");
    assert!(shop.stored("1 purchase 2026-05-03/caf_.jpg").exists());
    shop.import()
        .code(0)
        .stdout("0 photos taken, 2 in the book already, 0 kept out\n");
}

#[test]
fn a_zip_cannot_write_outside_the_book() {
    let shop = shop();
    let mut zip = zip::ZipWriter::new(fs::File::create(shop.card("odd.zip")).unwrap());
    let options = zip::write::SimpleFileOptions::default();
    for (n, name) in ["../../../evil.jpg", "/etc/evil.jpg", "..\\..\\evil.jpg"]
        .iter()
        .enumerate()
    {
        zip.start_file(*name, options).unwrap();
        let bytes = samples::jpeg_seeded(
            SIZE.0,
            SIZE.1,
            600 + n as u32,
            &Exif::taken("2026:05:03 12:00:00"),
        );
        zip.write_all(&bytes).unwrap();
    }
    zip.finish().unwrap();
    let before = everything(&shop.path(""));
    shop.import().says("4 photos taken");
    let new = everything(&shop.path(""))
        .into_iter()
        .filter(|it| !before.contains(it));
    let folder = shop.stored("1 purchase 2026-05-03");
    for path in new.filter(|it| it.contains("evil")) {
        assert!(Path::new(&path).parent() == Some(&folder), "{path}");
    }
}

fn everything(folder: &Path) -> Vec<String> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(everything(&path));
        } else {
            all.push(path.to_str().unwrap().to_owned());
        }
    }
    all
}

#[test]
fn a_zip_that_was_cut_off_is_kept_out() {
    let reason = reason_for(
        "sent.zip",
        b"PK\x03\x04\x14\0\0\0\x08\0 and no directory at its end",
    );
    assert!(
        reason.starts_with("sent.zip: the zip cannot be read: "),
        "{reason}"
    );
}

#[cfg(unix)]
#[test]
fn links_are_followed_and_loops_and_dead_ends_told() {
    use std::os::unix::fs::symlink;
    let shop = shop();
    shop.file("../elsewhere.jpg", &jpeg());
    symlink(shop.path("elsewhere.jpg"), shop.card("link.jpg")).unwrap();
    symlink(shop.card(""), shop.card("round")).unwrap();
    symlink(shop.path("nowhere.jpg"), shop.card("dead.jpg")).unwrap();
    let answer = shop.import_json().code(1).json();
    assert_eq!(answer["taken"], 2, "{answer}");
    let told = refused(&answer);
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told[0].starts_with("dead.jpg: could not be looked at: "),
        "{told:?}"
    );
    assert!(told[1].starts_with("round: is a link back to "), "{told:?}");
    let kept = fs::symlink_metadata(shop.stored("1 purchase 2026-05-03/link.jpg")).unwrap();
    assert!(kept.is_file(), "the book holds the photo, not a link to it");
}

/// A pipe nobody writes to would be waited for without end.
#[cfg(unix)]
#[test]
fn a_pipe_is_not_waited_for() {
    let shop = shop();
    let pipe = shop.card("pipe.jpg");
    assert!(
        shop.command("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let words = [
        "import",
        "../card/pipe.jpg",
        "../card/good.jpg",
        "--piece",
        "26-001",
        "--stage",
        "purchase",
    ];
    let mut child = shop.command(env!("CARGO_BIN_EXE_asfound"));
    let mut child = child
        .args(words)
        .stderr(Stdio::null())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    let ended = loop {
        if let Some(it) = child.try_wait().unwrap() {
            break it;
        }
        if begun.elapsed() > Duration::from_secs(60) {
            child.kill().unwrap();
            panic!("it waits for the pipe");
        }
        std::thread::sleep(Duration::from_millis(20));
    };
    assert_eq!(ended.code(), Some(1));
    assert!(shop.stored(GOOD).exists());
}

#[test]
fn paths_that_are_not_there_are_told_and_the_rest_is_taken() {
    let shop = shop();
    let words = ["import", "../gone", "../card/good.jpg", "../card/gone.jpg"];
    let rest = ["--piece", "26-001", "--stage", "purchase", "--json"];
    let answer = shop.run(&[&words[..], &rest].concat()).code(1).json();
    assert_eq!(answer["taken"], 1);
    assert_eq!(refused(&answer).len(), 2, "{answer}");
}

#[test]
fn twins_of_a_refused_file_are_refused_too() {
    let shop = shop();
    let bytes = png();
    for name in ["a.png", "b.png", "c.png", "d.png"] {
        shop.file(name, &bytes[..bytes.len() / 2]);
    }
    let first = shop.import_json().json();
    let again = shop.import_json().json();
    let why = ["a", "b", "c", "d"]
        .map(|it| format!("{it}.png: the picture is broken: unexpected end of file"));
    assert_eq!(refused(&first), why);
    assert_eq!(first["taken"], 1, "{first}");
    assert_eq!(refused(&again), why);
    assert_eq!((&again["taken"], &again["already"]), (&0.into(), &1.into()));
}

/// Every byte of a file may be wrong: nothing crashes, nothing is said that only a programmer understands.
#[test]
fn damaged_files_of_every_coding_never_crash() {
    let shop = shop();
    let exif = Exif {
        orientation: Some(6),
        ..Exif::taken("2026:05:03 11:00:00")
    };
    let (width, height) = (40, 30);
    let whole = [
        ("jpg", samples::jpeg(width, height, &exif)),
        ("png", samples::png(width, height, &exif)),
        ("webp", samples::webp(width, height, &exif)),
        ("tif", samples::tiff(width, height, &exif)),
    ];
    let mut noise: u32 = 20_260_526;
    for (ending, bytes) in whole {
        for n in 0..40 {
            let mut broken = bytes.clone();
            for _ in 0..=n % 4 {
                noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                // The first bytes, where the tables are, as often as all the rest.
                let within = if n % 2 == 0 {
                    broken.len().min(400)
                } else {
                    broken.len()
                };
                let at = (noise >> 8) as usize % within;
                broken[at] = (noise >> 3) as u8;
            }
            if n % 5 == 0 {
                broken.truncate((noise >> 9) as usize % bytes.len());
            }
            shop.file(format!("{n:03}.{ending}"), &broken);
        }
    }
    let ran = shop.import_json().code(1).stderr("");
    let answer = ran.json();
    let number = |name: &str| {
        answer[name]
            .as_array()
            .map_or_else(|| answer[name].as_u64().unwrap(), |it| it.len() as u64)
    };
    assert_eq!(
        number("taken") + number("already") + number("refused"),
        161,
        "{answer}"
    );
    assert!(shop.stored(GOOD).exists());
    shop.run(&["survey", "26-001"]).code(0);
}

/// Whether a place of its own for mounts can be had here.
#[cfg(target_os = "linux")]
pub(crate) fn mounts(shop: &Shop) -> Option<&'static [&'static str]> {
    let ways: [&[&str]; 2] = [&["-m"], &["-Urm"]];
    ways.into_iter().find(|way| {
        let try_it = "mount -t tmpfs -o size=64k none .";
        let mut command = shop.command("unshare");
        let command = command
            .args(*way)
            .args(["sh", "-c", try_it])
            .current_dir(shop.card(""));
        command.output().is_ok_and(|it| it.status.success())
    })
}

/// A disk of 1 MiB, or, where none can be mounted, a bound on the length of files.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_loses_nothing() {
    let shop = shop();
    for n in 0..5 {
        let name = format!("IMG_{n}.jpg");
        shop.photo(&name, |_| ());
        let mut bytes = fs::read(shop.card(&name)).unwrap();
        bytes.resize(bytes.len() + 300_000, 0);
        shop.file(&name, &bytes);
    }
    let import = format!(
        "{} import ../card --piece 26-001 --stage purchase",
        env!("CARGO_BIN_EXE_asfound")
    );
    let full = "mkdir ../small && mount -t tmpfs -o size=1m none ../small && cp -a . ../small && cd ../small || exit 99";
    let keep = "code=$?; cp -a . ../book; exit $code";
    let ran = match mounts(&shop) {
        Some(way) => {
            let script = format!("{full}; {import}; {keep}");
            let mut command = shop.command("unshare");
            let ran = Ran::of(command.args(way).args(["sh", "-c", &script])).code(2);
            ran.says("the disk is full; what was taken in is whole: make room and run the same command again")
        }
        // Bash counts in KiB; the photos have more, the book less.
        None => {
            let script = format!("trap '' XFSZ; ulimit -f 280; exec {import}");
            Ran::of(shop.command("bash").args(["-c", &script])).code(2)
        }
    };
    assert!(!ran.to_string().contains("panicked"), "{ran}");
    whole_after_all(&shop, 6);
}

/// What lies in the book is whole; one more run takes in the rest and leaves no litter.
fn whole_after_all(shop: &Shop, photos: usize) {
    assert_rows_have_their_files(shop);
    let ran = shop.import();
    assert!(ran.out().ends_with("0 kept out\n"), "{ran}");
    assert_rows_have_their_files(shop);
    assert_eq!(rows(shop).len(), photos);
    let names = shop.stored_names();
    let litter = names
        .iter()
        .filter(|it| it.contains(".asfound-unfinished-"));
    assert_eq!(litter.count(), 0, "{names:?}");
    assert_eq!(names.len(), 2 * photos, "{names:?}");
}

/// File in the piece -> digest, of every photo in the record.
fn rows(shop: &Shop) -> BTreeMap<String, Digest> {
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    let ask = "SELECT shoot.folder, photo.name, photo.digest FROM photo JOIN shoot ON shoot.id = photo.shoot";
    let mut ask = db.prepare(ask).unwrap();
    let row = |it: &rusqlite::Row<'_>| {
        let (folder, name): (String, String) = (it.get(0)?, it.get(1)?);
        Ok((format!("{folder}/{name}"), Digest(it.get(2)?)))
    };
    ask.query_map([], row)
        .unwrap()
        .map(Result::unwrap)
        .collect()
}

fn assert_rows_have_their_files(shop: &Shop) {
    for (name, digest) in rows(shop) {
        let bytes = fs::read(shop.stored(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(Digest::of(&bytes), digest, "{name}");
        assert!(
            shop.stored(&format!("{name}.toml")).exists(),
            "{name} has no sidecar"
        );
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_book_that_cannot_be_written_to_is_told() {
    let shop = shop();
    let program = env!("CARGO_BIN_EXE_asfound");
    let import = format!("{program} import ../card --piece 26-001 --stage purchase");
    let bind = "mount --bind . . && mount -o remount,bind,ro . && cd ../book || exit 99";
    let mut command = match mounts(&shop) {
        Some(way) => {
            let mut command = shop.command("unshare");
            command
                .args(way)
                .args(["sh", "-c", &format!("{bind}; {import}")]);
            command
        }
        None => {
            let mut command = shop.command("sh");
            command.args([
                "-c",
                &format!("chmod a-w . book.db; {import}; code=$?; chmod u+w . book.db; exit $code"),
            ]);
            command
        }
    };
    Ran::of(&mut command)
        .code(2)
        .stdout("")
        .says("the book cannot be written to here; copy it to a place where you may write, or change the rights of its folder");
    whole_after_all(&shop, 1);
}

#[test]
fn a_card_pulled_out_in_mid_import_loses_only_what_was_not_read() {
    let shop = Shop::with_piece();
    for n in 0..24 {
        shop.photo(&format!("IMG_{n:02}.jpg"), |_| ());
    }
    let words = [
        "import", "../card", "--piece", "26-001", "--stage", "purchase", "--json",
    ];
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    let child = command
        .args(words)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let first = || {
        shop.piece_folder()
            .join("1 purchase 2026-05-03/IMG_00.jpg")
            .exists()
    };
    let begun = Instant::now();
    while !first() && begun.elapsed() < Duration::from_secs(60) {
        std::thread::sleep(Duration::from_millis(1));
    }
    fs::remove_dir_all(shop.card("")).unwrap();
    let answer = Ran::ended("import".into(), child.wait_with_output().unwrap())
        .code(1)
        .json();
    let told = refused(&answer);
    assert!(
        !told.is_empty() && told.iter().all(|it| it.contains("could not be opened")),
        "{told:?}"
    );
    assert_eq!(answer["taken"].as_u64().unwrap() as usize + told.len(), 24);
    assert_rows_have_their_files(&shop);
    assert_eq!(rows(&shop).len(), 24 - told.len());
}

#[test]
fn two_imports_at_once_take_every_photo_once() {
    let shop = shop();
    for n in 0..7 {
        shop.photo(&format!("IMG_{n}.jpg"), |_| ());
    }
    let words = [
        "import", "../card", "--piece", "26-001", "--stage", "purchase", "--json",
    ];
    let start = || {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command
            .args(words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let both = [start(), start()];
    let taken = both.map(|it| {
        let answer = Ran::ended("import".into(), it.wait_with_output().unwrap())
            .code(0)
            .json();
        assert_eq!(
            answer["taken"].as_u64().unwrap() + answer["already"].as_u64().unwrap(),
            8
        );
        answer["taken"].as_u64().unwrap()
    });
    assert_eq!(taken.iter().sum::<u64>(), 8);
    assert_eq!(shop.stored_names().len(), 16);
    whole_after_all(&shop, 8);
}

#[test]
fn a_run_killed_at_any_moment_loses_nothing() {
    let shop = shop();
    let begun = Instant::now();
    shop.import().code(0);
    let usual = begun.elapsed();
    let rounds = 15;
    for n in 0..rounds {
        for it in 0..2 {
            shop.photo(&format!("IMG_{n:02}{it}.jpg"), |_| ());
        }
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command.args([
            "import", "../card", "--piece", "26-001", "--stage", "purchase",
        ]);
        let mut child = command
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(usual * 2 * (n + 1) / rounds);
        // It may have ended by itself.
        let _ = child.kill();
        child.wait().unwrap();
        assert_rows_have_their_files(&shop);
    }
    whole_after_all(&shop, 31);
}

#[test]
fn notes_come_out_of_a_report_harmless() {
    let shop = Shop::with_piece();
    let note =
        r#"<script>alert(1)</script> <img src=x onerror=alert(2)> "quoted" & 'so' 🪑 שלום \u202E"#;
    shop.ready(&format!(
        "note = '''{}'''\n",
        note.replace("\\u202E", "\u{202e}")
    ));
    let mark = "[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 1\nbox = [1, 1, 9, 9]\n";
    let text = format!(
        "view = \"identity_mark\"\nparts = [\"top\"]\n\n{mark}note = '''</title></svg>{note}'''\n"
    );
    fs::write(shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml"), text).unwrap();
    let title = "</title><script>alert(3)</script> Gran's \"best\" table";
    shop.run(&["amend", "26-001", "--title", title]).code(0);
    let answer = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(answer["path"].as_str().unwrap()).unwrap();
    assert!(
        page.contains("&lt;script&gt;alert(1)"),
        "the note is not shown"
    );
    assert!(page.contains('🪑') && page.contains("שלום"));
    for harm in ["<script>alert", "<img src=x", "</svg>&lt;", "</title><"] {
        assert!(!page.contains(harm), "{harm}");
    }
}

#[test]
fn an_apostrophe_in_title_and_folder_is_no_trouble() {
    let shop = Shop::new();
    shop.run_in(shop.path(""), &["new-book", "aunt's \"book\" & more"])
        .code(0);
    let book = shop.path("aunt's \"book\" & more");
    let words = [
        "intake",
        "Gran's table / the \"best\"",
        "--form",
        "side_table",
    ];
    shop.run_in(&book, &words).code(0);
    shop.photo("it's.jpg", |_| ());
    let words = [
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ];
    shop.run_in(&book, &words).code(0);
    assert!(
        book.join("26-001 Gran's table _ the _best_/1 purchase 2026-05-03/it's.jpg")
            .exists()
    );
    shop.run_in(&book, &["report", "26-001", "--draft"]).code(0);
}

#[test]
fn a_newer_book_is_left_as_it_is() {
    let shop = shop();
    let path = shop.path("book/book.db");
    let db = rusqlite::Connection::open(&path).unwrap();
    let known = db.pragma_query_value(None, "user_version", |it| it.get::<_, u32>(0));
    let known = known.unwrap();
    db.pragma_update(None, "user_version", 99).unwrap();
    db.pragma_update(None, "wal_checkpoint", "TRUNCATE")
        .unwrap();
    drop(db);
    let before = fs::read(&path).unwrap();
    for words in [
        &["stock"][..],
        &["survey", "26-001"],
        &["import", "../card", "--piece", "26-001", "--stage", "sale"],
    ] {
        shop.run(words)
            .code(2)
            .stdout("")
            .stderr(&format!(
                "could not: the stock book `{}` was written by a newer asfound (format 99; this one knows up to {known})\n  \
                get the newest asfound; this one leaves the book as it is\n",
                path.display()
            ));
    }
    assert!(fs::read(&path).unwrap() == before);
}

#[test]
fn a_file_that_is_no_book_is_left_as_it_is() {
    let shop = Shop::new();
    let other = shop.path("other.db");
    let db = rusqlite::Connection::open(&other).unwrap();
    db.execute_batch("CREATE TABLE recipe (title TEXT); PRAGMA application_id = 7;")
        .unwrap();
    drop(db);
    for bytes in [
        fs::read(&other).unwrap(),
        b"only text, and more than a page of it\n".repeat(200),
    ] {
        fs::create_dir_all(shop.path("book")).unwrap();
        let path = shop.path("book/book.db");
        fs::write(&path, &bytes).unwrap();
        shop.run(&["stock"]).code(2).stdout("").stderr(&format!(
            "could not: `{}` is not a stock book of this program\n",
            path.display()
        ));
        assert!(fs::read(&path).unwrap() == bytes);
    }
}

#[test]
fn a_sidecar_with_mistakes_leaves_its_last_good_text_in_force() {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [1, 1, 9, 9]\n");
    let path = shop.stored("1 purchase 2026-05-03/IMG_1.jpg.toml");
    let good = fs::read_to_string(&path).unwrap();
    fs::write(&path, good.replace("level = 2", "level = 9")).unwrap();
    let answer = shop.run(&["survey", "26-001", "--json"]).code(1).json();
    let complaint = &answer["complaints"][0];
    assert_eq!(complaint["file"], "1 purchase 2026-05-03/IMG_1.jpg.toml");
    let line = 1 + good.lines().position(|it| it == "level = 2").unwrap();
    assert_eq!(
        (&complaint["line"], &complaint["column"]),
        (&json!(line), &json!(9))
    );
    assert_eq!(answer["findings"][0]["level"], 2, "{answer}");
    shop.run(&["survey", "26-001"])
        .code(1)
        .stderr(&format!(
            "error: `level` must be 1, 2, 3 or 4\n --> 1 purchase 2026-05-03/IMG_1.jpg.toml:{line}:9\n  |\n{line} | level = 9\n  \
            |         ^\n  |\nhelp: 1 trace, 2 visible, 3 heavy, 4 failing\n\
            until this is put right, the last good text of each stays in force; where there was none, nothing is read\n"
        ));
    shop.run(&["report", "26-001"])
        .code(2)
        .stderr(&format!(
            "could not: the report cannot be final while this is missing:\n  \
            `1 purchase 2026-05-03/IMG_1.jpg.toml` is not in force as written: line {line}, column 9: `level` must be 1, 2, 3 or 4\n      \
            1 trace, 2 visible, 3 heavy, 4 failing\nor print it with the gaps marked: --draft\n"
        ));
    let draft = shop
        .run(&["report", "26-001", "--draft", "--json"])
        .code(1)
        .json();
    let page = fs::read_to_string(draft["path"].as_str().unwrap()).unwrap();
    assert!(
        page.contains("IMG_1.jpg.toml") && page.contains("not in force"),
        "the page hides it"
    );
    fs::write(&path, good).unwrap();
    shop.run(&["report", "26-001"]).code(0);
}

#[test]
fn a_sidecar_that_is_no_utf_8_is_told() {
    let shop = shop();
    shop.import().code(0);
    fs::write(
        shop.stored(&format!("{GOOD}.toml")),
        b"view = \"\"\nnote = \"caf\xe9\"\n",
    )
    .unwrap();
    let answer = shop.run(&["survey", "26-001", "--json"]).code(1).json();
    let complaint = &answer["complaints"][0];
    assert_eq!(
        (&complaint["line"], &complaint["column"]),
        (&json!(2), &json!(12)),
        "{complaint}"
    );
    assert_eq!(complaint["message"], "the text is not UTF-8 from here on");
}

#[test]
fn mistakes_in_the_settings_are_shown_with_their_place() {
    let shop = Shop::with_piece();
    shop.ready("");
    fs::write(
        shop.path("book/book.toml"),
        "currency = \"EUR\"\ncurency = \"EUR\"\n",
    )
    .unwrap();
    for words in ["report", "survey"] {
        shop.run(&[words, "26-001"]).code(2).stdout("").stderr(
            "could not: `book.toml` cannot be used until it is put right\nerror: `curency` is not a key here\n \
            --> book.toml:2:1\n  |\n2 | curency = \"EUR\"\n  | ^^^^^^^\n  |\nhelp: did you mean `currency`?\n",
        );
    }
    shop.run(&["stock"]).code(0);
}

#[test]
fn words_that_are_not_known_are_answered_with_the_nearest() {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [1, 1, 9, 9]\n");
    shop.run(&["repair", "26-001", "F9", "--method", "veneer_patch"])
        .code(2)
        .stdout("")
        .stderr(
            "could not: 26-001 has no finding F9\n  `asfound survey 26-001` lists its findings\n",
        );
    shop.run(&["repair", "26-001", "F1", "--method", "vener_patch"])
        .code(2)
        .stdout("")
        .stderr("could not: `vener_patch` is not a method of the trade book\n  did you mean `veneer_patch`? `asfound words methods` lists all\n");
    shop.run(&["repair", "26-001", "F1", "--method", "prayer"])
        .code(2)
        .stdout("")
        .stderr("could not: `prayer` is not a method of the trade book\n  `asfound words methods` lists all\n");
    for words in [
        &["survey", "26-999"][..],
        &["report", "26-999"],
        &["put-back", "26-999"],
    ] {
        shop.run(words)
            .code(2)
            .stdout("")
            .stderr("could not: there is no piece 26-999 in this book\n  `asfound stock` lists the pieces\n");
    }
}

/// `asfound words faults | head -1`
#[cfg(unix)]
#[test]
fn a_reader_that_has_seen_enough_is_no_fault() {
    let shop = Shop::with_piece();
    let program = env!("CARGO_BIN_EXE_asfound");
    let script = format!("set -o pipefail; {program} words faults | head -1");
    let ran = Ran::of(shop.command("bash").args(["-c", &script]))
        .code(0)
        .stderr("");
    assert_eq!(ran.out().lines().count(), 1);
}

#[test]
fn a_sidecar_that_became_a_folder_is_named() {
    let shop = shop();
    shop.import().code(0);
    let path = shop.stored(&format!("{GOOD}.toml"));
    fs::remove_file(&path).unwrap();
    fs::create_dir(&path).unwrap();
    let why = fs::read(&path).unwrap_err();
    shop.run(&["survey", "26-001"])
        .code(2)
        .stdout("")
        .stderr(&format!(
            "could not: could not read `{}`\n  because {why}\n  \
             a folder stands where a file is wanted: move it away, or name another place\n",
            path.display()
        ));
}

/// What phones and their programs lay beside photos goes with them without a complaint; what is not here yet is named.
#[test]
fn what_goes_with_photos_is_one_line_and_what_is_not_here_yet_is_named() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ())
        .file("IMG_1.MOV", b"\0\0\0\x14ftypqt  \0\0\0\0qt  ")
        .file("IMG_1.AAE", b"<plist/>")
        .file("IMG_1.jpg.supplemental-metadata.json", b"{}");
    let along = shop.import().code(0);
    assert!(along.out().ends_with("0 kept out\n"), "{along}");
    along.says("3 files that only go with photos (short films, edits, lists of an export) stay where they are, such as ");
    shop.file(".IMG_2.HEIC.icloud", b"bplist00")
        .file("IMG_3.jpg.part", &samples::jpeg(16, 9, &Exif::default()))
        .file("walk.mp4", b"\0\0\0\x14ftypisom\0\0\0\0isom");
    let kept_out = shop.import_json().code(1).json();
    let reasons = refused(&kept_out);
    assert_eq!(
        reasons,
        [
            ".IMG_2.HEIC.icloud: `IMG_2.HEIC` is not on this machine yet, only its name is; load it from the cloud, then import again",
            "IMG_3.jpg.part: is not here whole yet: a download or a copy goes on, or was broken off",
            "walk.mp4: this is not a picture; it looks like a video",
        ]
    );
    shop.import().code(1).says("asfound keep 26-001 FILE");
}
