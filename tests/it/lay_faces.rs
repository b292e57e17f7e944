//! A face laid by hand in one picture, found again in another, and not where it is not; held against the demo's own corners, which
//! come from what rendered its pictures.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use serde_json::Value;

use crate::demo::asfound;

const PHOTOS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/photos");
/// Where the renderer has the top in the two pictures, percent.
const HAND: &str = "[[13.8, 27.8], [87.1, 30.2], [94.0, 76.1], [5.0, 72.7]]";
const TRUE: [[f64; 2]; 4] = [[18.1, 27.1], [91.1, 28.6], [96.9, 75.2], [11.0, 70.8]];

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
    let book = folder.join("book");
    let run = |words: &[&str]| assert_eq!(asfound(Some(&book), words).0, 0, "{words:?}");
    run(&["new-book", book.to_str().unwrap()]);
    let chest = ["intake", "chest", "--form", "chest_of_drawers", "--size"];
    run(&[&chest[..], &["900x1050x480mm"]].concat());
    let card = card.to_str().unwrap();
    run(&["import", card, "--piece", "26-001", "--stage", "purchase"]);
    book
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
fn with_nothing_laid_by_hand_it_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    assert_eq!(asfound(None, &["new-book", book.to_str().unwrap()]).0, 0);
    let stool = ["intake", "oak stool", "--form", "side_table"];
    assert_eq!(asfound(Some(&book), &stool).0, 0);
    let (code, _) = asfound(Some(&book), &["lay", "26-001"]);
    assert_eq!(code, 2);
}
