//! What the ledger covers: changed sidecars before a seal, shoots, findings, stamps, photos that went and came back.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;

use rusqlite::Connection;
use serde_json::Value;
use serde_json::json;

use crate::shop::Shop;
use crate::stamp_office::Office;

fn count(shop: &Shop, what: &str) -> u32 {
    let db = Connection::open(shop.path("book/book.db")).unwrap();
    db.query_row(&format!("SELECT count(*) FROM {what}"), [], |row| {
        row.get(0)
    })
    .unwrap()
}

/// What the open parts of the lines of a kind say, in order.
fn lines(shop: &Shop, what: &str) -> Vec<Value> {
    let db = Connection::open(shop.path("book/book.db")).unwrap();
    let mut ask = db.prepare("SELECT line FROM ledger ORDER BY no").unwrap();
    let all = ask.query_map([], |row| row.get::<_, String>(0)).unwrap();
    let all = all.map(|it| serde_json::from_str::<Value>(&it.unwrap()).unwrap());
    all.filter(|it| it["what"] == what)
        .map(|it| it["open"].clone())
        .collect()
}

/// Changes the record by hand, has it checked, and puts it back.
fn altered(shop: &Shop, change: &str, says: &str) {
    let db = Connection::open(shop.path("book/book.db")).unwrap();
    db.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
    let before = fs::read(shop.path("book/book.db")).unwrap();
    let done = db.execute(change, []).unwrap();
    assert!(done > 0, "{change}");
    db.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
    drop(db);
    let found = shop.run(&["verify", "--json"]).code(1).json();
    assert_eq!(found["verdict"], "altered", "{change}: {found:#}");
    let checks = found["checks"].as_array().unwrap().iter();
    let bad: Vec<&str> = checks
        .filter(|it| it["ok"] == false)
        .map(|it| it["about"].as_str().unwrap())
        .collect();
    assert!(bad.iter().any(|it| it.contains(says)), "{change}: {bad:#?}");
    for end in ["-wal", "-shm"] {
        let _ = fs::remove_file(shop.path(&format!("book/book.db{end}")));
    }
    fs::write(shop.path("book/book.db"), before).unwrap();
}

const TOP: &str = "view = \"top_flat\"\nparts = [\"top\"]\n";

#[test]
fn a_seal_covers_what_was_changed_and_names_what_it_cannot_take_in() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.import();
    shop.piece("oak stool");
    shop.run(&["seal"]).code(0);
    let changed = shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml");
    fs::write(&changed, TOP).unwrap();
    let lines = count(&shop, "ledger");
    let sealed = shop.run(&["seal", "--json"]).code(0).json();
    assert_eq!(
        (&sealed["texts"], &sealed["new"], &sealed["no"]),
        (&json!(1), &json!(true), &json!(2))
    );
    assert_eq!(count(&shop, "ledger"), lines + 1);
    // A text with mistakes is sealed as it is, and named.
    fs::write(&changed, "viw = 1\n").unwrap();
    let sealed = shop.run(&["seal", "--json"]).code(0).json();
    assert_eq!((&sealed["texts"], &sealed["no"]), (&json!(1), &json!(3)));
    let name = sealed["faulty"][0]["file"].as_str().unwrap();
    assert!(
        name.ends_with("1 purchase 2026-05-03/IMG_2.jpg.toml"),
        "{name}"
    );
    // While the user's own words have mistakes, nothing is taken in, and that is said.
    fs::write(shop.path("book/words.toml"), "not toml").unwrap();
    fs::write(&changed, TOP).unwrap();
    let sealed = shop.run(&["seal"]);
    sealed
        .code(1)
        .says("was changed and is not sealed: `words.toml` has mistakes");
    let found = shop.run(&["verify", "--json"]).code(1).json();
    assert_eq!(found["verdict"], "incomplete");
    shop.run(&["verify"])
        .code(1)
        .says("1 sidecar was changed since and is in no line: `26-001 walnut table/1 purchase 2026-05-03/IMG_2.jpg.toml`");
    fs::remove_file(shop.path("book/words.toml")).unwrap();
    let before = count(&shop, "ledger");
    shop.run(&["verify"])
        .code(0)
        .says("lines after the newest seal: 1");
    assert_eq!(count(&shop, "ledger"), before + 1);
}

#[test]
fn shoots_and_findings_have_lines_and_their_rows_are_held_against_them() {
    let shop = crate::proof::shop();
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    assert_eq!(
        lines(&shop, "finding"),
        [json!({"finding": "F1", "part": "top", "tag": "white_mark", "which": "", "later": false})]
    );
    assert_eq!(
        lines(&shop, "shoot")[0],
        json!({"shoot": 1, "stage": "purchase", "day": "2026-05-03", "folder": "1 purchase 2026-05-03", "later": false})
    );
    for (change, says) in [
        (
            "UPDATE finding SET no = 9 WHERE no = 1",
            "finding F9 is not the one in the ledger",
        ),
        (
            "UPDATE finding SET no = 9 WHERE no = 1",
            "finding F1 of the ledger is not in the record",
        ),
        (
            "UPDATE finding SET which = 'left'",
            "finding F1 is not the one in the ledger",
        ),
        (
            "UPDATE shoot SET day = '2026-05-02' WHERE no = 1",
            "shoot 1 is not the one in the ledger",
        ),
        (
            "UPDATE shoot SET stage = 'sale' WHERE no = 1",
            "shoot 1 is not the one in the ledger",
        ),
        (
            "UPDATE shoot SET folder = 'x' WHERE no = 1",
            "shoot 1 is not the one in the ledger",
        ),
        (
            "UPDATE repair SET told = replace(told, '\"F1\"', '\"F7\"')",
            "repair 1 is for F7, which the ledger does not know",
        ),
    ] {
        altered(&shop, change, says);
    }
    shop.run(&["verify"]).code(0);
}

#[test]
fn a_stamp_has_a_line_and_cannot_be_taken_away_by_hand() {
    if !crate::stamp_office::ready() {
        return;
    }
    let shop = crate::proof::shop();
    let office = Office::with_authority("P-256");
    let sealed = shop.run(&["seal", "--json"]).code(0).json();
    let files = sealed["files"].as_array().unwrap().iter();
    let mut files = files.map(|it| it.as_str().unwrap());
    let request = files.find(|it| it.ends_with(".tsq")).unwrap();
    office.write("ours.tsq", &fs::read(request).unwrap());
    office.reply("ours", "");
    let reply = office.at("ours.tsr").display().to_string();
    let root = office.at("root.pem").display().to_string();
    for _ in 0..2 {
        shop.run(&["seal", "--reply", &reply, "--root", &root])
            .code(0);
    }
    let told = lines(&shop, "stamp");
    assert_eq!((told.len(), &told[0]["seal"]), (1, &json!(1)));
    // The line of the stamp is no reason for another seal, and takes nothing from what the stamp proves.
    let again = shop.run(&["seal", "--json"]).code(0).json();
    assert_eq!((&again["new"], &again["no"]), (&json!(false), &json!(1)));
    let found = shop
        .run(&["verify", "--root", &root, "--json"])
        .code(0)
        .json();
    assert_eq!(found["verdict"], "proven");
    altered(
        &shop,
        "UPDATE seal SET reply = NULL, stamped = NULL",
        "the time stamp of seal 1 of the ledger is not in the record",
    );
}

#[test]
fn a_photo_that_was_taken_out_comes_back_whole() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["seal"]).code(0);
    let text = fs::read(shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml")).unwrap();
    let out = [
        "remove",
        "26-001",
        "--photo",
        "2",
        "--why",
        "a person in it",
    ];
    shop.run(&out).code(0);
    // Its name stays its own, and what was taken out says so when it comes along again.
    let again = shop.import_json().code(0).json();
    assert_eq!(
        (&again["already"], &again["removed"][0]["photo"]),
        (&json!(1), &json!(2))
    );
    shop.import().says("IMG_2.jpg: it is picture 2, which was taken out on 26 May 2026 because \"a person in it\"; `asfound put-back 26-001 --photo 2` brings it back");
    let other = fs::read(shop.card("IMG_1.jpg")).unwrap();
    fs::write(shop.card("IMG_2.jpg"), [&other[..], b"\0"].concat()).unwrap();
    let other = shop.import_json().json();
    assert_eq!(other["photos"][0]["name"], "IMG_2 (2).jpg");
    // Other bytes are not the photo.
    let aside = shop.piece_folder().join("removed/0002 IMG_2.jpg");
    let original = fs::read(&aside).unwrap();
    fs::remove_file(&aside).unwrap();
    fs::write(&aside, b"other bytes").unwrap();
    let back = ["put-back", "26-001", "--photo", "2"];
    shop.run(&back)
        .code(2)
        .says("with the bytes that it had")
        .says("put the file with the SHA-256");
    shop.run(&["put-back", "26-001", "--photo", "1"])
        .code(2)
        .says("has no picture 1 that was taken out");
    fs::remove_file(&aside).unwrap();
    fs::write(aside.with_file_name("from the backup.jpg"), &original).unwrap();
    shop.run(&back).code(0).says("picture 2 is in 26-001 again");
    let place = shop.stored("1 purchase 2026-05-03/IMG_2.jpg");
    assert_eq!(fs::read(&place).unwrap(), original);
    assert_eq!(
        fs::read(place.with_file_name("IMG_2.jpg.toml")).unwrap(),
        text
    );
    assert_eq!(
        fs::read_dir(shop.piece_folder().join("removed"))
            .unwrap()
            .count(),
        0
    );
    assert_eq!(lines(&shop, "returned").len(), 1);
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["shoots"][0]["photos"], 3, "{survey:#}");
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0).says("photo 2 was put back");
    let made = shop.run(&["dossier", "26-001", "--json"]).code(0).json();
    shop.run(&["verify", made["path"].as_str().unwrap()])
        .code(0)
        .says("photo 2 was put back");
    // Out again, and in again.
    shop.run(&out).code(0);
    shop.run(&["verify"]).code(0);
    shop.run(&back).code(0);
    shop.run(&["verify"]).code(0);
}

#[test]
fn an_import_says_where_the_pictures_are_that_it_has() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.import()
        .code(0)
        .says("in the book already, shoot 1: pictures 1, 2");
    shop.piece("oak stool");
    let other = [
        "import", "../card", "--piece", "26-002", "--stage", "purchase",
    ];
    shop.run(&other)
        .says("IMG_1.jpg: the same picture is in 26-001 too, number 1");
}
