//! What a second run does: goes on where a broken-off one stopped, puts right what was told, and enters nothing twice.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;
use std::time::SystemTime;

use rusqlite::Connection;
use serde_json::json;

use crate::shop::Shop;

fn count(shop: &Shop, what: &str) -> u32 {
    let db = Connection::open(shop.path("book/book.db")).unwrap();
    db.busy_timeout(Duration::from_secs(20)).unwrap();
    db.query_row(&format!("SELECT count(*) FROM {what}"), [], |row| {
        row.get(0)
    })
    .unwrap()
}

#[test]
fn a_copied_book_gains_no_line_for_texts_that_are_the_same() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    shop.photo("b.jpg", |_| ());
    shop.import().code(0);
    let before = count(&shop, "ledger");
    let day = Duration::from_secs(86_400);
    for name in ["a.jpg.toml", "b.jpg.toml"] {
        let path = shop.stored(&format!("1 purchase 2026-05-03/{name}"));
        let file = fs::File::options().write(true).open(path).unwrap();
        file.set_modified(SystemTime::now() - day).unwrap();
    }
    shop.run(&["survey", "26-001"]).code(0);
    assert_eq!(count(&shop, "ledger"), before);
    assert_eq!(count(&shop, "sidecar_text"), 2);
    let changed = shop.stored("1 purchase 2026-05-03/a.jpg.toml");
    fs::write(&changed, "view = \"top_flat\"\nparts = [\"top\"]\n").unwrap();
    shop.run(&["survey", "26-001"]).code(0);
    assert_eq!(count(&shop, "ledger"), before + 1);
}

#[test]
fn a_clock_is_put_right_for_pictures_that_are_in() {
    let shop = Shop::with_piece();
    for name in ["a.jpg", "b.jpg"] {
        shop.photo(name, |_| ());
    }
    shop.import().code(0);
    let again = shop.run(&[
        "import",
        "../card",
        "--piece",
        "26-001",
        "--stage",
        "purchase",
        "--clock-off",
        "+1d",
    ]);
    again.code(1).says(
        "the clock of 2 photos that were in the book already is as it was; `asfound clock 26-001 --off +1d --photo 1,2` puts it right",
    );
    let before = count(&shop, "ledger");
    shop.run(&["clock", "26-001", "--off", "+1d", "--photo", "1,2"])
        .code(0)
        .stdout("2 photos 1, 2: +1d added to the camera's clock\nshoot 1 begins on 4 May 2026\n");
    // One line for the clock, one for the shoot's new day.
    assert_eq!(count(&shop, "ledger"), before + 2);
    let survey = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    assert_eq!(survey["shoots"][0]["day"], json!("2026-05-04"));
    shop.run(&["clock", "26-001", "--off", "+1d", "--shoot", "1"])
        .code(0)
        .stderr("their clock is corrected so already\n");
    assert_eq!(count(&shop, "ledger"), before + 2);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    for (words, why) in [
        (vec!["--photo", "9"], "26-001 has no picture 9"),
        (vec![], "say whose clock was off"),
        (vec!["--shoot", "7"], "26-001 has no shoot 7"),
    ] {
        let words = [vec!["clock", "26-001", "--off", "+1h"], words].concat();
        shop.run(&words).code(2).says(why);
    }
}

/// What was told wrongly of a shoot at import: put right in one line, with no file moved, and the former word shown where dates are.
#[test]
fn a_shoot_is_put_right_after_its_import() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    shop.photo("a2.jpg", |_| ());
    shop.import().code(0);
    shop.photo("b.jpg", |it| it.time = None);
    shop.run(&["import", "../card", "--piece", "26-001", "--stage", "work"])
        .code(1);
    let (files, lines) = (shop.stored_names(), count(&shop, "ledger"));
    let amend = |words: &[&str]| shop.run(&[&["amend", "26-001", "--shoot"], words].concat());
    let stage = ["1", "--stage", "sale"];
    amend(&stage)
        .code(0)
        .stdout("26-001 shoot 1: sale, 2026-05-03\n")
        .says("purchase, 2026-05-03, as told before, stays in the ledger; the folder keeps its name, `1 purchase 2026-05-03`");
    amend(&stage)
        .code(0)
        .stderr("that is what was told of it before\n");
    assert_eq!(count(&shop, "ledger"), lines + 1);
    let day = ["2", "--day", "2026-05-20", "--json"];
    let done = amend(&day).code(0).json();
    assert_eq!(
        (&done["stage"], &done["day"], &done["instead_of"]["stage"]),
        (&json!("work"), &json!("2026-05-20"), &json!("work"))
    );
    for (words, says) in [
        (
            &["1", "--day", "2026-05-01"][..],
            "the cameras say that shoot 1 begins on 2026-05-03, not on 2026-05-01",
        ),
        (&["2", "--day", "2099-05-01"], "lies in the future"),
        (&["3", "--stage", "work"], "its shoots are 1, 2"),
        (&["1"], "say what is to be put right of shoot 1"),
        (
            &["1", "--stage", "work", "--weight", "9 kg"],
            "a command of its own",
        ),
    ] {
        amend(words).code(2).says(says);
    }
    assert_eq!(count(&shop, "ledger"), lines + 2);
    assert_eq!(shop.stored_names(), files);
    let survey = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    assert_eq!(survey["shoots"][0]["stage"], "sale");
    let notes = survey["picture_notes"].to_string();
    assert!(notes.contains("rests on the day of its shoot"), "{notes}");
    let out = [
        "remove",
        "26-001",
        "--photo",
        "1",
        "--why",
        "a person in it",
    ];
    shop.run(&out).code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0).says("intact");
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let folder = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let cover = fs::read_to_string(format!("{folder}/data/cover.html")).unwrap();
    for says in [
        "Shoot 1 put right: occasion sale, told before as purchase",
        "Shoot 2 put right: first day 20 May 2026, told before as ",
        "Picture 1 (sale) taken out of the record",
    ] {
        assert_eq!(cover.matches(says).count(), 1, "{says}");
    }
    shop.run(&["verify", &folder]).code(0);
    let db = Connection::open(shop.path("book/book.db")).unwrap();
    for change in ["stage = 'return'", "day = '2026-05-02'"] {
        db.execute(&format!("UPDATE shoot SET {change} WHERE no = 1"), [])
            .unwrap();
        shop.run(&["verify"])
            .code(1)
            .says("shoot 1 is not the one in the ledger");
        db.execute("UPDATE shoot SET stage = 'sale' WHERE no = 1", [])
            .unwrap();
    }
}

#[test]
fn a_picture_a_day_off_its_shoot_is_told_at_import() {
    let shop = Shop::with_piece();
    for name in ["a.jpg", "b.jpg", "c.jpg", "d.jpg"] {
        shop.photo(name, |_| ());
    }
    shop.photo("e.jpg", |it| {
        it.time = Some("2026:05:02 09:00:00".to_owned())
    });
    let told = shop.import().code(1);
    told.says("its camera's time lies 25 h before that of picture 1, the nearest of its shoot; if the clock was off, `asfound clock` puts it right");
}

#[test]
fn a_card_of_several_months_broken_off_is_one_shoot_all_the_same() {
    const PHOTOS: u32 = 40;
    let shop = Shop::with_piece();
    for n in 0..PHOTOS {
        let time = format!("2026:{:02}:03 10:{:02}:00", 1 + n / 10, n % 10 * 5);
        shop.photo(&format!("{n:02}.jpg"), |it| it.time = Some(time));
    }
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command.args([
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ]);
    let quiet = command.stdout(Stdio::null()).stderr(Stdio::null());
    let mut child = quiet.spawn().unwrap();
    let begun = Instant::now();
    while count(&shop, "photo") == 0 {
        assert!(
            begun.elapsed() < Duration::from_secs(120),
            "nothing came in"
        );
        std::thread::sleep(Duration::from_millis(1));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let in_when_killed = count(&shop, "photo");
    assert!(in_when_killed < PHOTOS, "it was done before it was killed");
    shop.import();
    assert_eq!(
        (count(&shop, "photo"), count(&shop, "shoot")),
        (PHOTOS, 1),
        "killed at {in_when_killed}"
    );
    let names = shop.stored_names();
    assert_eq!(names.len() as u32, 2 * PHOTOS, "{names:?}");
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
}

#[test]
fn a_repair_told_twice_is_one_and_another_is_another() {
    let shop = Shop::with_piece();
    let mark =
        "[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [10, 10, 20, 20]\n";
    shop.photo("a.jpg", |_| ());
    let text = format!("view = \"top_flat\"\n{mark}");
    shop.file("a.jpg.toml", text.as_bytes());
    shop.import().code(0);
    let told = [
        "repair",
        "26-001",
        "F1",
        "--method",
        "wax_polish",
        "--minutes",
        "40",
    ];
    let first = shop.run(&[&told[..], &["--json"]].concat());
    let code = first.code(0).json();
    assert_eq!(
        (&code["repair"], &code["already"]),
        (&json!(1), &json!(false))
    );
    let lines = count(&shop, "ledger");
    let again = shop.run(&[&told[..], &["--json"]].concat()).code(0).json();
    assert_eq!(
        (&again["repair"], &again["already"]),
        (&json!(1), &json!(true))
    );
    assert_eq!(count(&shop, "ledger"), lines);
    let other = [
        "repair",
        "26-001",
        "F1",
        "--method",
        "wax_polish",
        "--minutes",
        "55",
        "--json",
    ];
    assert_eq!(shop.run(&other).code(0).json()["repair"], json!(2));
}

/// A text that was refused came into force without being edited, and was in the book twice with one line in the ledger.
#[test]
fn a_text_that_becomes_good_without_a_change_is_one_text() {
    let shop = Shop::new();
    shop.book();
    shop.run(&["intake", "oak chair", "--form", "chair"])
        .code(0);
    shop.photo("a.jpg", |_| ());
    shop.file(
        "a.jpg.toml",
        b"view = \"front_whole\"\nparts = [\"arm-left\"]\nsound = [\"arm-left\"]\n",
    );
    shop.import();
    shop.run(&["survey", "26-001"]).code(1);
    shop.run(&["amend", "26-001", "--with", "arm"]).code(0);
    shop.run(&["survey", "26-001"]).code(0);
    assert_eq!(count(&shop, "sidecar_text"), 1);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
}
