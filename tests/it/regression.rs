//! Faults found once, each with the test that showed it.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::io::Write as _;

use serde_json::json;

use crate::samples;
use crate::samples::Exif;
use crate::shop::SIZE;
use crate::shop::Shop;

/// The photos were in the book, yet the command said that it could not, and its answer was lost.
#[test]
fn a_mistake_in_the_settings_does_not_stop_an_import() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    fs::write(shop.path("book/book.toml"), "curency = \"EUR\"\n").unwrap();
    let answer = shop.import_json().code(1).json();
    assert_eq!(answer["taken"], 1);
    assert_eq!(
        answer["warnings"],
        json!(["book.toml:1:1: `curency` is not a key here"])
    );
}

/// `..\\a.jpg` was passed over as a hidden file, without a word.
#[test]
fn a_zip_with_backslashes_is_taken_whole() {
    let shop = Shop::with_piece();
    let mut zip = zip::ZipWriter::new(fs::File::create(shop.card("sent.zip")).unwrap());
    let options = zip::write::SimpleFileOptions::default();
    for (n, name) in ["DCIM\\a.jpg", ".\\b.jpg", "..\\c.jpg"].iter().enumerate() {
        zip.start_file(*name, options).unwrap();
        let exif = Exif::taken(&format!("2026:05:03 1{n}:00:00"));
        zip.write_all(&samples::jpeg_seeded(SIZE.0, SIZE.1, 40 + n as u32, &exif))
            .unwrap();
    }
    zip.finish().unwrap();
    let answer = shop.import_json().json();
    assert_eq!(answer["taken"], 3, "{answer}");
    for name in ["a.jpg", "b.jpg", "c.jpg"] {
        let path = format!("1 purchase 2026-05-03/{name}");
        assert!(shop.stored(&path).exists(), "{name}");
    }
}

/// A page made after `previews.db` was deleted had other pictures, and so became another edition; and one whose original is
/// gone must still be made from what is there.
#[test]
fn a_report_is_made_without_previews_and_without_originals() {
    let shop = Shop::with_piece();
    shop.ready("");
    let first = shop.run(&["report", "26-001", "--json"]).code(0).json();
    fs::remove_file(shop.path("book/previews.db")).unwrap();
    let folder = shop.path("copy");
    let folder = folder.to_str().unwrap();
    let words = ["report", "26-001", "--folder", "--out", folder, "--draft"];
    shop.run(&words).code(0);
    let again = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(again["digest"], first["digest"]);
    fs::remove_file(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let again = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(again["digest"], first["digest"], "the preview is there");
}

/// Photos stand in the order in which they were taken, whatever their names say.
#[test]
fn pictures_stand_in_the_order_of_the_corrected_camera_time() {
    let shop = Shop::with_piece();
    shop.photo("b.jpg", |_| ()).photo("a.jpg", |_| ());
    shop.import().code(0);
    let words = [
        "import", "../late", "--piece", "26-001", "--stage", "purchase",
    ];
    shop.file(
        "../late/c.jpg",
        &samples::jpeg_seeded(SIZE.0, SIZE.1, 77, &Exif::taken("2026:05:02 10:02:00")),
    );
    shop.run(&[&words[..], &["--clock-off", "+1d"]].concat())
        .code(0);
    let answer = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(answer["path"].as_str().unwrap()).unwrap();
    let list = page.rfind("b.jpg").expect("b.jpg is listed");
    let place = |name: &str| {
        page.rfind(name)
            .unwrap_or_else(|| panic!("{name} is not listed"))
    };
    assert!(list < place("c.jpg") && place("c.jpg") < place("a.jpg"));
}
