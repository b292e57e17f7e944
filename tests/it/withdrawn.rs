//! A piece that was taken in by mistake: withdrawn, shown only where asked for, brought back; nothing is lost and nothing is hidden.

use std::fs;

use serde_json::json;

use crate::shop::Shop;

const OUT: [&str; 5] = ["remove", "26-002", "--piece", "--why", "the same as 26-001"];

/// Two pieces, of which the second, with a price and a picture, was withdrawn.
fn withdrawn() -> Shop {
    let shop = Shop::with_piece();
    shop.piece("walnut table, again");
    shop.photo("a.jpg", |_| ());
    shop.run(&[
        "import", "../card", "--piece", "26-002", "--stage", "purchase",
    ])
    .code(0);
    let paid = ["--bought-for", "85", "--bought-on", "2026-03-14"];
    shop.run(&[&["amend", "26-002"], &paid[..]].concat())
        .code(0);
    shop.run(&OUT)
        .code(0)
        .stdout("26-002 is withdrawn: the same as 26-001\n")
        .says("every dossier shows it");
    shop
}

fn numbers(answer: &serde_json::Value) -> Vec<&str> {
    let all = answer.as_array().unwrap().iter();
    all.map(|it| it["stock_no"].as_str().unwrap()).collect()
}

#[test]
fn a_withdrawn_piece_leaves_stock_money_and_what_waits() {
    let shop = withdrawn();
    let stock = shop.run(&["stock", "--json"]).code(0).json();
    assert_eq!(numbers(&stock), ["26-001"]);
    let asked = shop.run(&["stock", "--state", "withdrawn", "--json"]);
    let asked = asked.code(0).json();
    assert_eq!(numbers(&asked), ["26-002"]);
    let found = shop.run(&["stock", "again"]).code(0);
    found.says("no piece is like that");
    let waiting = shop.run(&["stock", "--waiting", "--json"]).code(0).json();
    assert_eq!(numbers(&waiting), ["26-001"]);
    let waiting = shop.run(&["stock", "--waiting", "--state", "withdrawn"]);
    waiting.code(0).says("no piece waits for anything");
    shop.run(&["export", "26-002", "--marks"])
        .code(0)
        .says("mind: 26-002 was withdrawn on");
    let money = shop.run(&["stock", "--money", "--json"]).code(0).json();
    assert_eq!(numbers(&money["pieces"]), ["26-001"]);
    assert_eq!(money["events"], json!([]));
    assert_eq!(money["withdrawn"], json!(["26-002"]));
    shop.run(&["stock", "--money"])
        .code(0)
        .says("withdrawn, not counted: 26-002");
    let labels = shop.run(&["label", "--json"]).code(0).json();
    assert_eq!(labels["pieces"], json!(["26-001"]));
    // Where it is asked for, it says so.
    let survey = shop.run(&["survey", "26-002"]).code(0);
    survey.says("the same as 26-001");
    let survey = shop.run(&["survey", "26-002", "--json"]).code(0).json();
    assert_eq!(survey["withdrawn"]["why"], "the same as 26-001");
    // The number is never given again, and no file went.
    assert_eq!(
        shop.run(&["intake", "stool", "--form", "side_table", "--json"])
            .code(0)
            .json()["stock_no"],
        "26-003"
    );
    let folder = shop.path("book/26-002 walnut table, again/1 purchase 2026-05-03/a.jpg");
    assert!(folder.exists());
}

#[test]
fn nothing_new_is_told_of_a_withdrawn_piece_until_it_is_back() {
    let shop = withdrawn();
    shop.photo("b.jpg", |_| ());
    let repair = ["repair", "26-002", "--whole-piece", "--method", "clean"];
    let import = ["import", "../card", "--piece", "26-002", "--stage", "sale"];
    for words in [
        &["sold", "26-002"][..],
        &["deadlines", "26-002", "--from", "2026-05-01"],
        &["report", "26-002"],
        &["handover", "26-002"],
        &repair,
        &import,
        // Said again, it is told that it is out.
        &OUT,
    ] {
        shop.run(words)
            .code(2)
            .says("26-002 was withdrawn on ")
            .says("`asfound put-back 26-002 --piece` brings it back");
    }
    let back = ["put-back", "26-002", "--piece"];
    shop.run(&back).code(0).stdout("26-002 is in stock again\n");
    shop.run(&back).code(2).says("26-002 is not withdrawn");
    let stock = shop.run(&["stock", "--json"]).code(0).json();
    assert_eq!(numbers(&stock), ["26-001", "26-002"]);
    shop.run(&repair).code(0);
    shop.run(&["sold", "26-002"]).code(0);
    // What was sold was no mistake.
    shop.run(&OUT)
        .code(2)
        .says("`asfound sold 26-002 --fell-through`");
    shop.run(&["remove", "26-001", "--piece", "--why", " "])
        .code(2)
        .says("say why");
    shop.run(&["remove", "26-001", "--why", "x"]).code(2);
}

#[test]
fn a_book_of_which_all_is_withdrawn_is_not_called_empty() {
    let shop = Shop::with_piece();
    shop.run(&["remove", "26-001", "--piece", "--why", "a try"])
        .code(0);
    shop.run(&["stock"]).code(0).says("no piece is in stock");
}

#[test]
fn the_ledger_keeps_a_withdrawal_and_verify_holds_the_record_against_it() {
    let shop = withdrawn();
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0).says("intact");
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    let wrong = "26-002: that it was withdrawn is not what the ledger says";
    for change in [
        "UPDATE withdrawn_piece SET why = 'x'",
        "UPDATE withdrawn_piece SET withdrawn = '2026-01-01T00:00:00Z'",
        "DELETE FROM withdrawn_piece",
    ] {
        let good: (i64, String, String) = db
            .query_row("SELECT * FROM withdrawn_piece", [], |it| {
                Ok((it.get(0)?, it.get(1)?, it.get(2)?))
            })
            .unwrap();
        db.execute(change, []).unwrap();
        shop.run(&["verify"]).code(1).says(wrong);
        db.execute(
            "INSERT OR REPLACE INTO withdrawn_piece VALUES (?1, ?2, ?3)",
            good,
        )
        .unwrap();
    }
    shop.run(&["put-back", "26-002", "--piece"]).code(0);
    shop.run(&["verify"])
        .says("that the piece was brought back");
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0).says("intact");
    // A row that comes back without a line is named.
    db.execute(
        "INSERT INTO withdrawn_piece SELECT id, 'x', taken_in FROM piece WHERE stock_no = '26-002'",
        [],
    )
    .unwrap();
    shop.run(&["verify"]).code(1).says(wrong);
    db.execute("DELETE FROM withdrawn_piece", []).unwrap();
    let made = shop.run(&["dossier", "26-002", "--folder", "--json"]);
    let folder = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let cover = fs::read_to_string(format!("{folder}/data/cover.html")).unwrap();
    assert_eq!(
        cover
            .matches("Withdrawn from stock: “the same as 26-001”")
            .count(),
        1
    );
    assert_eq!(cover.matches("Brought back into stock").count(), 1);
    shop.run(&["verify", &folder]).code(0);
}
