//! A face laid by hand in one picture, found again in another, and not where it is not; held against the demo's own corners, which
//! come from what rendered its pictures.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;

use serde_json::Value;

use crate::demo::asfound;

const PHOTOS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/photos");
/// Where the renderer has the top in the two pictures, percent.
const HAND: &str = "[[13.8, 27.8], [87.1, 30.2], [94.0, 76.1], [5.0, 72.7]]";
const TRUE: [[f64; 2]; 4] = [[18.1, 27.1], [91.1, 28.6], [96.9, 75.2], [11.0, 70.8]];

/// A book with one piece, a chest.
fn chest(folder: &Path) -> PathBuf {
    let book = folder.join("book");
    let run = |words: &[&str]| assert_eq!(asfound(Some(&book), words).0, 0, "{words:?}");
    run(&["new-book", book.to_str().unwrap()]);
    let chest = ["intake", "chest", "--form", "chest_of_drawers", "--size"];
    run(&[&chest[..], &["900x1050x480mm"]].concat());
    book
}

/// A book with three pictures of the chest: its top, laid by hand; the top at the sale; and its back.
fn book(folder: &Path) -> PathBuf {
    let card = folder.join("card");
    fs::create_dir(&card).unwrap();
    for (from, name) in [
        ("purchase/K2_20260314_100515.jpg", "a.jpg"),
        ("sale/K2_20260502_182330.jpg", "b.jpg"),
        ("purchase/K2_20260314_100320.jpg", "c.jpg"),
    ] {
        fs::copy(Path::new(PHOTOS).join(from), card.join(name)).unwrap();
    }
    let laid = format!("[[face]]\nface = \"top\"\ncorners = {HAND}\nhow = \"by hand\"\n");
    fs::write(card.join("a.jpg.toml"), laid).unwrap();
    let book = chest(folder);
    let (code, out) = import(&book, &card, &["--no-lay"]);
    // Two days of a shoot lie far apart, which is told.
    assert_eq!(code, 1, "{out}");
    book
}

fn import(book: &Path, card: &Path, more: &[&str]) -> (i32, String) {
    let card = card.to_str().unwrap();
    let words = ["import", card, "--piece", "26-001", "--stage", "purchase"];
    asfound(Some(book), &[&words[..], more].concat())
}

/// An import whose words on standard error, or whose end, are looked at.
fn import_call(book: &Path, card: &Path) -> Command {
    let mut call = Command::new(env!("CARGO_BIN_EXE_asfound"));
    let card = card.to_str().unwrap();
    call.args(["import", card, "--piece", "26-001", "--stage", "purchase"]);
    call.env_clear().env("ASFOUND_BOOK", book).env("TZ", "UTC");
    call.env("ASFOUND_NOW", "2026-05-26T09:00:00Z");
    call
}

fn lay(book: &Path, more: &[&str]) -> Value {
    let (code, out) = asfound(Some(book), &[&["lay", "26-001", "--json"], more].concat());
    assert_eq!(code, 0, "{out}");
    serde_json::from_str(&out).unwrap()
}

fn sidecar(book: &Path, name: &str) -> PathBuf {
    let inside = |folder: &Path, start: &str| {
        let all = fs::read_dir(folder).unwrap().map(|it| it.unwrap().path());
        let mut found = all.filter(|it| {
            let name = it.file_name().unwrap().to_str().unwrap();
            it.is_dir() && name.starts_with(start)
        });
        found.next().unwrap()
    };
    let shoot = inside(&inside(book, "26-001"), "1 purchase");
    shoot.join(format!("{name}.toml"))
}

#[test]
fn a_face_laid_once_is_found_in_the_next_picture_and_not_where_it_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(folder.path());
    let [hand, other] = ["a.jpg", "b.jpg"].map(|it| sidecar(&book, it));
    let texts = || [&hand, &other].map(|it| fs::read_to_string(it).unwrap());
    let before = texts();

    let told = lay(&book, &[]);
    let faces = told["faces"].as_array().unwrap();
    assert_eq!(faces.len(), 1, "{told}");
    let it = &faces[0];
    assert_eq!(
        (&it["photo"], &it["from"], &it["accepted"], &it["written"]),
        (&2.into(), &1.into(), &true.into(), &false.into()),
        "{told}"
    );
    let corners: [[f64; 2]; 4] = serde_json::from_value(it["corners"].clone()).unwrap();
    let photo = fs::read(other.with_extension("")).unwrap();
    let (width, height) = asfound::photo::stored_size(&photo, Default::default()).unwrap();
    let scale = 1600.0 / f64::from(width.max(height)) / 100.0;
    for (got, want) in corners.iter().zip(TRUE) {
        let [x, y] = [
            (got[0] - want[0]) * f64::from(width) * scale,
            (got[1] - want[1]) * f64::from(height) * scale,
        ];
        assert!(x.hypot(y) < 2.0, "{x} {y} px of 1600: {told}");
    }
    let refused = told["refused"].as_array().unwrap();
    assert_eq!((refused.len(), &refused[0]["photo"]), (1, &3.into()));
    assert_eq!(texts(), before, "nothing is written that was not asked");

    let told = lay(&book, &["--photo", "2", "--take"]);
    assert_eq!(told["faces"][0]["written"], true, "{told}");
    assert_eq!(told["refused"].as_array().unwrap().len(), 0, "{told}");
    let [by_hand, written] = texts();
    assert_eq!(by_hand, before[0]);
    assert!(written.contains("how = \"from picture 1\""), "{written}");

    // What a person lays is theirs from then on, however wrong it seems.
    let moved = written.replace("from picture 1", "by hand");
    fs::write(&other, &moved).unwrap();
    let told = lay(&book, &["--photo", "2", "--take"]);
    assert_eq!(told["faces"].as_array().unwrap().len(), 0, "{told}");
    assert_eq!(texts()[1], moved);
}

#[test]
fn an_import_looks_for_laid_faces_writes_nothing_and_looks_once() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(folder.path());
    let card = folder.path().join("card");
    let again = |more: &[&str]| {
        let (code, out) = import(&book, &card, &[&["--json"], more].concat());
        assert_eq!(code, 0, "{out}");
        serde_json::from_str::<Value>(&out).unwrap()
    };
    assert_eq!(again(&["--no-lay"])["laid"], Value::Null);
    let before = fs::read_to_string(sidecar(&book, "b.jpg")).unwrap();
    let told = again(&[])["laid"].clone();
    assert_eq!(told["faces"][0]["photo"], 2, "{told}");
    assert_eq!(told["faces"][0]["accepted"], true, "{told}");
    assert_eq!(fs::read_to_string(sidecar(&book, "b.jpg")).unwrap(), before);

    // With the originals away, the same answer can only be what was kept.
    let away = folder.path().join("away");
    for name in ["a.jpg", "b.jpg", "c.jpg"] {
        let original = sidecar(&book, name).with_extension("");
        fs::rename(&original, away.with_extension(name)).unwrap();
    }
    let kept = lay(&book, &[]);
    assert_eq!(kept["faces"], told["faces"]);
    assert_eq!(kept["refused"], told["refused"]);
    fs::remove_file(book.join("previews.db")).unwrap();
    assert_eq!(lay(&book, &[])["faces"].as_array().unwrap().len(), 0);
    for name in ["a.jpg", "b.jpg", "c.jpg"] {
        let original = sidecar(&book, name).with_extension("");
        fs::rename(away.with_extension(name), &original).unwrap();
    }

    // One line says what was found and how to say yes; what was taken is not told again.
    let run = || {
        let done = import_call(&book, &card).output().unwrap();
        assert!(done.status.success());
        String::from_utf8(done.stderr).unwrap()
    };
    let line =
        "faces found in other pictures: 1 beyond doubt (`asfound lay 26-001 --take` writes them)";
    let told = run();
    assert_eq!(told.matches(line).count(), 1, "{told}");
    lay(&book, &["--take"]);
    assert!(!run().contains("faces found"), "{}", run());
}

/// The whole top lies in both pictures of it, 900 mm in less than 1600 px: too small, and nothing else is known of it.
#[test]
fn the_shot_list_asks_for_an_area_with_a_drawing_of_where() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(folder.path());
    let page = folder.path().join("page.html");
    let words = ["shotlist", "26-001", "--stage", "sale"];
    let (code, out) = asfound(Some(&book), &[&words[..], &["--json"]].concat());
    assert_eq!(code, 0);
    let told: Value = serde_json::from_str(&out).unwrap();
    let [area] = told["areas"].as_array().unwrap().as_slice() else {
        panic!("{told}");
    };
    assert_eq!(area["face"], "top");
    assert!(area["best_px_per_mm"].as_f64().unwrap() < 2.0, "{area}");
    let text = area["text"].as_str().unwrap();
    assert!(text.starts_with("top: no laid picture with 2 px/mm (best 1."));
    let (_, out) = asfound(Some(&book), &words);
    let (first, rest) = text.split_at(1);
    let line = format!("[ ] {}{rest}.\n", first.to_uppercase());
    assert!(out.contains(&line), "{out}");
    let how = "Straight on, at most 1008 mm along the longer side of the picture.";
    assert_eq!(area["how"], how);
    assert_eq!(out.matches(how).count(), 1, "{out}");
    let to = ["--page", page.to_str().unwrap()];
    assert_eq!(asfound(Some(&book), &[&words[..], &to].concat()).0, 0);
    let page = fs::read_to_string(page).unwrap();
    assert_eq!(page.matches("<svg class=\"where\"").count(), 1);
    assert!(
        page.contains(&format!("aria-label=\"{}\"", text.replace('/', "&#x2f;"))),
        "{text}"
    );
    assert!(page.contains("<path d=\"M0 0h"), "the area is drawn");
}

#[test]
fn killed_while_faces_are_looked_for_an_import_loses_no_photo() {
    let folder = tempfile::tempdir().unwrap();
    let first = book(folder.path());
    let card = folder.path().join("card");
    let wanted = import(&first, &card, &["--json"]).1;
    let wanted: Value = serde_json::from_str(&wanted).unwrap();
    let second = folder.path().join("second");
    fs::create_dir(&second).unwrap();
    let book = chest(&second);
    let mut call = import_call(&book, &card);
    let mut running = call.stdout(Stdio::piped()).spawn().unwrap();
    // The photos are told as taken before faces are looked for.
    let mut told = std::io::BufReader::new(running.stdout.take().unwrap());
    let mut line = String::new();
    std::io::BufRead::read_line(&mut told, &mut line).unwrap();
    assert!(line.starts_with("3 photos taken"), "{line}");
    std::thread::sleep(Duration::from_millis(50));
    running.kill().unwrap();
    running.wait().unwrap();
    let (code, out) = asfound(Some(&book), &["verify"]);
    assert!(
        out.contains("3 of 3 originals in their places") && out.contains("3 of 3 sidecars"),
        "{code} {out}"
    );
    let (code, out) = import(&book, &card, &["--json"]);
    assert_eq!(code, 0, "{out}");
    let again: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&again["taken"], &again["already"]), (&0.into(), &3.into()));
    assert_eq!(again["laid"]["faces"], wanted["laid"]["faces"]);
}

#[test]
fn with_nothing_laid_by_hand_it_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    assert_eq!(asfound(None, &["new-book", book.to_str().unwrap()]).0, 0);
    let stool = ["intake", "oak stool", "--form", "side_table"];
    assert_eq!(asfound(Some(&book), &stool).0, 0);
    let (code, _) = asfound(Some(&book), &["lay", "26-001"]);
    assert_eq!(code, 2);
}
