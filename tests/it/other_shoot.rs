//! Photos that were taken in with the wrong shoot are put into the one that they are of: by one command, with a line for each, and
//! no file is moved.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use rusqlite::Connection;
use serde_json::Value;
use serde_json::json;

use crate::shop::Ran;
use crate::shop::Shop;

/// A piece with its purchase of 3 May and one import of the sale, with two pictures of the delivery on its card: of those one is
/// a copy that tells no day.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.ready("");
    for name in ["IMG_1.jpg", "IMG_2.jpg"] {
        for name in [name.to_owned(), format!("{name}.toml")] {
            fs::remove_file(shop.card(&name)).unwrap();
        }
    }
    let at = |name: &str, day: &str, said: &str| {
        let time = format!("{day} 11:00:00");
        shop.photo(name, |it| it.time = Some(time));
        shop.file(format!("{name}.toml"), said.as_bytes());
    };
    let scratch = |state: &str| {
        format!(
            "view = \"top_flat\"\nparts = [\"top\"]\n[[mark]]\ntag = \"scratch_wood\"\npart = \"top\"\nlevel = 2\nstate = \"{state}\"\n"
        )
    };
    at(
        "IMG_3.jpg",
        "2026:05:10",
        "view = \"front_whole\"\nsound = [\"top\"]\n",
    );
    at("IMG_4.jpg", "2026:05:20", &scratch("present"));
    shop.photo("IMG_5.jpg", |it| it.time = None);
    shop.file("IMG_5.jpg.toml", b"view = \"back_whole\"\n");
    let words = ["import", "../card", "--piece", "26-001", "--stage", "sale"];
    shop.run(&words);
    // Sold before it was entered, which is told.
    shop.run(&["sold", "26-001", "--on", "2026-05-15"]).code(1);
    shop
}

fn amend(shop: &Shop, words: &[&str]) -> Ran {
    shop.run(&[&["amend", "26-001"], words].concat())
}

fn lines(shop: &Shop, what: &str) -> Vec<Value> {
    let db = Connection::open(shop.path("book/book.db")).unwrap();
    let mut ask = db.prepare("SELECT line FROM ledger ORDER BY no").unwrap();
    let rows = ask.query_map([], |row| row.get::<_, String>(0)).unwrap();
    let all = rows.map(|it| serde_json::from_str::<Value>(&it.unwrap()).unwrap());
    let these = all.filter(|it| it["what"] == what);
    these.map(|it| it["open"].clone()).collect()
}

/// The files of the piece, without its dossiers.
fn stored(shop: &Shop) -> BTreeSet<String> {
    let names = shop.stored_names().into_iter();
    names.filter(|it| !it.contains("dossiers")).collect()
}

fn survey(shop: &Shop) -> Value {
    shop.run(&["survey", "26-001", "--json"]).json()
}

/// Number, occasion, day and how many pictures.
fn shoots(it: &Value) -> Vec<(u64, String, String, u64)> {
    let all = it["shoots"].as_array().unwrap().iter();
    let text = |it: &Value| it.as_str().unwrap().to_owned();
    let of = |it: &Value| {
        let no = it["no"].as_u64().unwrap();
        (
            no,
            text(&it["stage"]),
            text(&it["day"]),
            it["photos"].as_u64().unwrap(),
        )
    };
    all.map(of).collect()
}

fn own(no: u64, stage: &str, day: &str, photos: u64) -> (u64, String, String, u64) {
    (no, stage.to_owned(), day.to_owned(), photos)
}

fn dossier(shop: &Shop) -> String {
    let words = [
        "dossier",
        "26-001",
        "--folder",
        "--claim",
        "transit_break",
        "--json",
    ];
    let made = shop.run(&words).code(0).json();
    made["path"].as_str().unwrap().to_owned()
}

#[test]
fn photos_are_put_into_the_shoot_that_they_are_of_and_all_that_is_read_says_so() {
    let shop = shop();
    shop.run(&["seal"]).code(0);
    let sealed = dossier(&shop);
    let (files, before) = (stored(&shop), survey(&shop));
    assert_eq!(
        shoots(&before),
        [
            own(1, "purchase", "2026-05-03", 2),
            own(2, "sale", "2026-05-10", 3)
        ]
    );
    let found = &before["findings"][0];
    assert_eq!(
        (&found["tag"], &found["state"]),
        (&json!("scratch_wood"), &json!("open"))
    );

    let said = amend(&shop, &["--photo", "4,5", "--stage", "delivery"]).code(1);
    let said = said.says("picture 5 tells no day of its own, and seal 1 has it as of the sale");
    let said = said.stdout("26-001 pictures 4, 5: of shoot 3, delivery, 2026-05-20\n");
    let said = said
        .says("told before as of shoot 2, sale: 1 picture of it still; it begins on 2026-05-10");
    said.says(
        "files and sidecars stay in `2 sale 2026-05-10`; the former word stays in the ledger",
    );
    assert_eq!(
        lines(&shop, "moved")
            .iter()
            .map(|it| (&it["photo"], &it["shoot"]))
            .collect::<Vec<_>>(),
        [(&json!(4), &json!(3)), (&json!(5), &json!(3))]
    );
    let now = survey(&shop);
    assert_eq!(
        shoots(&now),
        [
            own(1, "purchase", "2026-05-03", 2),
            own(2, "sale", "2026-05-10", 1),
            own(3, "delivery", "2026-05-20", 2)
        ]
    );
    // What was there before the sale and what came after it are told apart by the shoot.
    assert_eq!(
        now["findings"][0]["origin"], "after_sale",
        "{:#}",
        now["findings"]
    );
    let notes = now["picture_notes"].to_string();
    assert!(
        notes.contains("taken into the book with the sale pictures on 26 May 2026 (line ")
            && notes
                .contains("; put by the owner with the delivery pictures on 26 May 2026 (line "),
        "{notes}"
    );
    assert_eq!(stored(&shop), files);
    // The stock list goes by the newest occasion, and that is the delivery.
    assert_eq!(
        shop.run(&["stock", "--json"]).code(0).json()[0]["stage"],
        "delivery"
    );

    // The same again changes nothing.
    let count = |shop: &Shop| lines(shop, "moved").len() + lines(shop, "shoot").len();
    let lines_then = count(&shop);
    amend(&shop, &["--photo", "4,5", "--stage", "delivery"])
        .code(0)
        .stderr("they are of shoot 3 already\n");
    amend(&shop, &["--photo", "5", "--shoot", "3"])
        .code(0)
        .stdout("");
    assert_eq!(count(&shop), lines_then);

    // What was sealed before is checked as before, and what is sealed now says both.
    shop.run(&["verify"]).code(0).says("the shoot of picture 4");
    shop.run(&["verify", &sealed]).code(0);
    shop.run(&["seal"]).code(0);
    let sent = dossier(&shop);
    shop.run(&["verify", &sent])
        .code(0)
        .says("photo 4 was put into shoot 3");
    if crate::stamp_office::ready() {
        let folder = crate::dossier::Folder(crate::proof::files(Path::new(&sent)));
        let said = crate::dossier::run_check_text(&folder, &[]);
        assert!(
            said.contains("puts photo 4, taken in as sale by line "),
            "{said}"
        );
        assert!(said.contains(", into shoot 3, delivery\n"), "{said}");
        assert!(said.contains("VERDICT: INTACT"), "{said}");
    }
    let cover = fs::read_to_string(Path::new(&sent).join("data/cover.html")).unwrap();
    for says in [
        "Pictures 4, 5 put right: of shoot 3 (delivery), told before as of shoot 2 (sale)",
        "Sale: 1 picture taken into the book",
        "Sale: 2 pictures taken into the book; put with the delivery pictures since",
        "Delivery: 1 picture taken",
    ] {
        assert_eq!(cover.matches(says).count(), 1, "{says}");
    }
    // Who signs that the pictures are theirs is told what each camera says, and what was put elsewhere.
    let statement = Path::new(&sent).join("data/statement.html");
    let statement = fs::read_to_string(statement).unwrap();
    for says in [
        "<td>20 May 2026; taken into the book with the sale pictures on 26 May 2026 (line ",
        "<td>no camera time; taken into the book with the sale pictures on 26 May 2026 (line ",
        "<td>10 May 2026</td><td>1</td><td>3</td>",
    ] {
        assert_eq!(statement.matches(says).count(), 1, "{says}: {statement}");
    }
    let page = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(page["path"].as_str().unwrap()).unwrap();
    assert!(
        page.contains("Taken into the book with the sale pictures on 26 May 2026"),
        "the report tells it"
    );

    // A backup carries it.
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["restore", "../safe", "../again"]).code(0);
    let again = shop
        .run_in(shop.path("again"), &["survey", "26-001", "--json"])
        .json();
    assert_eq!(shoots(&again), shoots(&now));
    shop.run_in(shop.path("again"), &["verify"]).code(0);
}

#[test]
fn a_shoot_that_lost_all_its_pictures_is_told_of_no_more_and_comes_back_with_them() {
    let shop = shop();
    shop.run(&["seal"]).code(0);
    amend(&shop, &["--photo", "4", "--stage", "delivery"]).code(0);
    let done = amend(&shop, &["--photo", "3,5", "--stage", "work", "--json"]).json();
    assert_eq!(
        (&done["from"][0]["no"], &done["from"][0]["photos"]),
        (&json!(2), &json!(0))
    );
    assert_eq!(
        shoots(&survey(&shop)),
        [
            own(1, "purchase", "2026-05-03", 2),
            own(3, "delivery", "2026-05-20", 1),
            own(4, "work", "2026-05-10", 2)
        ]
    );
    shop.run(&["verify"]).code(0);
    amend(&shop, &["--photo", "3,5", "--shoot", "2"]);
    assert_eq!(
        shoots(&survey(&shop)),
        [
            own(1, "purchase", "2026-05-03", 2),
            own(2, "sale", "2026-05-10", 2),
            own(3, "delivery", "2026-05-20", 1)
        ]
    );
    assert_eq!(lines(&shop, "moved").len(), 5);
    // A shoot that no picture is of now is there, and that is said.
    amend(&shop, &["--photo", "3,5", "--shoot", "4"]);
    for words in [
        &["amend", "26-001", "--shoot", "2", "--stage", "work"][..],
        &["clock", "26-001", "--shoot", "2", "--off=+1d"],
    ] {
        let said = shop.run(words).code(2);
        said.says("no picture is of shoot 2 of 26-001 now");
    }
    amend(&shop, &["--photo", "3,5", "--shoot", "2"]);
    shop.run(&["verify"]).code(0);
    // Out and back again, a picture is of the shoot that it was put into; while it is out, the first page tells with which it came in.
    shop.run(&["remove", "26-001", "--photo", "4", "--why", "a face"])
        .code(0);
    shop.run(&["verify"]).code(0);
    shop.run(&["seal"]).code(0);
    let cover = fs::read_to_string(Path::new(&dossier(&shop)).join("data/cover.html")).unwrap();
    let came = "Sale: 1 picture taken into the book, 1 of which taken out of the record later; put with the delivery pictures since";
    assert!(
        cover.contains(came) && cover.contains("Picture 4 (delivery, "),
        "{cover}"
    );
    assert!(!cover.contains("Delivery: 1 picture taken into the book"));
    shop.run(&["put-back", "26-001", "--photo", "4"]).code(0);
    assert_eq!(
        shoots(&survey(&shop))[2],
        own(3, "delivery", "2026-05-20", 1)
    );
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    shop.run(&["verify", &dossier(&shop)]).code(0);
    // An import goes on in the shoot of its stage, whatever became of others.
    shop.photo("IMG_6.jpg", |it| {
        it.time = Some("2026:05:20 12:00:00".to_owned())
    });
    shop.run(&[
        "import", "../card", "--piece", "26-001", "--stage", "delivery",
    ]);
    assert_eq!(
        shoots(&survey(&shop))[2],
        own(3, "delivery", "2026-05-20", 2)
    );
    shop.run(&["verify"]).code(0);
}

#[test]
fn a_photo_goes_into_no_shoot_of_another_day_and_not_across_the_sale() {
    let shop = shop();
    amend(&shop, &["--photo", "4", "--stage", "delivery"]).code(0);
    let at = |name: &str, day: &str, stage: &str| {
        shop.photo(name, |it| it.time = Some(format!("{day} 12:00:00")));
        shop.run(&["import", "../card", "--piece", "26-001", "--stage", stage]);
    };
    at("IMG_6.jpg", "2026:05:14", "work");
    at("IMG_7.jpg", "2026:05:16", "delivery");
    let before = (lines(&shop, "shoot"), lines(&shop, "moved"));
    for (words, days) in [
        // By the days alone.
        (
            ["--photo", "4", "--shoot", "1"],
            ["2026-05-20", "2026-05-03"],
        ),
        (
            ["--photo", "3", "--shoot", "1"],
            ["2026-05-10", "2026-05-03"],
        ),
        (
            ["--photo", "1,4", "--stage", "delivery"],
            ["2026-05-03", "2026-05-15"],
        ),
        // Two days apart, and the sale of 15 May between.
        (
            ["--photo", "7", "--shoot", "4"],
            ["2026-05-16", "2026-05-14"],
        ),
        (
            ["--photo", "6", "--shoot", "5"],
            ["2026-05-14", "2026-05-16"],
        ),
        (
            ["--photo", "6", "--stage", "delivery"],
            ["2026-05-14", "2026-05-14"],
        ),
    ] {
        let said = amend(&shop, &words).code(2);
        let said = said.says(days[0]).says(days[1]).says("nothing was changed");
        // A clock is put right within one hand alone.
        said.says(match words[1] {
            "3" => "asfound clock 26-001 --photo 3",
            _ => "asfound remove 26-001 --photo",
        });
    }
    assert_eq!((lines(&shop, "shoot"), lines(&shop, "moved")), before);
    // A copy that tells no day may go anywhere in the keeper's hands, and is told.
    amend(&shop, &["--photo", "5", "--shoot", "1"]).code(0);
}

#[test]
fn a_move_says_which_shoot_begins_otherwise_and_what_findings_are_told_otherwise() {
    let shop = shop();
    shop.photo("IMG_6.jpg", |it| {
        it.time = Some("2026:05:08 12:00:00".to_owned())
    });
    shop.run(&["import", "../card", "--piece", "26-001", "--stage", "work"]);
    let said = amend(&shop, &["--photo", "6", "--shoot", "2"]);
    said.says("shoot 2, sale, began on 2026-05-10, begins on 2026-05-08 now");
    let said = amend(&shop, &["--photo", "4", "--stage", "delivery"]);
    said.says("where it came from: was “")
        .says("First there on 20 May 2026.");
}

#[test]
fn what_is_asked_for_wrongly_is_named_and_changes_nothing() {
    let shop = shop();
    let before = lines(&shop, "shoot");
    for (words, says) in [
        (&["--photo", "4"][..], "say of which shoot the photos are"),
        (
            &["--photo", "4", "--day", "2026-05-20"],
            "say of which shoot the photos are",
        ),
        (
            &["--photo", "4", "--shoot", "2", "--stage", "sale"],
            "put the shoot itself right with a command of its own",
        ),
        (&["--photo", "4", "--shoot", "7"], "its shoots are 1, 2"),
        (&["--photo", "9", "--shoot", "1"], "9"),
        (
            &["--photo", "5", "--stage", "delivery"],
            "do not say on which day",
        ),
        (
            &["--photo", "5", "--stage", "delivery", "--day", "2099-05-20"],
            "lies in the future",
        ),
        (
            &["--photo", "4", "--stage", "delivery", "--day", "2026-05-21"],
            "begin on 2026-05-20, not on 2026-05-21",
        ),
        (
            &["--photo", "4", "--shoot", "1", "--weight", "9 kg"],
            "a command of its own",
        ),
        (&["--stage", "delivery"], "--stage"),
    ] {
        amend(&shop, words).code(2).says(says);
    }
    shop.run(&["remove", "26-001", "--photo", "5", "--why", "a face"])
        .code(0);
    amend(&shop, &["--photo", "5", "--shoot", "1"])
        .code(2)
        .says("picture 5 of 26-001 was taken out of the record on 2026-05-26")
        .says("asfound put-back 26-001 --photo 5");
    let none = [
        "clock",
        "26-001",
        "--shoot",
        "1",
        "--camera",
        "Nix",
        "--off=+1d",
    ];
    shop.run(&none)
        .code(2)
        .says("no picture of 26-001 is of shoot 1 and of a camera `Nix`");
    assert_eq!(lines(&shop, "shoot"), before);
    assert_eq!(lines(&shop, "moved"), [json!(null); 0]);
}

/// A picture of the sale by its camera is put from the delivery there: that it came in as of the delivery stays the yardstick.
#[test]
fn what_was_said_after_a_picture_of_the_claim_came_in_stays_said_later() {
    let shop = shop();
    shop.photo("IMG_6.jpg", |it| {
        it.time = Some("2026:05:10 15:00:00".to_owned())
    });
    let words = [
        "import", "../card", "--piece", "26-001", "--stage", "delivery",
    ];
    shop.run(&words);
    let beside = shop.stored("2 sale 2026-05-10/IMG_3.jpg.toml");
    let text = fs::read_to_string(&beside).unwrap();
    fs::write(&beside, format!("{text}note = \"as new\"\n")).unwrap();
    shop.run(&["seal"]);
    let later = |shop: &Shop| {
        shop.run(&["seal"]);
        let cover = fs::read_to_string(Path::new(&dossier(shop)).join("data/cover.html")).unwrap();
        let at = cover.find("after the pictures of the delivery came in");
        (at.is_some(), cover)
    };
    assert!(later(&shop).0);
    amend(&shop, &["--photo", "6", "--shoot", "2"]).code(0);
    // It may show the buyer's home, whatever it is told as of now.
    shop.run(&["export", "26-001", "--photos", "../out"])
        .says("left out, they may show other people's homes: 6");
    let (told, cover) = later(&shop);
    assert!(told, "a move does not silence it");
    let moved = "Picture 6: taken into the book with the delivery pictures on 26 May 2026 (line ";
    assert!(
        cover.contains(moved) && cover.contains("; put by the owner with the sale pictures on ")
    );
    // And on: all steps are told.
    amend(&shop, &["--photo", "6", "--stage", "work"]).code(0);
    let notes = survey(&shop)["picture_notes"].to_string();
    assert_eq!(
        notes.matches("put by the owner with the ").count(),
        2,
        "{notes}"
    );
}

#[test]
fn a_move_that_is_changed_by_hand_is_named() {
    let shop = shop();
    amend(&shop, &["--photo", "4,5", "--stage", "delivery"]).code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    let good = fs::read(shop.path("book/book.db")).unwrap();
    for (change, says) in [
        (
            "UPDATE moved_photo SET shoot = (SELECT id FROM shoot WHERE no = 1) WHERE no = 4",
            "the shoot that picture 4 was put into is not the one in the ledger",
        ),
        (
            "UPDATE moved_photo SET moved = '2026-05-03T00:00:00Z' WHERE no = 4",
            "the shoot that picture 4 was put into is not the one in the ledger",
        ),
        (
            "DELETE FROM moved_photo WHERE no = 5",
            "the shoot that picture 5 was put into of the ledger is not in the record",
        ),
        (
            "INSERT INTO moved_photo SELECT piece, 1, shoot, moved FROM moved_photo WHERE no = 5",
            "the shoot that picture 1 was put into is not the one in the ledger",
        ),
        (
            "INSERT INTO moved_photo SELECT piece, 77, shoot, moved FROM moved_photo WHERE no = 5",
            "picture 77 is said to be of another shoot, and is not there",
        ),
        (
            "UPDATE photo SET shoot = (SELECT id FROM shoot WHERE no = 3) WHERE no = 4",
            "picture 4 is not the one in the ledger",
        ),
    ] {
        for end in ["-wal", "-shm"] {
            let _ = fs::remove_file(shop.path(&format!("book/book.db{end}")));
        }
        fs::write(shop.path("book/book.db"), &good).unwrap();
        let db = Connection::open(shop.path("book/book.db")).unwrap();
        assert_eq!(db.execute(change, []).unwrap(), 1, "{change}");
        drop(db);
        shop.run(&["verify"]).code(1).says("altered").says(says);
    }
}

/// Runs a command at nine in the morning of a day.
fn on(shop: &Shop, day: &str, words: &[&str]) -> Ran {
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    let now = format!("{day}T09:00:00Z");
    Ran::of(command.args(words).env("ASFOUND_NOW", now))
}

/// A picture that its camera took on a day, or that tells none, taken in on a day.
fn came_in(shop: &Shop, name: &str, taken: Option<&str>, stage: &str, day: &str) -> Ran {
    shop.photo(name, |it| {
        it.time = taken.map(|day| format!("{day} 08:00:00"))
    });
    let words = ["import", "../card", "--piece", "26-001", "--stage", stage];
    on(shop, day, &words)
}

/// Bought on 3 May, pictured for the sale on the 5th (2), sold on the 8th, handed over on the 10th (3), and pictured by the buyer on the
/// 12th (4) and without a day (5).
fn sent() -> Shop {
    let shop = Shop::with_piece();
    came_in(&shop, "a.jpg", Some("2026:05:03"), "purchase", "2026-05-03");
    came_in(&shop, "b.jpg", Some("2026:05:05"), "sale", "2026-05-05");
    // The piece itself was entered on the 26th, which is told.
    on(
        &shop,
        "2026-05-08",
        &["sold", "26-001", "--on", "2026-05-08"],
    );
    came_in(&shop, "c.jpg", Some("2026:05:10"), "handover", "2026-05-10");
    came_in(&shop, "d.jpg", Some("2026:05:12"), "delivery", "2026-05-13");
    came_in(&shop, "e.jpg", None, "delivery", "2026-05-13");
    let all = survey(&shop);
    let all: Vec<(u64, String)> = shoots(&all).into_iter().map(|it| (it.0, it.1)).collect();
    let stages = ["purchase", "sale", "handover", "delivery"].map(str::to_owned);
    assert_eq!(all, (1..).zip(stages).collect::<Vec<_>>());
    shop
}

/// What stands before the sale, at the van and after it says in whose hands a fault came: no picture goes across by a word given later.
#[test]
fn no_picture_goes_across_the_sale_or_the_way_out_by_no_day_or_by_a_clock_put_right() {
    let shop = sent();
    let tried = |words: &[&str]| {
        let words = [&["amend", "26-001"], words].concat();
        on(&shop, "2026-05-26", &words)
    };
    let refused = |words: &[&str], says: &[&str]| {
        let before = (lines(&shop, "shoot"), lines(&shop, "moved"));
        let said = tried(words).code(2).says("nothing was changed");
        let said = says.iter().fold(said, |it, says| it.says(says));
        assert_eq!((lines(&shop, "shoot"), lines(&shop, "moved")), before);
        said
    };
    let undated = [
        "was taken into the book on 2026-05-13",
        "after it was sold on 2026-05-08",
    ];
    // The buyer's picture without a day, into the purchase, the sale or a work of its own, and to the van.
    refused(&["--photo", "5", "--shoot", "1"], &undated);
    refused(&["--photo", "5", "--shoot", "2"], &undated);
    refused(
        &["--photo", "5", "--stage", "work", "--day", "2026-05-06"],
        &undated,
    );
    refused(
        &["--photo", "5", "--shoot", "3"],
        &["taken into the book on 2026-05-13, another day"],
    );
    // The buyer's picture of the 12th into the hand-over of the 10th, and that into the delivery.
    refused(
        &["--photo", "4", "--shoot", "3"],
        &["is of 2026-05-12 by its camera, another day"],
    );
    refused(
        &["--photo", "3", "--shoot", "4"],
        &["is of 2026-05-10 by its camera, an earlier day"],
    );
    refused(
        &["--photo", "3", "--shoot", "2"],
        &["is of 2026-05-10 by its camera"],
    );
    // Nor with the whole shoot, nor by a clock, nor by the day of the shoot.
    refused(
        &["--shoot", "4", "--stage", "sale"],
        &["picture 4 is of 2026-05-12 by its camera, after it was sold on 2026-05-08"],
    );
    let clock = |off: &str| {
        let words = ["clock", "26-001", "--photo", "4", off];
        on(&shop, "2026-05-26", &words)
    };
    clock("--off=-9d")
        .code(2)
        .says("picture 4 would be of 2026-05-03, before it was sold on 2026-05-08, and its shoot 4 is the delivery; nothing was changed");
    clock("--off=-3d")
        .code(2)
        .says("before the handover of 2026-05-10");
    clock("--off=-2d").code(1);
    refused(
        &["--photo", "4", "--shoot", "3"],
        &["taken into the book on 2026-05-13, another day"],
    );
    // What the refusal advises can be done.
    let said = refused(
        &["--photo", "5", "--shoot", "1"],
        &["say in its note when it was taken"],
    );
    said.says("asfound remove 26-001 --photo 5 --why");
    let remove = [
        "remove",
        "26-001",
        "--photo",
        "5",
        "--why",
        "of no use there",
    ];
    on(&shop, "2026-05-26", &remove).code(0);
    shop.run(&["seal"]);
    shop.run(&["verify"]).code(0);
}

/// A whole shoot of pictures without a day goes to no other side either, by its occasion or by its day.
#[test]
fn no_shoot_without_days_goes_across_the_sale() {
    let shop = Shop::with_piece();
    came_in(&shop, "a.jpg", Some("2026:05:03"), "purchase", "2026-05-03");
    let sold = ["sold", "26-001", "--on", "2026-05-08"];
    on(&shop, "2026-05-08", &sold);
    came_in(&shop, "e.jpg", None, "delivery", "2026-05-13");
    for words in [
        &["--shoot", "2", "--stage", "sale", "--day", "2026-05-06"][..],
        &["--shoot", "2", "--stage", "sale"],
        &["--shoot", "2", "--day", "2026-05-06"],
    ] {
        let words = [&["amend", "26-001"], words].concat();
        let said = on(&shop, "2026-05-26", &words).code(2);
        said.says("nothing was changed");
    }
    let words = ["amend", "26-001", "--shoot", "2", "--day", "2026-05-12"];
    on(&shop, "2026-05-26", &words).code(0);
}

/// A picture without a day, or with one that was put right, that comes in after the sale as one of before it is told.
#[test]
fn what_comes_in_late_as_of_before_the_sale_is_told() {
    let shop = Shop::with_piece();
    came_in(&shop, "a.jpg", Some("2026:05:03"), "sale", "2026-05-03");
    let sold = ["sold", "26-001", "--on", "2026-05-08"];
    on(&shop, "2026-05-08", &sold);
    let says = "taken in after it was sold on 2026-05-08";
    let why = |it: &Ran| it.err().contains(says);
    assert!(why(&came_in(&shop, "b.jpg", None, "sale", "2026-05-20")));
    assert!(!why(&came_in(
        &shop,
        "c.jpg",
        Some("2026:05:04"),
        "sale",
        "2026-05-20"
    )));
    // A sale that fell through takes back no journey.
    came_in(&shop, "d.jpg", Some("2026:05:12"), "delivery", "2026-05-20");
    let fell = ["sold", "26-001", "--fell-through", "--note", "sent back"];
    on(&shop, "2026-05-20", &fell);
    let words = ["clock", "26-001", "--photo", "4", "--off=-9d"];
    on(&shop, "2026-05-26", &words)
        .code(2)
        .says("before it was sold on 2026-05-08");
}

/// That a seal has a picture without a day of its own as one of the sale is told when it becomes one of the delivery.
#[test]
fn what_a_seal_has_otherwise_is_told() {
    let shop = Shop::with_piece();
    came_in(&shop, "a.jpg", Some("2026:05:03"), "purchase", "2026-05-26");
    came_in(&shop, "b.jpg", None, "sale", "2026-05-26");
    let amend = |words: &[&str]| {
        let words = [&["amend", "26-001"], words].concat();
        on(&shop, "2026-05-26", &words)
    };
    amend(&["--shoot", "2", "--day", "2026-05-05"]);
    on(
        &shop,
        "2026-05-26",
        &["sold", "26-001", "--on", "2026-05-08"],
    );
    on(&shop, "2026-05-26", &["seal"]);
    came_in(&shop, "c.jpg", Some("2026:05:12"), "delivery", "2026-05-26");
    let why =
        "picture 2 tells no day of its own, and seal 1 has it as of the sale: dossiers tell both";
    amend(&["--photo", "2", "--shoot", "3"]).code(1).says(why);
}

/// Put right at once, on the very day, it is a slip.
#[test]
fn a_picture_that_came_in_with_the_wrong_shoot_today_is_put_right_today() {
    let shop = sent();
    // The buyer's, without a day, taken in as of the sale; and those at the van.
    came_in(&shop, "f.jpg", None, "sale", "2026-05-14");
    let words = [
        "amend",
        "26-001",
        "--photo",
        "6",
        "--stage",
        "delivery",
        "--day",
        "2026-05-12",
    ];
    on(&shop, "2026-05-14", &words).code(0);
    // With a camera's own day it may be later too.
    came_in(&shop, "g.jpg", Some("2026:05:12"), "sale", "2026-05-14");
    let words = ["amend", "26-001", "--photo", "7", "--stage", "delivery"];
    on(&shop, "2026-05-20", &words).code(0);
    let shop = Shop::with_piece();
    came_in(&shop, "a.jpg", Some("2026:05:03"), "purchase", "2026-05-03");
    // The piece itself was entered on the 26th, which is told.
    on(
        &shop,
        "2026-05-08",
        &["sold", "26-001", "--on", "2026-05-08"],
    );
    came_in(&shop, "b.jpg", None, "purchase", "2026-05-10");
    let words = [
        "amend",
        "26-001",
        "--photo",
        "2",
        "--stage",
        "handover",
        "--day",
        "2026-05-10",
    ];
    on(&shop, "2026-05-10", &words).code(0);
}

/// Who imports the same files again, now with their occasion, is told how they come to be of it.
#[test]
fn an_import_of_what_is_of_another_shoot_says_how_that_is_put_right() {
    let shop = shop();
    let again = [
        "import", "../card", "--piece", "26-001", "--stage", "delivery",
    ];
    shop.run(&again)
        .says("in the book already, shoot 2: pictures 3, 4, 5; that is of the sale: where it should be of the delivery, `asfound amend 26-001 --photo 3,4,5 --stage delivery`");
    let again = ["import", "../card", "--piece", "26-001", "--stage", "sale"];
    let said = shop.run(&again);
    assert!(!said.err().contains("where it should be"), "{said}");
}

/// The first day of a shoot is that of its earliest picture, whatever its file is called, and days that lie far apart are told.
#[test]
fn a_shoot_begins_with_its_earliest_picture() {
    let shop = Shop::with_piece();
    let at = |name: &str, day: &str| {
        shop.photo(name, |it| it.time = Some(format!("{day} 12:00:00")));
    };
    at("A.jpg", "2026:05:20");
    at("B.jpg", "2026:05:10");
    let words = ["import", "../card", "--piece", "26-001", "--stage", "sale"];
    shop.run(&words)
        .says("its pictures are of 2026-05-10 to 2026-05-20")
        .says("asfound amend 26-001 --photo NUMBERS --stage sale --day DAY");
    assert_eq!(shoots(&survey(&shop)), [own(1, "sale", "2026-05-10", 2)]);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
}
