//! Faults found once, each with the test that showed it.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;
use std::time::SystemTime;

use serde_json::json;

use crate::shop::Ran;
use crate::shop::SIZE;
use crate::shop::Shop;
use samples::Exif;

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
    let first_page = fs::read_to_string(first["path"].as_str().unwrap()).unwrap();
    fs::remove_file(shop.path("book/previews.db")).unwrap();
    let folder = shop.path("copy");
    let folder = folder.to_str().unwrap();
    let words = ["report", "26-001", "--folder", "--out", folder, "--draft"];
    shop.run(&words).code(0);
    let again = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(again["digest"], first["digest"]);
    fs::remove_file(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let again = shop.run(&["report", "26-001", "--json"]).code(0).json();
    let page = fs::read_to_string(again["path"].as_str().unwrap()).unwrap();
    let told = "Its original is not in the book any more";
    assert!(
        page.contains(told) && page.contains("data:image/jpeg"),
        "the preview is there"
    );
    let kept = "The original files are kept";
    assert!(!page.contains(kept) && first_page.contains(kept));
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
    let words = ["report", "26-001", "--draft", "--json", "--for", "owner"];
    let answer = shop.run(&words).json();
    let page = fs::read_to_string(answer["path"].as_str().unwrap()).unwrap();
    let list = page.rfind("b.jpg").expect("b.jpg is listed");
    let place = |name: &str| {
        page.rfind(name)
            .unwrap_or_else(|| panic!("{name} is not listed"))
    };
    assert!(list < place("c.jpg") && place("c.jpg") < place("a.jpg"));
}

/// A page half written when the program was killed lay in the reports for good, as large as the page itself.
#[test]
fn drafts_that_a_killed_report_left_are_swept_by_the_next() {
    let shop = Shop::with_piece();
    shop.ready("");
    let reports = shop.stored("reports");
    let copy = shop.path("copy");
    let old = [
        reports.join(".asfound-unfinished-7-26-001 buyer edition 1.html"),
        copy.join(".asfound-unfinished-7-report.html"),
        copy.join("pictures/.asfound-unfinished-7-1.jpg"),
    ];
    let young = reports.join(".asfound-unfinished-8-26-001 owner edition 1.html");
    for path in old.iter().chain([&young]) {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, "half a page").unwrap();
    }
    let two_hours = Duration::from_secs(7200);
    for path in &old {
        let file = fs::File::options().write(true).open(path).unwrap();
        file.set_modified(SystemTime::now() - two_hours).unwrap();
    }
    shop.run(&["report", "26-001"]).code(0);
    assert!(!old[0].exists() && old[1].exists());
    let words = ["report", "26-001", "--folder", "--out"];
    shop.run(&[&words[..], &[copy.to_str().unwrap()]].concat())
        .code(0);
    assert!(!old[1].exists() && !old[2].exists());
    assert!(young.exists(), "another window may be writing it");
}

/// The original had its name in the folder of one shoot when the program was killed; the repeat, told another clock or a
/// new shoot, stored it in another folder and left the first for good.
#[test]
fn an_original_left_by_a_killed_import_is_taken_home_wherever_the_repeat_stores_it() {
    for more in [&["--new-shoot"][..], &["--clock-off", "+10d"]] {
        let (shop, stray) = killed_between_file_and_row();
        let beside = stray.with_file_name("b.jpg.toml");
        fs::write(&beside, "note = \"written in between\"\n").unwrap();
        // Not the program's own: it is left alone, whatever its bytes.
        let by_hand = stray.with_file_name("by hand.jpg");
        fs::write(&by_hand, fs::read(shop.card("b.jpg")).unwrap()).unwrap();
        let words = [
            "import", "../card", "--piece", "26-001", "--stage", "purchase",
        ];
        // The photo that was in before keeps its clock, which is told.
        let code = i32::from(more.len() > 1);
        let ran = shop.run(&[&words[..], more].concat()).code(code);
        assert!(ran.out().starts_with("1 photo taken to shoot `2 "), "{ran}");
        assert!(!stray.exists() && !beside.exists(), "{more:?}");
        assert!(by_hand.exists());
        let names = shop.stored_names();
        let home = names.iter().find(|it| it.starts_with("2 ")).unwrap();
        assert!(home.ends_with("/b.jpg"), "{names:?}");
        let kept = fs::read(shop.stored(home)).unwrap();
        assert!(kept == fs::read(shop.card("b.jpg")).unwrap());
        let text = fs::read_to_string(shop.stored(&format!("{home}.toml"))).unwrap();
        assert_eq!(text, "note = \"written in between\"\n");
    }
}

/// A repeat that was killed too, after its row was written: the next one finds the photo in the book and the stray beside.
#[test]
fn a_stray_goes_only_when_nothing_is_written_beside_it_that_the_book_does_not_have() {
    let (shop, stray) = killed_between_file_and_row();
    let bytes = fs::read(&stray).unwrap();
    let words = [
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ];
    shop.run(&[&words[..], &["--new-shoot"]].concat()).code(0);
    let lay_back = |bytes: &[u8]| {
        fs::write(&stray, bytes).unwrap();
        let mut rights = fs::metadata(&stray).unwrap().permissions();
        rights.set_readonly(true);
        fs::set_permissions(&stray, rights).unwrap();
    };
    lay_back(&bytes);
    let beside = stray.with_file_name("b.jpg.toml");
    fs::write(&beside, "note = \"mine\"\n").unwrap();
    shop.import().code(1).says(
        "`1 purchase 2026-05-03/b.jpg.toml` lies beside a copy that a broken-off import left; what it says is not in force: \
         carry it over to `2 purchase 2026-05-03/b.jpg.toml`, then delete both",
    );
    assert!(stray.exists() && beside.exists());
    fs::remove_file(&beside).unwrap();
    shop.import().code(0);
    assert!(!stray.exists());
    // One byte more or less, and it is nobody's copy.
    lay_back(&bytes[1..]);
    shop.import().code(0);
    assert!(stray.exists());
    // The stored one is damaged: the stray may be the last good one.
    fs::remove_file(&stray).unwrap();
    lay_back(&bytes);
    let stored = shop.stored("2 purchase 2026-05-03/b.jpg");
    fs::remove_file(&stored).unwrap();
    fs::write(&stored, &bytes[1..]).unwrap();
    shop.import().code(0);
    assert!(stray.exists());
}

/// A shop with `a.jpg` in its first shoot, and an import killed when `b.jpg` had its name there, but no row yet.
fn killed_between_file_and_row() -> (Shop, PathBuf) {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    shop.import().code(0);
    shop.photo("b.jpg", |_| ());
    let beside = shop.stored("1 purchase 2026-05-03/b.jpg.toml");
    // The row waits for whoever holds the book; the file does not.
    let holder = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    holder.execute_batch("BEGIN IMMEDIATE").unwrap();
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command.args([
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ]);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    let mut child = command.spawn().unwrap();
    let begun = Instant::now();
    while !beside.exists() {
        assert!(begun.elapsed() < Duration::from_secs(60));
        std::thread::sleep(Duration::from_millis(1));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    holder.execute_batch("ROLLBACK").unwrap();
    let stray = shop.stored("1 purchase 2026-05-03/b.jpg");
    assert!(stray.exists());
    (shop, stray)
}

/// With `TZ=Asia/Tokyo` a sale in the small hours was dated a day early: no time zone was known by its name.
#[test]
fn a_sale_is_dated_by_the_calendar_of_its_place() {
    // A machine that has time zones, and one that has none: those built in must do.
    let nowhere = tempfile::tempdir().unwrap();
    for zones in [None, Some(nowhere.path())] {
        for (zone, day) in [
            ("Asia/Tokyo", "2026-05-27"),
            ("Pacific/Kiritimati", "2026-05-27"),
            ("UTC", "2026-05-26"),
            ("America/Los_Angeles", "2026-05-26"),
        ] {
            let shop = Shop::with_piece();
            let mut sold = shop.command(env!("CARGO_BIN_EXE_asfound"));
            sold.env("ASFOUND_NOW", "2026-05-26T20:00:00Z")
                .env("TZ", zone);
            if let Some(folder) = zones {
                sold.env("TZDIR", folder);
            }
            sold.args(["sold", "26-001", "--price", "10"]);
            Ran::of(&mut sold)
                .code(0)
                .says(&format!("26-001 sold on {day}"));
        }
    }
}
